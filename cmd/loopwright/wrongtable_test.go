package main

import (
	"fmt"
	"strings"
)

// bomb is a drawing of blocks in blocks in blocks, ten of the next in each.
func bomb(depth int) string {
	var b strings.Builder
	b.WriteString("0\nSECTION\n2\nHEADER\n9\n$ACADVER\n1\nAC1009\n9\n$INSUNITS\n70\n1\n0\nENDSEC\n0\nSECTION\n2\nBLOCKS\n")
	insert := func(name string) { fmt.Fprintf(&b, "0\nINSERT\n8\n0\n2\n%s\n10\n1\n20\n1\n30\n0\n", name) }
	for i := range depth {
		fmt.Fprintf(&b, "0\nBLOCK\n8\n0\n2\nB%d\n70\n0\n10\n0\n20\n0\n30\n0\n3\nB%d\n", i, i)
		for range 10 {
			if i+1 < depth {
				insert(fmt.Sprintf("B%d", i+1))
			}
		}
		b.WriteString("0\nPOINT\n8\n0\n10\n0\n20\n0\n30\n0\n0\nENDBLK\n8\n0\n")
	}
	b.WriteString("0\nENDSEC\n0\nSECTION\n2\nENTITIES\n")
	insert("B0")
	b.WriteString("0\nENDSEC\n0\nEOF\n")
	return b.String()
}

const (
	onJob   = "build job.yaml -o out"
	onList  = "build list.yaml -o out"
	onSite  = "reconcile job.yaml back"
	csvHead = "id,type,level,x,y,room\n"
	smoke   = "A-1,smoke,Level 4,10,20,\n"
	plans   = "  - {drawing: plan.dxf, level: Level 1, units: in}"
	panels  = "  - {panel: FACP, at: {level: Level 1, point: [20, 20]}}"
	circuit = panels + "\ncircuits:\n  - {circuit: SLC-1, panel: FACP, "
	types   = "mounting: ceiling, addresses: 1,"
)

const ledgerHead = "id,circuit,order,address,span,type,level,room,drawing,handle,x_m,y_m,state,also,found,serial,done,remark\n"

// wrongInputs is the table. What a job file can say wrongly key by key stands in
// cmd/internal/job/testdata/wrong.txt; here are the ways to get the program as a
// whole to fail.
func wrongInputs() []wrong {
	row := func(name, args string, do ...step) wrong { return wrong{name: name, args: args, do: do} }
	found := func(name, args string, do ...step) wrong { return wrong{name: name, args: args, do: do, found: true} }
	return []wrong{
		row("no such command", "biuld job.yaml"),
		row("no such flag", "build job.yaml --ouput out"),
		row("no such short flag", "build job.yaml -x"),
		row("flag without its value", "build job.yaml -o"),
		row("no argument", "build"),
		row("too many arguments", "build job.yaml list.yaml"),
		row("help on nothing", "help fly"),
		row("a drawing given as the job", "build plan.dxf"),
		row("a job given as a drawing", "survey job.yaml"),
		row("a job given to begin", "begin job.yaml -o new.yaml"),
		row("begin over a job file", "begin plan.dxf -o job.yaml"),
		row("begin in a folder that is not there", "begin plan.dxf -o new/job.yaml"),
		row("begin with a drawing twice", "begin plan.dxf ./plan.dxf -o new.yaml"),

		row("job: not there", "build jobb.yaml"),
		row("job: a folder", "build ."),
		row("job: empty", onJob, file("job.yaml", "")),
		row("job: only a comment", onJob, file("job.yaml", "# nothing\n")),
		row("job: a list", onJob, file("job.yaml", "- a\n- b\n")),
		row("job: binary", onJob, file("job.yaml", "\x00\x01\xff\xfeMZ")),
		row("job: UTF-16", onJob, file("job.yaml", "\xff\xfej\x00o\x00b\x00")),
		row("job: tab for indentation", onJob, edit("job.yaml", plans, "\t- {drawing: plan.dxf, level: Level 1}")),
		row("job: bracket left open", onJob, edit("job.yaml", "units: in}", "units: in")),
		row("job: quote left open", onJob, edit("job.yaml", `"fa-SMK"`, `"fa-SMK`)),
		row("job: alias without anchor", onJob, edit("job.yaml", "units: in", "units: *u")),
		row("job: alias that holds itself", onJob, edit("job.yaml", plans, "  - &p {drawing: plan.dxf, level: Level 1, ignore: [*p]}")),
		row("job: aliases that grow without end", onJob, file("job.yaml", aliasBomb())),
		row("job: key mistyped", onJob, edit("job.yaml", "units: in", "untis: in")),
		row("job: key twice", onJob, edit("job.yaml", "units: in", "units: in, units: ft")),
		row("job: unknown unit", onJob, edit("job.yaml", "units: in", "units: inches")),
		row("job: length without a unit", onJob, edit("job.yaml", "units: in", "units: in, ceiling: 10")),
		row("job: current for a length", onJob, edit("job.yaml", "units: in", "units: in, ceiling: 10 mA")),
		row("job: not a number", onJob, edit("job.yaml", "standby: 0.3 mA", "standby: .nan mA")),
		row("job: negative", onJob, edit("job.yaml", "hours: 0.75", "hours: -1")),
		row("job: beyond all bounds", onJob, edit("job.yaml", "addresses: 1", "addresses: 99999999999999999999")),
		row("job: unknown level", onJob, edit("job.yaml", "at: {level: Level 1", "at: {level: Level 7")),
		row("job: unknown panel", onJob, edit("job.yaml", panels, circuit+"panel: FACP-2}")),
		row("job: circuit to no such panel", onJob, edit("job.yaml", panels, panels+"\ncircuits:\n  - {circuit: SLC-1, panel: FACP-2}")),
		row("job: unknown cable", onJob, edit("job.yaml", panels, circuit+"cable: 99/9}")),
		row("job: unknown class", onJob, edit("job.yaml", panels, circuit+"pathway: Z}")),
		row("job: taps on a loop", onJob, edit("job.yaml", panels, circuit+"pathway: A, taps: yes}")),
		row("job: unknown scheme", onJob, edit("job.yaml", panels, circuit+"addresses: {scheme: octal}}")),
		row("job: addresses beyond the switches", onJob, edit("job.yaml", panels, circuit+"addresses: {scheme: binary7, first: 1, last: 300}}")),
		row("job: no panel", onJob, edit("job.yaml", "panels:\n"+panels, "")),
		row("job: two panels of one name", onJob, edit("job.yaml", panels, panels+"\n"+panels)),
		row("job: a panel that is nowhere", onJob, edit("job.yaml", "at: {level: Level 1, point: [20, 20]}", "match: [{block: NOPANEL}]")),
		row("job: a font that is none", onJob, edit("job.yaml", "report: imperial", "report: imperial\nfont: plan.dxf")),
		row("job: a font that is not there", onJob, edit("job.yaml", "report: imperial", "report: imperial\nfont: a.ttf")),
		row("job: path out of the folder", onJob, edit("job.yaml", "drawing: plan.dxf", "drawing: ../../../etc/nothing.dxf")),

		row("drawing: not there", onJob, edit("job.yaml", "drawing: plan.dxf", "drawing: paln.dxf")),
		row("drawing: a folder", onJob, folder("plan.dxf")),
		row("drawing: empty", onJob, file("plan.dxf", "")),
		row("drawing: DWG", onJob, file("plan.dxf", "AC1027\x00\x00\x00\x00\x00\x00\x00\x7e\x01\x00")),
		row("drawing: PDF", onJob, file("plan.dxf", "%PDF-1.7\n%\xe2\xe3\xcf\xd3\n1 0 obj\n")),
		row("drawing: zipped", onJob, file("plan.dxf", "PK\x03\x04\x14\x00\x00\x00\x08\x00")),
		row("drawing: text", onJob, file("plan.dxf", "Dear all,\nplease find attached.\n")),
		row("drawing: binary garbage", onJob, file("plan.dxf", strings.Repeat("\x00\xff\x13\x37", 500))),
		found("drawing: cut off early", onJob, cut("plan.dxf", 400)),
		found("drawing: cut off late", onJob, cut("plan.dxf", 8000)),
		found("drawing: begins in the middle", onJob, edit("plan.dxf", "SECTION", "SEXTION")),
		found("drawing: binary, cut off", onJob, file("plan.dxf", "AutoCAD Binary DXF\r\n\x1a\x00\x00SECTION\x00\x02HEAD")),
		found("drawing: group code that is none", onJob, edit("plan.dxf", "  0\r\nSECTION", "  x\r\nSECTION")),
		row("drawing: nesting bomb", onJob, file("plan.dxf", bomb(12))),
		row("drawing: a line of 100 MB", onJob, file("plan.dxf", "  0\nSECTION\n  2\nENTITIES\n  0\nTEXT\n  1\n"+strings.Repeat("x", 100<<20)+"\n  0\nENDSEC\n  0\nEOF\n")),
		row("drawing: link to nothing", onJob, link("plan.dxf", "gone.dxf")),
		row("survey: not there", "survey paln.dxf"),
		row("survey: one of two is empty", "survey plan.dxf empty.dxf", file("empty.dxf", "")),
		row("survey: unit that is none", "survey --units cubits plan.dxf"),

		row("list: empty", onList, file("devices.csv", "")),
		row("list: no heading", onList, file("devices.csv", smoke)),
		row("list: column mistyped", onList, file("devices.csv", "id,tpye,level,x,y\n")),
		row("list: semicolons", onList, file("devices.csv", strings.ReplaceAll(csvHead+smoke, ",", ";"))),
		row("list: cell too few", onList, file("devices.csv", csvHead+"A-1,smoke,Level 4,10\n")),
		row("list: place that is no number", onList, file("devices.csv", csvHead+"A-1,smoke,Level 4,ten,20,\n")),
		row("list: NaN", onList, file("devices.csv", csvHead+"A-1,smoke,Level 4,NaN,20,\n")),
		row("list: infinite", onList, file("devices.csv", csvHead+"A-1,smoke,Level 4,1e999,20,\n")),
		row("list: id twice", onList, file("devices.csv", csvHead+smoke+smoke)),
		row("list: unknown type", onList, file("devices.csv", csvHead+"A-1,smoek,Level 4,10,20,\n")),
		row("list: unknown level", onList, file("devices.csv", csvHead+"A-1,smoke,Level 9,10,20,\n")),
		row("list: quote left open", onList, file("devices.csv", csvHead+"A-1,\"smoke,Level 4,10,20,\n")),
		row("list: a workbook", onList, file("devices.csv", "PK\x03\x04\x14\x00\x06\x00\x08\x00\x00\x00")),
		row("list: UTF-16", onList, file("devices.csv", "\xff\xfei\x00d\x00,\x00")),
		row("list: a folder", onList, folder("devices.csv")),

		row("ledger: empty", onJob, file("job.ledger.csv", "")),
		row("ledger: of something else", onJob, file("job.ledger.csv", "date,amount\n2026-01-01,3\n")),
		row("ledger: cut off", onJob, file("job.ledger.csv", ledgerHead+"L1-001,SLC-1,1,7,1,smo")),
		row("ledger: address twice", onJob, file("job.ledger.csv", ledgerHead+
			"A,SLC-1,1,7,1,smoke,Level 1,,plan.dxf,1,0,0,planned,,,,,\nB,SLC-1,2,7,1,smoke,Level 1,,plan.dxf,2,0,0,planned,,,,,\n")),
		row("ledger: merge marks", onJob, file("job.ledger.csv", ledgerHead+"<<<<<<< HEAD\n")),
		row("ledger: a folder", onJob, folder("job.ledger.csv")),

		row("job: from standard input", "build - -o out"),
		row("job: no file", "build /dev/null -o out"),
		row("drawing: from standard input", "survey -"),
		row("drawing: without end", "survey /dev/zero"),
		row("output: a link to nothing", onJob, emptied("out"), link("out", "nowhere")),
		row("output: a link to a file", onJob, emptied("out"), link("out", "plan.dxf")),
		row("output: a file", "build job.yaml -o plan.dxf"),
		row("output: below a file", "build job.yaml -o plan.dxf/out"),
		row("output: a folder where a file goes", onJob, folder("out/points.csv")),
		row("output: a file where a folder goes", onJob, file("out/plans", "mine")),
		row("output: over its own drawing", "build job.yaml -o .", file("plans/x", ""), move("plan.dxf", "plans/plan.dxf"), edit("job.yaml", "drawing: plan.dxf", "drawing: plans/plan.dxf")),
		row("output: over its own list", "build list.yaml -o .", move("devices.csv", "points.csv"), edit("list.yaml", "devices.csv", "points.csv")),
		row("reconcile: no file", "reconcile job.yaml"),
		row("reconcile: not there", "reconcile job.yaml field.json"),
		row("reconcile: two that are not there", "reconcile job.yaml felid.json out/takoeff.xlsx", file("field.json", "{}")),
		row("reconcile: a folder", "reconcile job.yaml out"),
		row("reconcile: empty", onSite, file("back", "")),
		row("reconcile: the drawing", "reconcile job.yaml plan.dxf"),
		row("reconcile: a picture", onSite, file("back", "\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR")),
		row("reconcile: PDF of nothing", onSite, file("back", "%PDF-1.7\n1 0 obj\n<<>>\n")),
		row("reconcile: PDF cut off", onSite, file("back", "%PDF-1.4\n1 0 obj\n<</Type/Catalog/Pages 2 0 R>>\nendobj\n2 0 obj\n<</Type/Pa")),
		row("reconcile: JSON of something else", onSite, file("back", `{"devices": []}`)),
		row("reconcile: JSON cut off", onSite, file("back", `{"format": "loopwright field page", "version": 1, "ent`)),
		row("reconcile: JSON of a later version", onSite, file("back", `{"format": "loopwright field page", "version": 99, "entries": []}`)),
		row("reconcile: an unknown key", onSite, file("back", `{"format": "loopwright field page", "version": 1, "entries": [], "extra": 1}`)),
		row("reconcile: an address that cannot be", onSite, file("back", `{"format": "loopwright field page", "version": 1, "entries": [{"id": "L1-001", "circuit": "SLC-1", "address": -5, "done": true, "problem": false}]}`)),
		row("reconcile: workbook that is no zip", onSite, file("back", "PK\x03\x04 and nothing more")),
		row("reconcile: zip that is no workbook", onSite, zipped("back", "readme.txt", 10)),
		row("reconcile: zip bomb", onSite, zipped("back", "xl/workbook.xml", 700)),
		row("compare: not there", "compare job.yaml old.yaml"),
		row("compare: drawing not there", "compare plan.dxf paln.dxf"),
		row("compare: one only", "compare job.yaml"),
		row("compare: with something else", "compare job.yaml devices.csv"),
		row("demo: over a changed job", "demo .", file("level-1.dxf", "mine")),
	}
}

// aliasBomb is a job file that would be of a billion values if its aliases were
// written out.
func aliasBomb() string {
	var b strings.Builder
	b.WriteString("a0: &a0 [x, x, x, x, x, x, x, x, x]\n")
	for i := range 9 {
		fmt.Fprintf(&b, "a%d: &a%d [%s]\n", i+1, i+1, strings.TrimSuffix(strings.Repeat(fmt.Sprintf("*a%d, ", i), 9), ", "))
	}
	return b.String() + "job: *a9\n"
}
