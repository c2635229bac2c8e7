package dxf

import (
	"fmt"
	"strings"
	"testing"

	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/japanese"
	"golang.org/x/text/encoding/simplifiedchinese"
)

// TestPlainMText resolves inline codes. The codes are those of the DXF reference
// (MTEXT) and of the published list of format codes for multiline text.
var mtextCases = []struct{ in, want string }{
	{`plain`, "plain"},
	{`one\Ptwo`, "one\ntwo"},
	{`{\fArial|b1|i0|c0|p34;BOLD} end`, "BOLD end"},
	{`\H1.5x;big\H0.7x;small`, "bigsmall"},
	{`\C1;red \c255;true`, "red true"},
	{`\A1;\W0.8;\T1.2;\Q15;x`, "x"},
	{`\pxqc,i1;para`, "para"},
	{`\Lunder\l \Oover\o \Kstruck\k`, "under over struck"},
	{`a\~b`, "a\u00a0b"},
	{`\S1/2;`, "1/2"},
	{`\S1#2; \S+0.1^ -0.2;`, "1#2 +0.1^-0.2"},
	{`1\H0.7x;\S3/4;"`, `13/4"`},
	{`\{brace\} \\ back`, `{brace} \ back`},
	{`{nested {deep} text}`, "nested deep text"},
	{`90%%d %%p1 %%c5 %%065`, "90° ±1 Ø5 A"},
	{`%%uno switch here%%U`, `%%uno switch here%%U`},
	{`100% sure %`, "100% sure %"},
	{`col1\Ncol2`, "col1\ncol2"},
	{`a^Ib^Jc`, "a\tb\nc"},
	{`ends in \`, `ends in \`},
	{`\Hno end`, "no end"},
	{`\S1/2`, "1/2"},
	{`\Zunknown`, `\Zunknown`},
	{`\U+00B0 stays for the decoder`, `\U+00B0 stays for the decoder`},
	{`unclosed {brace`, "unclosed brace"},
	{`Ünïcode \Pтекст`, "Ünïcode \nтекст"},
}

func TestPlainMText(t *testing.T) {
	for _, c := range mtextCases {
		if got := plainMText(c.in); got != c.want {
			t.Errorf("%q: %q, want %q", c.in, got, c.want)
		}
	}
}

// TestPlainText: %% codes as in the DXF reference (TEXT) and the user guide.
func TestPlainText(t *testing.T) {
	for in, want := range map[string]string{
		"%%u2 CAR%%U GARAGE": "2 CAR GARAGE", "%%o%%kx": "x", "45%%d": "45°", "%%P1": "±1", "%%C20": "Ø20", "5%%%": "5%",
		"%%065BC": "ABC", "%%x": "%%x", "50%": "50%", "%%": "%%", "": "", "a^ b": "a^b", "x^Iy": "x\ty", `no \P here`: `no \P here`,
	} {
		if got := plainText(in); got != want {
			t.Errorf("%q: %q, want %q", in, got, want)
		}
	}
}

// TestCharsets decodes the same word in each code page and version.
func TestCharsets(t *testing.T) {
	encode := func(s string, e interface{ Bytes([]byte) ([]byte, error) }) string {
		b, err := e.Bytes([]byte(s))
		if err != nil {
			t.Fatal(err)
		}
		return string(b)
	}
	for _, c := range []struct{ version, page, raw, want string }{
		{"AC1015", "ANSI_1252", "caf\xe9", "café"},
		{"AC1015", "ANSI_1251", encode("ДЫМ", charmap.Windows1251.NewEncoder()), "ДЫМ"},
		{"AC1018", "ANSI_1250", encode("Hlásič", charmap.Windows1250.NewEncoder()), "Hlásič"},
		{"AC1018", "ANSI_1253", encode("ΚΑΠΝΟΣ", charmap.Windows1253.NewEncoder()), "ΚΑΠΝΟΣ"},
		{"AC1018", "ANSI_1254", encode("duman algılayıcı", charmap.Windows1254.NewEncoder()), "duman algılayıcı"},
		{"AC1015", "ANSI_936", encode("感烟探测器", simplifiedchinese.GBK.NewEncoder()), "感烟探测器"},
		{"AC1015", "gb2312", encode("手报", simplifiedchinese.GBK.NewEncoder()), "手报"},
		{"AC1015", "ANSI_932", encode("表示ソ", japanese.ShiftJIS.NewEncoder()), "表示ソ"}, // second bytes equal to a backslash
		{"AC1015", "ANSI_949", "\xbf\xac\xb1\xe2", "연기"},
		{"AC1015", "ANSI_950", "\xb7\xcf\xc3\xfa", "煙霧"},
		{"AC1015", "ANSI_1258", "Vi\xeat", "Viêt"},
		{"AC1012", "dos850", "caf\x82", "café"},
		{"AC1009", "DOS437", "caf\x82", "café"},
		{"AC1009", "", "caf\xe9", "café"},
		{"", "", "café", "café"},
		{"AC1021", "ANSI_1252", "café", "café"},
		{"AC1032", "ANSI_936", "感烟", "感烟"},
		{"AC1032", "ANSI_1252", "caf\xe9", "café"}, // not UTF-8 although it should be
		{"AC1015", "EBCDIC", "caf\xe9", "café"},
		{"AC1015", "ANSI_1252", `\U+03A9 ohm`, "Ω ohm"},
		{"AC1032", "ANSI_1252", `\U+D83D\U+DD25`, "🔥"},
		{"AC1015", "ANSI_1252", `\U+D83D alone`, "\uFFFD alone"},
		{"AC1015", "ANSI_1252", `\U+12 \U+XYZW`, `\U+12 \U+XYZW`},
		{"AC1015", "ANSI_1252", `\M+1836E`, "ハ"},
		{"AC1015", "ANSI_1252", `\M+5B8D0`, "感"},
		{"AC1015", "ANSI_1252", `\M+9B8D0`, `\M+9B8D0`},
	} {
		src := drawingOf("9 $ACADVER\n1 "+c.version+"\n9 $DWGCODEPAGE\n3 "+c.page, "", "", "0 TEXT\n8 "+c.raw+"\n1 "+c.raw)
		texts := mustTexts(t, mustParse(t, src), Options{})
		if len(texts) != 1 || texts[0].Text != c.want || texts[0].Layer != c.want {
			t.Errorf("%s %s %q: %+v, want %q", c.version, c.page, c.raw, texts, c.want)
		}
	}
}

// textCases are texts and where they end up.
var textCases = []struct{ name, blocks, entities, want string }{
	{"left", "", "0 TEXT\n8 A\n10 1\n20 2\n40 3\n50 45\n1 AB", "AB@1,2 h3 r45 w5.4 00"},
	{"second point without alignment is ignored", "", "0 TEXT\n8 A\n10 1\n20 2\n11 9\n21 9\n40 1\n1 A", "A@1,2 h1 r0 w0.9 00"},
	{"centered", "", "0 TEXT\n8 A\n10 1\n20 2\n11 9\n21 8\n40 1\n1 A\n72 1", "A@9,8 h1 r0 w0.9 10"},
	{"right, top", "", "0 TEXT\n8 A\n10 1\n20 2\n11 9\n21 8\n40 1\n1 A\n72 2\n73 3", "A@9,8 h1 r0 w0.9 23"},
	{"left, middle", "", "0 TEXT\n8 A\n10 1\n20 2\n11 9\n21 8\n40 1\n1 A\n73 2", "A@9,8 h1 r0 w0.9 02"},
	{"middle", "", "0 TEXT\n8 A\n10 1\n20 2\n11 9\n21 8\n40 1\n1 A\n72 4", "A@9,8 h1 r0 w0.9 12"},
	{"fitted between two points", "", "0 TEXT\n8 A\n10 0\n20 0\n11 0\n21 10\n40 1\n1 A\n72 5", "A@0,0 h1 r90 w10 40"},
	{"aligned between two points", "", "0 TEXT\n8 A\n10 0\n20 0\n11 3\n21 4\n40 1\n1 A\n72 3", "A@0,0 h1 r53.1301 w5 30"},
	{"extrusion", "", "0 TEXT\n8 A\n10 1\n20 2\n40 1\n1 A\n210 0\n220 0\n230 -1", "A@-1,2 h1 r180 w0.9 00"},
	{"no text", "", "0 TEXT\n8 A\n10 1\n20 2\n40 1", "@1,2 h1 r0 w0 00"},
	{"mtext", "", "0 MTEXT\n8 A\n10 1\n20 2\n40 2\n71 5\n50 30\n3 one\\P\n1 three", "one/three@1,2 h2 r30 w9 12 mtext2"},
	{"mtext by direction; the later of direction and angle counts", "", "0 MTEXT\n8 A\n10 1\n20 2\n40 1\n50 30\n11 0\n21 1\n31 0\n1 A", "A@1,2 h1 r90 w0.9 03 mtext1"},
	{"mtext wraps at its frame", "", "0 MTEXT\n8 A\n10 0\n20 0\n40 1\n41 4.5\n1 ABCDEFGHIJ", "ABCDEFGHIJ@0,0 h1 r0 w4.5 03 mtext2"},
	{"mtext with columns: the embedded object's groups are not its own", "", "0 MTEXT\n8 A\n10 1\n20 2\n40 1\n71 1\n1 A\\NB\n101 Embedded Object\n70 1\n10 7\n20 7\n40 7\n71 2", "A/B@1,2 h1 r0 w0.9 03 mtext2"},
	{"split in the middle of a letter and of a code", "", "0 MTEXT\n8 A\n10 0\n20 0\n40 1\n3 caf\xc3\n3 \xa9 \\\n1 Px", "café /x@0,0 h1 r0 w4.5 03 mtext2"},
	{"in a block", block("B", "0 TEXT\n8 0\n10 1\n20 0\n40 1\n1 A"), "0 INSERT\n8 L\n2 B\n10 10\n20 10\n41 2\n42 2\n43 2\n50 90", "A@10,12 h2 r90 w1.8 00 in B"},
	{"drawing order: before, in and after an insert", block("B", "0 TEXT\n1 1\n0 INSERT\n2 C\n0 TEXT\n1 3") + block("C", "0 TEXT\n1 2"), "0 TEXT\n1 0\n0 INSERT\n2 B\n0 TEXT\n1 4",
		"0@0,0 h0 r0 w0 00\n1@0,0 h0 r0 w0 00 in B\n2@0,0 h0 r0 w0 00 in B/C\n3@0,0 h0 r0 w0 00 in B\n4@0,0 h0 r0 w0 00"},
	{"attributes and their definitions are no texts", block("B", "0 ATTDEF\n1 x\n2 T\n70 0"), "0 INSERT\n66 1\n2 B\n0 ATTRIB\n1 y\n2 T\n0 SEQEND", ""},
}

func TestTexts(t *testing.T) {
	for _, c := range textCases {
		t.Run(c.name, func(t *testing.T) {
			var got []string
			for _, x := range mustTexts(t, mustParse(t, drawingOf("9 $ACADVER\n1 AC1032", "", c.blocks, c.entities)), Options{}) {
				s := fmt.Sprintf("%s@%.6g,%.6g h%.6g r%.6g w%.6g %d%d", strings.ReplaceAll(x.Text, "\n", "/"), x.Pos.X, x.Pos.Y, x.Height, x.Rotation, x.Width, x.Align.H, x.Align.V)
				if strings.HasPrefix(c.entities, "0 MTEXT") {
					s += fmt.Sprint(" mtext", x.Lines)
				}
				if len(x.Path) > 0 {
					s += " in " + strings.Join(x.Path, "/")
				}
				got = append(got, s)
			}
			if s := strings.Join(got, "\n"); s != c.want {
				t.Errorf("\n got %s\nwant %s", s, c.want)
			}
		})
	}
}

func TestTextBox(t *testing.T) {
	x := Text{Pos: Vec3{10, 10, 0}, Height: 2, Width: 8, Lines: 1, Align: Align{Center, Middle}, Rotation: 90}
	if got, want := x.Box(), [4]Vec3{{11, 6, 0}, {11, 14, 0}, {9, 14, 0}, {9, 6, 0}}; got != want {
		t.Errorf("%v, want %v", got, want)
	}
}
