package recognize_test

import (
	"fmt"
	"maps"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"loopwright/takeoff/recognize"
)

// A sketch is a small drawing in words, one thing a line, units inches:
//
//	turn A                       all that follows is turned by so many degrees about the origin
//	NAME x y [TAG=value ...]     an insert; its block is drawn as a circle of 24 across
//	text x y height WORDS        lettering that begins there
//	paper x y height WORDS       lettering in paper space
//	layer NAME                   of all inserts that follow, FIRE before
//	look LINETYPE COLOR          of all inserts that follow; - and 0 for those of their layer
//	lines x y height factor A;B  an MTEXT of several lines that begins there, with its factor of spacing
//	table x y / end              what stands between is in the cells of a table entity there
//	room x y w h WORDS           four walls with a name in the middle
//	box x y w h                  four lines
//	image x y w h                a picture, as of a scanned plan
//	line x y x y / circle x y r  as they say
//
// It is written as plain R12 text, so that nothing of the reader stands between the table and the file.
func sketch(t *testing.T, text string) string {
	t.Helper()
	var blocks strings.Builder
	body, drawing, cells := &strings.Builder{}, (*strings.Builder)(nil), (*strings.Builder)(nil)
	turn, placed, look, layer := 0.0, "", []string(nil), "FIRE"
	at := func(x, y string) string {
		a, err1 := strconv.ParseFloat(x, 64)
		b, err2 := strconv.ParseFloat(y, 64)
		if err1 != nil || err2 != nil {
			t.Fatalf("no place: %s %s", x, y)
		}
		s, c := math.Sincos(turn * math.Pi / 180)
		return fmt.Sprintf("%.6f\n20\n%.6f", a*c-b*s, a*s+b*c)
	}
	tag := func(words ...string) { body.WriteString(strings.Join(words, "\n") + "\n") }
	line := func(a, b string) {
		tag("0", "LINE", "8", "A", "10", a, "11", strings.Replace(b, "\n20\n", "\n21\n", 1))
	}
	letters := func(x, y string, height, words string) {
		tag("0", "TEXT", "8", "A", "10", at(x, y), "40", height, "50", fmt.Sprint(turn), "1", words)
	}
	num := func(s string) float64 { v, _ := strconv.ParseFloat(s, 64); return v }
	str := func(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
	box := func(f []string) {
		x, y := num(f[1]), num(f[2])
		x1, y1 := str(x+num(f[3])), str(y+num(f[4]))
		line(at(f[1], f[2]), at(x1, f[2]))
		line(at(x1, f[2]), at(x1, y1))
		line(at(x1, y1), at(f[1], y1))
		line(at(f[1], y1), at(f[1], f[2]))
	}
	known := map[string]bool{}
	for s := range strings.Lines(text) {
		s = strings.TrimRight(s, "\n")
		f := strings.Fields(s)
		if len(f) == 0 {
			continue
		}
		switch f[0] {
		case "turn":
			turn = num(f[1])
		case "paper":
			tag("0", "TEXT", "67", "1", "8", "A", "10", at(f[1], f[2]), "40", f[3], "1", s[strings.Index(s, " "+f[3]+" ")+len(f[3])+2:])
		case "layer":
			layer = f[1]
		case "image":
			tag("0", "IMAGE", "8", "A", "10", at(f[1], f[2]), "11", "0.5", "21", "0", "12", "0", "22", "0.5", "13", str(2*num(f[3])), "23", str(2*num(f[4])))
		case "look":
			look = []string{"62", f[2]}
			if f[1] != "-" {
				look = append(look, "6", f[1])
			}
		case "table":
			cells = &strings.Builder{}
			drawing, body = body, cells
			placed = at(f[1], f[2])
		case "end":
			body = drawing
			blocks.WriteString("0\nBLOCK\n8\n0\n2\n*T1\n70\n1\n10\n0\n20\n0\n" + cells.String() + "0\nENDBLK\n")
			tag("0", "ACAD_TABLE", "8", "A", "100", "AcDbBlockReference", "2", "*T1", "10", placed, "100", "AcDbTable", "11", "1", "21", "0", "2", "other", "10", "7")
		case "text":
			letters(f[1], f[2], f[3], s[strings.Index(s, " "+f[3]+" ")+len(f[3])+2:])
		case "lines":
			tag("0", "MTEXT", "8", "A", "10", at(f[1], f[2]), "40", f[3], "44", f[4], "50", fmt.Sprint(turn), "71", "1",
				"1", strings.ReplaceAll(strings.Join(f[5:], " "), ";", "\\P"))
		case "room":
			box(f)
			letters(str(num(f[1])+20), str(num(f[2])+num(f[4])-40), "10", strings.Join(f[5:], " "))
		case "box":
			box(f)
		case "line":
			line(at(f[1], f[2]), at(f[3], f[4]))
		case "circle":
			tag("0", "CIRCLE", "8", "A", "10", at(f[1], f[2]), "40", f[3])
		default:
			if !known[f[0]] {
				known[f[0]] = true
				drawn := "0\nCIRCLE\n8\n0\n10\n0\n20\n0\n40\n12\n"
				if strings.HasPrefix(f[0], "EMPTY") {
					drawn = ""
				}
				blocks.WriteString("0\nBLOCK\n8\n0\n2\n" + f[0] + "\n70\n2\n10\n0\n20\n0\n" + drawn + "0\nENDBLK\n")
			}
			tag(append([]string{"0", "INSERT", "8", layer, "66", "1", "2", f[0], "10", at(f[1], f[2]), "50", fmt.Sprint(turn)}, look...)...)
			for _, a := range strings.Split(s, " | ")[1:] {
				k, v, _ := strings.Cut(a, "=")
				tag("0", "ATTRIB", "8", "FIRE", "10", at(f[1], f[2]), "40", "10", "50", fmt.Sprint(turn), "2", k, "1", v, "70", "0")
			}
			tag("0", "SEQEND", "8", "FIRE")
		}
	}
	return "0\nSECTION\n2\nBLOCKS\n" + blocks.String() + "0\nENDSEC\n0\nSECTION\n2\nENTITIES\n" + body.String() + "0\nENDSEC\n0\nEOF\n"
}

// floor is a storey of eight rooms with its lower left corner somewhere, and a title below it.
func floor(x, y int, title string) string {
	var b strings.Builder
	for i := range 8 {
		fmt.Fprintf(&b, "room %d %d 200 150 Office %d\n", x+200*(i%4), y+150*(i/4), i+1)
	}
	if title != "" {
		fmt.Fprintf(&b, "text %d %d 20 %s\n", x, y-60, title)
	}
	return b.String()
}

// shown writes what was recognised: devices that count by concept, what is asked, and the plans from the lowest up.
func shown(r *recognize.Result) string {
	n := map[string]int{}
	for _, f := range r.Figures {
		switch k := r.Kinds[f.Kind]; {
		case f.Plan < 0 || !f.Visible:
		case k.Concept == "" && k.Text == "":
			n["ask "+k.Value]++
		case f.Status != "":
			n[strings.TrimPrefix(string(k.Concept), "device.")+" "+f.Status]++
		case k.Ours:
			n[strings.TrimPrefix(string(k.Concept), "device.")]++
		}
	}
	var out, plans []string
	for _, k := range slices.Sorted(maps.Keys(n)) {
		out = append(out, fmt.Sprint(k, " ", n[k]))
	}
	for _, i := range r.InOrder() {
		plans = append(plans, r.Plans[i].Name)
	}
	return strings.Join(out, ", ") + "; " + strings.Join(plans, ", ")
}

// Habits of offices, each in a drawing that shows nothing else. Several drawings are parted by "----".
func TestHabits(t *testing.T) {
	const three = "D1 100 50 | K=SD\nD1 300 50 | K=SD\nD1 500 50 | K=HD\n"
	const rows = "text 1000 200 10 %s\ntext 1000 170 10 %s\ntext 1000 140 10 %s\n"
	const many = "SMOKE_DETECTOR 100 50\nSMOKE_DETECTOR 300 50\nSMOKE_DETECTOR 340 50\nSMOKE_DETECTOR 700 50\n"
	const three4 = "P1 100 50\nQ1 300 50\nQ2 500 50\nP3 700 50\n"
	for _, tt := range []struct{ name, drawing, want string }{
		{"abbreviations of the legend are values of an attribute",
			floor(0, 0, "Level 1") + three + "D1 700 50 | K=MCP\n" + fmt.Sprintf(rows, "SD  Smoke detector", "HD  Heat detector", "MCP  Manual call point"),
			"callpoint 1, heat 1, smoke 2; Level 1"},
		{"one of them has a sample, the others are abbreviations alone",
			floor(0, 0, "Level 1") + three + "D1 700 50 | K=FACP\n" + fmt.Sprintf(rows, "Smoke detector", "Heat detector", "Fire alarm control panel") +
				"text 960 200 10 SD\ntext 960 170 10 HD\nD1 964 145 | K=FACP\n",
			"heat 1, panel 1, smoke 2; Level 1"},
		{"a key list in a row: one type for each value, and the others are what the row says",
			floor(0, 0, "Level 1") + "MM 100 50 | K=WF\nMM 300 50 | K=WF\nMM 500 50 | K=TS\nMM 700 50\nMM 100 250 | K=\nPS 300 250\nHD 500 250\n" +
				fmt.Sprintf(rows, "MONITOR MODULE (WF=WATERFLOW, TS=TAMPER SWITCH)", "PULL STATION", "HEAT DETECTOR") + "MM 970 205\nPS 970 175\nHD 970 145\n",
			"callpoint 1, heat 1, input_module 2, valve_tamper 1, waterflow 2; Level 1"},
		{"a value that no row explains is asked about",
			floor(0, 0, "Level 1") + three + "D1 700 50 | K=XY\nD1 100 250 | K=XY\nMCP 300 250\n" + fmt.Sprintf(rows, "Smoke detector", "Heat detector", "Manual call point") +
				"D1 970 205 | K=SD\nD1 970 175 | K=HD\nMCP 970 145\n",
			"ask XY 2, callpoint 1, heat 1, smoke 2; Level 1"},
		{"rows of a legend whose texts are attributes, beside figures with letters",
			floor(0, 0, "Level 1") + "circle 100 50 12\ntext 95 45 10 S\ncircle 300 50 12\ntext 295 45 10 S\ncircle 500 50 12\ntext 495 45 10 H\n" +
				"circle 970 205 12\ntext 965 200 10 S\nEMPTY1 1000 200 | T=Smoke detector\ncircle 970 165 12\ntext 965 160 10 H\nEMPTY1 1000 160 | T=Heat detector\n" +
				"circle 970 125 12\ntext 965 120 10 M\nEMPTY1 1000 120 | T=Manual call point\n",
			"heat 1, smoke 2; Level 1"},
		{"a sheet that is turned, with its frame", "turn 30\n" + floor(0, 0, "Ground floor") + floor(0, 600, "First floor") + "box -150 -200 1300 1300\nSMOKE_DETECTOR 100 50\n",
			"smoke 1; Ground floor, First floor"},
		{"plans that are turned within a frame that is not", "box -900 -200 2000 2000\nturn 30\n" + floor(0, 0, "Ground floor") + floor(0, 600, "First floor") + "SMOKE_DETECTOR 100 650\n",
			"smoke 1; Ground floor, First floor"},
		{"a penthouse much smaller than the floors below", floor(0, 0, "Ground floor") + floor(0, 600, "First floor") +
			"room 0 1200 200 110 Plant room\nroom 200 1200 120 110 Store\ntext 0 1140 20 Roof\nSMOKE_DETECTOR 100 1230\nSMOKE_DETECTOR 300 650\n",
			"smoke 2; Ground floor, First floor, Roof"},
		{"a key plan is none, though a room is named in it", floor(0, 0, "Ground floor") + floor(0, 600, "First floor") +
			"room 0 1200 200 110 Plant room\nroom 200 1200 120 110 Store\ntext 0 1140 20 Key plan of the roof\nSMOKE_DETECTOR 300 650\n",
			"smoke 1; Ground floor, First floor"},
		{"a title block as large as the plan", "room 0 0 300 150 Plant room\nroom 300 0 200 150 Store\ntext 0 -60 20 Roof\nSMOKE_DETECTOR 100 50\nSMOKE_DETECTOR 400 50\n" +
			"box 900 -600 600 150\nline 900 -560 1500 -560\nline 900 -520 1500 -520\nline 900 -480 1500 -480\nline 1100 -600 1100 -450\n",
			"smoke 2; Roof"},
		{"numbers with endings", floor(0, 0, "1ST FLOOR") + floor(0, 600, "2ND FLOOR") + "SMOKE_DETECTOR 100 50\n", "smoke 1; 1st Floor, 2nd Floor"},
		{"numbers with endings in French", floor(0, 0, "2EME ETAGE") + floor(0, 600, "1ER ETAGE") + "SMOKE_DETECTOR 100 50\n----\n" + floor(0, 0, "REZ-DE-CHAUSSEE") + "text 400 -200 10 Plan du niveau\n",
			"smoke 1; Rez-de-chaussee, 1er Etage, 2eme Etage"},
		{"two symbols for each text", floor(0, 0, "Level 1") + three4 +
			fmt.Sprintf(rows, "Smoke detector", "Heat detector", "Manual call point") + "P1 970 205\nP2 970 175\nP3 970 145\nQ1 930 205\nQ2 930 175\nQ3 930 145\n",
			"callpoint 1, heat 1, smoke 2; Level 1"},
		{"two symbols for each text, in two columns of unequal length", floor(0, 0, "Level 1") + three4 + "Q5 100 200\nP4 300 200\n" +
			fmt.Sprintf(rows, "Smoke detector", "Heat detector", "Manual call point") + "P1 970 205\nP2 970 175\nP3 970 145\nQ1 930 205\nQ2 930 175\nQ3 930 145\n" +
			"text 1400 200 10 Horn\ntext 1400 170 10 Strobe\ntext 1400 140 10 Light fitting\nP4 1370 205\nP5 1370 175\nP6 1370 145\nQ5 1330 175\n",
			"callpoint 1, heat 1, smoke 2, sounder 1, strobe 1; Level 1"},
		{"letters in the symbols of plans are no texts of a legend", floor(0, 0, "Level 1") +
			"circle 50 50 12\ntext 45 45 10 SD\nV1 90 50\ncircle 50 90 12\ntext 45 85 10 HD\nV2 90 90\ncircle 50 130 12\ntext 45 125 10 MCP\nV3 90 130\n" +
			fmt.Sprintf(rows, "Smoke detector", "Heat detector", "Manual call point") + "V1 970 205\nV2 970 175\nV3 970 145\n",
			"callpoint 1, heat 1, smoke 1; Level 1"},
		{"the symbol stands far right of short texts, as in a table", floor(0, 0, "Level 1") + "P1 100 50\nP2 300 50\nP3 500 50\n" +
			fmt.Sprintf(rows, "Horn", "Combined optical smoke and rate of rise heat detector, addressable", "Manual call point") + "P1 1700 205\nP2 1700 175\nP3 1700 145\n",
			"callpoint 1, multi 1, sounder 1; Level 1"},
		{"rows with an abbreviation and rows with a symbol", floor(0, 0, "Level 1") + "text 100 50 10 SD\ntext 300 50 10 HD\nP1 500 50\nP2 700 50\n" +
			fmt.Sprintf(rows, "SD = Smoke detector", "HD = Heat detector", "Manual call point") + "text 1000 110 10 Horn\nP1 970 145\nP2 970 115\n",
			"callpoint 1, heat 1, smoke 1, sounder 1; Level 1"},
		{"one text with a row a line, widely spaced", floor(0, 0, "Level 1") + "P1 100 50\nP2 300 50\nP3 500 50\n" +
			"lines 1000 210 10 2.4 Smoke detector;Heat detector;Manual call point\nP1 970 205\nP2 970 165\nP3 970 125\n",
			"callpoint 1, heat 1, smoke 1; Level 1"},
		{"a legend that is a table entity", floor(0, 0, "Level 1") + "P1 100 50\nP2 300 50\nP3 500 50\ntable 900 300\n" +
			fmt.Sprintf(rows, "Smoke detector", "Heat detector", "Manual call point") + "P1 970 205\nP2 970 175\nP3 970 145\nend\n",
			"callpoint 1, heat 1, smoke 1; Level 1"},
		{"a table of samples within a plan's walls counts as none", floor(0, 0, "Level 1") + "P1 100 50\ntable -800 -100\n" +
			fmt.Sprintf(rows, "Smoke detector", "Heat detector", "Manual call point") + "P1 970 205\nP2 970 175\nP3 970 145\nP1 940 205\nend\n",
			"smoke 1; Level 1"},
		{"few are dashed, and nothing says what that means", floor(0, 0, "Level 1") + many + "look DASHED 0\nSMOKE_DETECTOR 500 50\n", "smoke 4, smoke existing 1; Level 1"},
		{"few are gray, and a note tells", floor(0, 0, "Level 1") + many + "look - 252\nSMOKE_DETECTOR 500 50\ntext 1000 -300 10 Gray: to be demolished\n",
			"smoke 4, smoke demolition 1; Level 1"},
		{"half are dashed: it means nothing", floor(0, 0, "Level 1") + many + "look DASHED 0\n" + strings.ReplaceAll(many, "50\n", "200\n"), "smoke 8; Level 1"},
		{"a block that was pasted and has a number for a name", floor(0, 0, "Level 1") + "A$C1F2E3D4C 100 50\nA$C00112233 300 50\nA$C00112244 500 50\n" +
			fmt.Sprintf(rows, "Smoke detector", "Heat detector", "Manual call point") + "A$C1F2E3D4C 970 205\nA$C00112233 970 175\nA$C00112244 970 145\n",
			"callpoint 1, heat 1, smoke 1; Level 1"},
		{"the name of a room runs through a symbol", floor(0, 0, "Level 1") + "circle 55 115 12\nline 50 110 60 120\ncircle 300 50 12\nline 295 45 305 55\nP2 500 50\n" +
			fmt.Sprintf(rows, "Smoke detector", "Heat detector", "Manual call point") + "circle 970 205 12\nline 965 200 975 210\nP2 970 175\nP3 970 145\n",
			"heat 1, smoke 2; Level 1"},
		{"the title stands in paper space, notes beside the plan", floor(0, 0, "") + "SMOKE_DETECTOR 100 50\n" +
			"text 0 -80 10 1. Office walls\ntext 0 -100 10 2. Corridor floor\ntext 0 -120 10 3. Store ceiling\ntext 0 -140 10 4. Lobby door\npaper 10 10 7 SECOND FLOOR\npaper 10 30 3 Office tower\n",
			"smoke 1; Second Floor"},
		{"a penthouse whose title has a word for roof plans in it", floor(0, 0, "PARTER") + floor(0, 600, "PIETRO 1") +
			"room 0 1200 200 110 Biuro\nroom 200 1200 120 110 Biuro\ntext 0 1140 20 rzut dachu\nCZUJKA_DYMU 100 1230\nCZUJKA_DYMU 300 650\nCZUJKA_CIEPLA 500 650\n",
			"heat 1, smoke 2; PARTER, Pietro 1, rzut dachu"},
		{"a short name of a level that reads as a module", floor(0, 0, "2.EM") + "text 1000 100 10 f\u00fcst\u00e9rz\u00e9kel\u0151\ntext 1000 50 10 h\u0151\u00e9rz\u00e9kel\u0151\ntext 1000 0 10 k\u00e9zi jelz\u00e9sad\u00f3\nP1 970 105\nP2 970 55\nP3 970 5\nP1 100 50\n",
			"smoke 1; 2.EM"},
		{"two scanned plans with nothing but devices drawn over them", "image 0 0 800 300\nimage 0 700 800 300\ntext 0 -60 20 Ground floor\ntext 0 640 20 First floor\n" +
			"SMOKE_DETECTOR 100 50\nSMOKE_DETECTOR 300 50\nSMOKE_DETECTOR 100 750\nSMOKE_DETECTOR 1500 500\ntext 100 200 10 Office\ntext 100 900 10 Office\n",
			"smoke 3; Ground floor, First floor"},
		{"a number with a sign for its ending", floor(0, 0, "PLANTA 2ª - FORJADO") + floor(0, 600, "PLANTA 1ª - FORJADO") + "DETECTOR_HUMO 100 50\n", "smoke 1; PLANTA 1ª, PLANTA 2ª"},
		{"a legend that is turned, close to a plan", "turn 30\n" + floor(0, 0, "Level 1") + floor(0, 600, "Level 2") + "P1 100 50\nP1 300 50\nP2 100 650\n" +
			"turn 120\ntext 100 -950 10 Smoke detector\ntext 100 -980 10 Heat detector\ntext 100 -1010 10 Manual call point\nP1 70 -945\nP2 70 -975\nP3 70 -1005\n",
			"heat 1, smoke 2; Level 1, Level 2"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			dir := t.TempDir()
			var names []string
			for i, d := range strings.Split(tt.drawing, "----\n") {
				names = append(names, filepath.Join(dir, fmt.Sprintf("sheet%c.dxf", 'a'+i)))
				if err := os.WriteFile(names[i], []byte(sketch(t, d)), 0o600); err != nil {
					t.Fatal(err)
				}
			}
			r := look(t, names)
			if got := shown(r); got != tt.want {
				t.Errorf("got  %s\nwant %s", got, tt.want)
			}
		})
	}
}

// A layer on which a few devices stand alone is asked about where their symbols stand
// elsewhere too, and not where devices of their own kind have it.
func TestAsides(t *testing.T) {
	many := floor(0, 0, "Level 1") + strings.Repeat("SMOKE_DETECTOR 100 50\nSMOKE_DETECTOR 300 50\nHEAT_DETECTOR 500 50\n", 5)
	for _, tt := range []struct{ name, drawing, want string }{
		{"the same symbols", many + "layer 79\nSMOKE_DETECTOR 700 50\nHEAT_DETECTOR 700 200\n", "79: 2 of 17, else on FIRE"},
		{"symbols of their own", many + "layer 79\nHORN 700 50\nHORN 700 200\n", ""},
		{"as many as elsewhere", many + "layer 79\n" + strings.TrimPrefix(many, floor(0, 0, "Level 1")), ""},
		{"the layer's name tells", many + "layer EXISTING\nSMOKE_DETECTOR 700 50\n", ""},
	} {
		file := filepath.Join(t.TempDir(), "a.dxf")
		if err := os.WriteFile(file, []byte(sketch(t, tt.drawing)), 0o600); err != nil {
			t.Fatal(err)
		}
		got := ""
		for _, a := range look(t, []string{file}).Asides() {
			got += fmt.Sprintf("%s: %d of %d, else on %s", a.Layer, a.Count, a.Of, a.Usual)
		}
		if got != tt.want {
			t.Errorf("%s: %q, want %q", tt.name, got, tt.want)
		}
	}
}

// Sheets of one level that were cut from one drawing lie as they do there, though nothing but
// the devices of the overlap tells; others are laid side by side and a person is told.
func TestSheets(t *testing.T) {
	left := "box 0 0 600 300\nline 200 0 200 300\nline 400 0 400 300\nline 0 150 600 150\ntext 0 -60 20 Ground floor 1/2\n"
	right := "box 400 0 600 300\nline 600 0 600 300\nline 800 0 800 300\nline 400 150 1000 150\ntext 400 -60 20 Ground floor 2/2\n"
	const overlap = "SMOKE_DETECTOR 450 50\nSMOKE_DETECTOR 550 250\nHEAT_DETECTOR 500 60\nHEAT_DETECTOR 430 200\n"
	for _, tt := range []struct {
		name, a, b string
		side       bool
	}{
		{"the same devices where both lie", overlap + "SMOKE_DETECTOR 50 50\n", overlap + "SMOKE_DETECTOR 900 50\n", false},
		{"other devices there", overlap + "SMOKE_DETECTOR 50 50\n", "SMOKE_DETECTOR 460 90\nSMOKE_DETECTOR 560 150\nHEAT_DETECTOR 520 260\nHEAT_DETECTOR 580 110\n", true},
	} {
		dir := t.TempDir()
		var names []string
		for i, d := range []string{left + tt.a, right + tt.b} {
			names = append(names, filepath.Join(dir, fmt.Sprintf("s%d.dxf", i)))
			if err := os.WriteFile(names[i], []byte(sketch(t, d)), 0o600); err != nil {
				t.Fatal(err)
			}
		}
		r := look(t, names)
		ds := r.Datums()
		if len(ds) != 2 {
			t.Errorf("%s: %d plans", tt.name, len(ds))
			continue
		}
		if side := strings.Contains(ds[0].Why+ds[1].Why, "side by side"); side != tt.side || !side && ds[0].At != ds[1].At {
			t.Errorf("%s: %+v", tt.name, ds)
		}
	}
}
