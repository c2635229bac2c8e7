package ledger

import (
	"bytes"
	"testing"

	"pgregory.net/rapid"

	"loopwright/assign"
	"loopwright/takeoff"
	"loopwright/takeoff/geom"
)

// anyName is what may stand in a drawing: line ends, control characters, quotes,
// signs that spreadsheets take for formulas, bytes that are no text.
func anyName() *rapid.Generator[string] {
	return rapid.OneOf(
		rapid.SampledFrom([]string{"", "HALL", "=1+1", "-2", "+A", "@x", "'", `a "b"`, "a,b", "a;b", "two\nlines", "cr\rlf\r\n", "\x00", "\u0085", "\xff", " pad ", "%3B", "É"}),
		rapid.String())
}

// A ledger that the program writes it can read again the next day, whatever the
// drawing's names are, and it then writes the same bytes: a name that made the
// ledger unreadable would cost every address in it.
func TestWhatIsWrittenIsRead(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var devices []assign.Numbered
		var walks []assign.Walk
		for i := range rapid.IntRange(1, 4).Draw(t, "devices") {
			d := takeoff.Device{
				ID: string(rune('A'+i)) + "-1", Status: takeoff.Counted,
				Type: anyName().Draw(t, "type"), Level: anyName().Draw(t, "level"), Room: anyName().Draw(t, "room"), Drawing: anyName().Draw(t, "drawing"),
				Handle: rapid.SampledFrom([]string{"", "2F1"}).Draw(t, "handle"),
				Pos:    geom.Pt(rapid.Float64Range(-1e6, 1e6).Draw(t, "x"), rapid.Float64Range(-1e6, 1e6).Draw(t, "y")),
			}
			devices = append(devices, assign.Numbered{Device: d, Circuit: "SLC-1", Order: i + 1, Address: i + 1, Span: 1})
			walks = append(walks, assign.Walk{Circuit: rapid.SampledFrom([]string{"SLC-1", "PWR;1", "A:B", "50%"}).Draw(t, "circuit"), Devices: []string{d.ID}})
		}
		written := Ledger{}.Recall(nil).Next(devices, walks).Bytes()
		l, err := Parse("job.ledger.csv", written)
		if err != nil {
			t.Fatalf("%v\n%s", err, written)
		}
		if len(l.Rows) != len(devices) {
			t.Fatalf("%d rows of %d devices\n%s", len(l.Rows), len(devices), written)
		}
		if again := l.Bytes(); !bytes.Equal(again, written) {
			t.Fatalf("read and written again it is\n%s\nand was\n%s", again, written)
		}
	})
}
