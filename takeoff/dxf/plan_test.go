package dxf

import (
	"bytes"
	"fmt"
)

// generatedPlan writes an R2000 floor plan with walls, nested furniture and
// devices with attributes: rooms rooms of about 6 kB each.
func generatedPlan(rooms int) []byte {
	var b bytes.Buffer
	b.WriteString("  0\nSECTION\n  2\nHEADER\n  9\n$ACADVER\n  1\nAC1015\n  9\n$INSUNITS\n 70\n     4\n  0\nENDSEC\n")
	b.WriteString("  0\nSECTION\n  2\nTABLES\n  0\nTABLE\n  2\nLAYER\n 70\n     2\n")
	b.WriteString("  0\nLAYER\n  2\n0\n 70\n     0\n 62\n     7\n  0\nLAYER\n  2\nE-FIRE\n 70\n     0\n 62\n     1\n  0\nENDTAB\n  0\nENDSEC\n")
	b.WriteString("  0\nSECTION\n  2\nBLOCKS\n")
	for _, name := range []string{"SMOKE", "PULL", "CHAIR"} {
		fmt.Fprintf(&b, "  0\nBLOCK\n  8\n0\n  2\n%s\n 70\n     0\n 10\n0.0\n 20\n0.0\n 30\n0.0\n", name)
		b.WriteString("  0\nCIRCLE\n  8\n0\n 10\n0.0\n 20\n0.0\n 30\n0.0\n 40\n150.0\n  0\nENDBLK\n")
	}
	b.WriteString("  0\nBLOCK\n  8\n0\n  2\nDESK\n 70\n     0\n 10\n0.0\n 20\n0.0\n 30\n0.0\n")
	b.WriteString("  0\nINSERT\n  8\n0\n  2\nCHAIR\n 10\n400.0\n 20\n-300.0\n 30\n0.0\n 50\n90.0\n  0\nENDBLK\n  0\nENDSEC\n")
	b.WriteString("  0\nSECTION\n  2\nENTITIES\n")
	h := 0x100
	handle := func() int { h++; return h }
	for i := range rooms {
		x, y := float64(i%100)*4000, float64(i/100)*5000
		for k := range 30 {
			fmt.Fprintf(&b, "  0\nLINE\n  5\n%X\n100\nAcDbEntity\n  8\nA-WALL\n100\nAcDbLine\n 10\n%.6f\n 20\n%.6f\n 30\n0.0\n 11\n%.6f\n 21\n%.6f\n 31\n0.0\n",
				handle(), x+float64(k)*10, y, x+float64(k)*10, y+4000.125)
		}
		fmt.Fprintf(&b, "  0\nTEXT\n  5\n%X\n  8\nA-ANNO\n 10\n%.6f\n 20\n%.6f\n 30\n0.0\n 40\n250.0\n  1\nROOM %d\n", handle(), x+500, y+500, i)
		for k, name := range []string{"SMOKE", "PULL", "DESK", "DESK", "CHAIR"} {
			attribs := k < 2
			flag := ""
			if attribs {
				flag = " 66\n     1\n"
			}
			fmt.Fprintf(&b, "  0\nINSERT\n  5\n%X\n100\nAcDbEntity\n  8\nE-FIRE\n100\nAcDbBlockReference\n%s  2\n%s\n 10\n%.6f\n 20\n%.6f\n 30\n0.0\n 41\n1.0\n 42\n1.0\n 43\n1.0\n 50\n%.3f\n",
				handle(), flag, name, x+1000*float64(k), y+2000.0625, float64(k)*37.5)
			if attribs {
				fmt.Fprintf(&b, "  0\nATTRIB\n  5\n%X\n  8\nE-FIRE\n 10\n%.6f\n 20\n%.6f\n 30\n0.0\n 40\n100.0\n  1\nS-%d\n  2\nTAG\n 70\n     0\n  0\nSEQEND\n  5\n%X\n  8\n0\n",
					handle(), x+1000*float64(k), y+2100, i, handle())
			}
		}
	}
	b.WriteString("  0\nENDSEC\n  0\nEOF\n")
	return b.Bytes()
}
