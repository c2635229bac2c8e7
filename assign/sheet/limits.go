package sheet

import (
	"bytes"
	"context"
	"errors"
	"fmt"

	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/model"
	"github.com/pdfcpu/pdfcpu/pkg/pdfcpu/types"
)

// What a form may cost to read. A file comes by mail from anybody, and a few
// hundred bytes can be written so that they unpack to gigabytes, or name one
// object a million times. Sheets of ten thousand devices, as written here and as
// saved plain and packed by qpdf, take a third of these limits at the most:
// 12 bytes read and 0.06 steps for a byte of the file, 64,000 objects.
const (
	maxForm     = 128 << 20 // bytes of the file
	maxRead     = 32        // bytes read for each of them: the library reads again for each object
	leastRead   = 1 << 20   // and as many more
	maxSteps    = 0.25      // objects and parts of objects looked at for each byte
	leastSteps  = 1 << 14   // and as many more
	maxObjects  = 2 << 20
	maxStream   = 16 << 20  // bytes that one stream of objects unpacks to
	maxUnpacked = 256 << 20 // bytes that all of them do
	maxPerShare = 10_000    // objects in one stream
	maxVisits   = 8 << 20   // fields and each eight letters of their texts, those met again counted again
	maxName     = 1 << 16   // bytes of a field's name
)

var errTooMuch = errors.New("reading it would take more than any filled sheet does")

// steps is a context that ends after so many looks at it: the library looks once
// for each object, so the end comes at the same place on every machine.
type steps struct {
	context.Context
	left int
}

func (s *steps) Err() error {
	if s.left--; s.left < 0 {
		return errTooMuch
	}
	return nil
}

// meteredReader reads a file until too much was read from it.
type meteredReader struct {
	*bytes.Reader
	left int64
}

func (r *meteredReader) Read(p []byte) (int, error) {
	if r.left < 0 {
		return 0, errTooMuch
	}
	n, err := r.Reader.Read(p)
	r.left -= int64(n)
	return n, err
}

// joinsWithoutEnd reports whether the library, should it have to search a damaged file for
// objects, would join its lines without end: it puts a line that ends in "obj"
// before the next one, empty lines and comments among them, and looks again.
func joinsWithoutEnd(data []byte) bool {
	const most = 64 << 20 // letters copied on the way
	joined, cost := 0, 0
	for len(data) > 0 && cost <= most {
		end := bytes.IndexAny(data, "\r\n")
		if end < 0 {
			end = len(data)
		}
		line := data[:end]
		data = data[min(end+1, len(data)):]
		switch {
		case bytes.HasSuffix(line, []byte("obj")):
			joined += len(line)
		case len(line) > 0 && line[0] != '%':
			joined = 0
		}
		cost += joined
	}
	return cost > most
}

// readLoose reads a document without judging it: other programs have written to it.
func readLoose(data []byte) (*model.Context, error) {
	if joinsWithoutEnd(data) {
		return nil, errTooMuch
	}
	conf := settings()
	conf.ValidationMode = model.ValidationRelaxed
	conf.Limits.MaxStreamBytes = maxForm
	conf.Limits.MaxDecodeBytes = maxStream
	conf.Limits.MaxObjectCount, conf.Limits.MaxXRefEntries = maxObjects, maxObjects
	conf.Limits.MaxObjectStreamCount, conf.Limits.MaxObjectStreamFirst = maxPerShare, 16*maxPerShare
	size := len(data)
	ctx, err := pdfcpu.ReadWithContext(&steps{context.Background(), leastSteps + int(maxSteps*float64(size))},
		&meteredReader{bytes.NewReader(data), leastRead + maxRead*int64(size)}, conf)
	if err != nil {
		return nil, err
	}
	return ctx, unpacks(ctx)
}

// unpacks sees that the streams of objects, which the library unpacks when one
// of their objects is asked for and then keeps, are not too large together.
func unpacks(ctx *model.Context) error {
	left := maxUnpacked
	for n := range ctx.Read.ObjectStreams {
		entry, ok := ctx.Find(n)
		if !ok {
			continue
		}
		o, ok := entry.Object.(types.ObjectStreamDict)
		if !ok {
			continue
		}
		alone := o.StreamDict // a copy: what it unpacks to is not kept
		if err := alone.DecodeWithLimit(maxStream); err != nil {
			return fmt.Errorf("object %d: %w", n, err)
		}
		if left -= len(alone.Content); left < 0 {
			return errTooMuch
		}
	}
	return nil
}
