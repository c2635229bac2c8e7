package workbook

import (
	"fmt"

	"loopwright/takeoff"
)

// typeLetter is the letter under which the i-th type is marked on the plans: A
// to Z, then AA and so on.
func typeLetter(i int) string { return column(i + 1) }

// markDevices gives every device that counts its mark: the letter of its type
// and a running number on its drawing, so that the highest number beside a
// letter is the count.
func (b *book) markDevices() {
	letter := map[string]string{}
	for i, t := range b.in.Job.Types {
		letter[t.Type] = typeLetter(i)
	}
	n := map[[3]string]int{}
	for _, d := range b.in.Devices {
		if d.Status != takeoff.Counted {
			continue
		}
		k := [3]string{d.Level, d.Drawing, d.Type}
		n[k]++
		b.marks[d.ID] = fmt.Sprintf("%s%d", letter[d.Type], n[k])
	}
}
