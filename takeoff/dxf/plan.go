package dxf

import (
	"cmp"
	"fmt"

	"loopwright/takeoff/dxf/tags"
	"loopwright/takeoff/parallel"
	"loopwright/takeoff/where"
)

// unitRecords is how many records one unit of work holds.
const unitRecords = 16384

// work returns the plan, made at the first call.
func work(d *Drawing) *plan {
	d.planOnce.Do(func() {
		p := &d.plan
		for _, s := range d.spans {
			for i := s.first; i < s.last; i += unitRecords {
				p.units = append(p.units, unit{span: span{i, min(i+unitRecords, s.last), s.paper}})
			}
		}
		parallel.For(len(p.units), func(k int) {
			p.units[k].peek(d)
			releaseUnit(d, &p.units[k])
		})
		for k := range p.units {
			for _, t := range p.units[k].tops {
				countBlock(d, t.block, p)
			}
		}
		for _, b := range d.blocks {
			countBlock(d, b, p)
		}
		for k := range p.units {
			u := &p.units[k]
			for _, t := range u.tops {
				u.inserts += t.times
				if t.block != nil {
					u.inserts += t.times * t.block.node.inserts
					u.texts += t.times * t.block.node.texts
					u.shapes += t.times * t.block.node.shapes
				}
			}
		}
	})
	return &d.plan
}

func releaseUnit(d *Drawing, u *unit) { d.Release(d.idx.Start(u.first), d.idx.Stop(u.last-1)) }

// peek reads of each insert only what counting needs.
func (u *unit) peek(d *Drawing) {
	n := newNames(d)
	for i := u.first; i < u.last; i++ {
		switch k := d.idx.Kind(i); k {
		case tags.Text, tags.MText:
			u.texts++
		case tags.Insert:
			u.tops = append(u.tops, peekInsert(n, i, u.paper))
		default:
			if _, ok := shapeKindOf(k); ok {
				u.shapes++
			}
		}
	}
}

func peekInsert(n *names, i int, paper bool) top {
	d := n.d
	t := top{rec: int32(i), times: 1, paper: paper}
	pos, end := d.idx.Start(i), d.idx.Stop(i)
	var tag tags.Tag
	cols, rows, dcol, drow := 1, 1, 0.0, 0.0
	for pos < end {
		if _, ok := d.ReadTag(pos, end, &tag); !ok || tag.Code >= 1000 {
			break
		}
		pos = tag.End
		switch tag.Code {
		case 2:
			t.block = n.block(tag).block
		case 67:
			v, _ := d.Int(tag)
			t.paper = t.paper || v&1 != 0
		case 44:
			dcol, _ = d.Float(tag)
		case 45:
			drow, _ = d.Float(tag)
		case 70:
			cols = readCount(n, tag)
		case 71:
			rows = readCount(n, tag)
		}
	}
	t.times = float64(elements(cols, dcol)) * float64(elements(rows, drow))
	return t
}

// countBlock counts what one insert of a block expands to, and breaks cycles: an
// insert of a block inside itself, however deep, is marked and not entered.
func countBlock(d *Drawing, b *Block, p *plan) {
	if b == nil || b.node.state != 0 {
		return
	}
	b.node.state = 1
	inserts := insertsOf(d, b)
	b.node.texts, b.node.shapes = float64(b.node.ownTexts), float64(b.node.ownShapes)
	for k := range inserts {
		r := &inserts[k]
		n := r.times()
		if r.block != nil && r.block.node.state == 1 {
			r.broken = true
			p.findings = append(p.findings, newFinding(d.Source, codeCycle, r.offset, r.handle,
				"block %q contains itself through block %q; the insert that closes the loop is left out", r.name, b.name))
			continue
		}
		b.node.inserts += n
		if r.block != nil {
			countBlock(d, r.block, p)
			b.node.inserts += n * r.block.node.inserts
			b.node.texts += n * r.block.node.texts
			b.node.shapes += n * r.block.node.shapes
		}
	}
	b.node.state = 2
}

// closeGaps moves together what the units wrote into their windows of out, which
// begin at offsets and hold counts.
func closeGaps[T any](out []T, offsets, counts []int) []T {
	n := 0
	for k, c := range counts {
		if n != offsets[k] {
			copy(out[n:], out[offsets[k]:offsets[k]+c])
		}
		n += c
	}
	clear(out[n:])
	return out[:n:n]
}

// windows divides one slice among the units by their counts.
func (p *plan) windows(count func(*unit) float64) (offsets []int) {
	offsets = make([]int, len(p.units)+1)
	for k := range p.units {
		offsets[k+1] = offsets[k] + int(count(&p.units[k]))
	}
	return offsets
}

func countInserts(u *unit) float64 { return u.inserts }

func countTexts(u *unit) float64 { return u.texts }

func limitInserts(d *Drawing, opt Options) error {
	return checkLimit(d, work(d), opt, "inserts", defaultLimit, countInserts)
}

func limitTexts(d *Drawing, opt Options) error {
	return checkLimit(d, work(d), opt, "texts", defaultLimit, countTexts)
}

// listable is the error of Inserts or Texts, before either is listed.
func (d *Drawing) listable(opt Options) error {
	return cmp.Or(limitInserts(d, opt), limitTexts(d, opt))
}

// checkLimit refuses drawings whose blocks multiply beyond the limit. Without one
// given, base is how much they may add to what is stored outside blocks.
func checkLimit(d *Drawing, p *plan, opt Options, what string, base int, count func(*unit) float64) error {
	total, stored := 0.0, 0
	for k := range p.units {
		total += count(&p.units[k])
		stored += p.units[k].last - p.units[k].first
	}
	limit := opt.limit
	if limit <= 0 {
		limit = base
		total -= float64(stored)
	}
	if total <= float64(limit) {
		return nil
	}
	worst := top{}
	for _, u := range p.units {
		for _, t := range u.tops {
			if t.block != nil && (worst.block == nil || t.times*(1+t.block.node.inserts) > worst.times*(1+worst.block.node.inserts)) {
				worst = t
			}
		}
	}
	msg, line := "", 0
	if worst.block != nil {
		line = d.Line(d.idx.Start(int(worst.rec)))
		msg = fmt.Sprintf("; the insert of block %q at %s alone expands to %.3g",
			worst.block.name, d.Where(d.idx.Start(int(worst.rec))), worst.times*(1+worst.block.node.inserts))
	}
	return where.In(d.Name, where.Line(line, fmt.Errorf("%s: nested blocks expand to %.3g %s, over the limit of %d%s",
		d.Name, total, what, limit, msg)))
}
