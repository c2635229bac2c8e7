"""Traps about blocks: nesting, arrays, dynamic and bound names, references that are missing."""
from drafting import symbols
from drafting.case import Case


def nested():
    t = Case("nested", "Devices inside blocks, two deep, turned, mirrored and stretched: one device per place where it is seen.")
    s = t.sheet()
    a = s.room("101", "HALL", 0, 0, 960, 480)
    suite_base = (10.0, 20.0)
    unit = s.nest("TYP-UNIT")
    smoke = unit.add_blockref("FA-SMK", (30, 40), dxfattribs={"layer": "E-FIRE"})
    pull = unit.add_blockref("FA-PULL", (-20, 10), dxfattribs={"layer": "E-FIRE", "rotation": 90})
    suite = s.nest("TYP-SUITE", suite_base)
    units = [suite.add_blockref("TYP-UNIT", (60, 70), dxfattribs={"layer": "A-AREA"}),
             suite.add_blockref("TYP-UNIT", (180, 70), dxfattribs={"layer": "A-AREA", "xscale": -1.0})]
    alone = suite.add_blockref("FA-HEAT", (120, 120), dxfattribs={"layer": "E-FIRE"})
    for x, y, rot, xs, ys in ((100, 100, 0, 1, 1), (560, 60, 90, 1, 1), (900, 300, 180, 1, -1), (320, 260, 30, 1, 1), (640, 130, 0, 1.2, 1.2)):
        ref = s.insert("TYP-SUITE", x, y, "A-AREA", rot, xs, ys)
        for u in units:
            s.note_nested("smoke", smoke, [ref, u], a)
            s.note_nested("pull station", pull, [ref, u], a)
        s.note_nested("heat", alone, [ref], a)
    t.job(["drawing: plan.dxf, level: Level 1"], ["smoke", "heat", "pull station"])
    return t


def array():
    t = Case("array", "One insert with rows and columns (MINSERT) is as many devices; also turned, mirrored, with negative spacing.")
    s = t.sheet()
    a = s.room("101", "HALL", 0, 0, 960, 480)
    for type, x, y, dxf in (
            ("smoke", 60, 60, {"column_count": 4, "row_count": 3, "column_spacing": 90.0, "row_spacing": 80.0}),
            ("heat", 640, 60, {"rotation": 30.0, "column_count": 3, "row_count": 2, "column_spacing": 80.0, "row_spacing": 90.0}),
            ("smoke", 900, 420, {"column_count": 3, "row_count": 2, "column_spacing": -90.0, "row_spacing": -70.0}),
            ("pull station", 100, 400, {"xs": -1.0, "column_count": 4, "row_count": 1, "column_spacing": 100.0, "row_spacing": 0.0})):
        ref = s.insert(symbols.TYPES[type][0], x, y, **dxf)
        for copy in ref.multi_insert():
            p = copy.dxf.insert
            s.record.device(type, s.file, s.level, a, ref, p.x, p.y, "", ref.dxf.name, layer="E-FIRE")
    t.job(["drawing: plan.dxf, level: Level 1"], ["smoke", "heat", "pull station"])
    return t


def dynamic():
    t = Case("dynamic", "Dynamic blocks are inserted under anonymous names; the block record says which block each comes from.")
    s = t.sheet(version="R2007")
    a = s.room("101", "HALL", 0, 0, 720, 360)
    for app in ("AcDbBlockRepBTag", "AcDbDynamicBlockTrueName", "AcDbDynamicBlockTrueName2"):
        s.doc.appids.new(app)
    records = s.doc.block_records
    records.get("FA-SMK").set_xdata("AcDbDynamicBlockTrueName", [(1000, "FA-SMK")])

    def anonymous(of, draw):
        b = s.doc.blocks.new_anonymous_block("U")
        draw(b)
        if of:
            records.get(b.name).set_xdata("AcDbBlockRepBTag", [(1070, 1), (1005, records.get(of).dxf.handle)])
        return b.name

    smoke = anonymous("FA-SMK", symbols.BUILD["FA-SMK"])
    other = anonymous("FA-SMK", lambda b: b.add_circle((0, 0), 12))
    heat = anonymous("FA-HEAT", symbols.BUILD["FA-HEAT"])
    stray = anonymous(None, symbols.BUILD["FA-PULL"])
    s.put("smoke", 60, 260, a)
    for name, x, more in ((smoke, 180, {}), (other, 300, {}), (smoke, 420, {"xs": -1.0, "rotation": 90.0})):
        s.put("smoke", x, 260, a, block=name, more={"effective": "FA-SMK"}, **more)
    s.put("heat", 540, 260, a, block=heat, more={"effective": "FA-HEAT"})
    # a visibility state: the block holds both symbols, one of them invisible
    b = s.doc.blocks.new_anonymous_block("U")
    shown = b.add_blockref("FA-SMK", (0, 0), dxfattribs={"layer": "E-FIRE"})
    hidden = b.add_blockref("FA-HEAT", (0, 0), dxfattribs={"layer": "E-FIRE", "invisible": 1})
    s.doc.blocks.new("DET-STATES")
    records.get(b.name).set_xdata("AcDbBlockRepBTag", [(1070, 1), (1005, records.get("DET-STATES").dxf.handle)])
    ref = s.insert(b.name, 180, 120)
    s.note_nested("smoke", shown, [ref], a, names=["DET-STATES"])
    s.note_nested("heat", hidden, [ref], a, "hidden", names=["DET-STATES"])
    ref = s.insert(stray, 300, 120)
    s.record.device("", s.file, s.level, a, ref, 300, 120, "unknown", stray, layer="E-FIRE")
    t.expect("anonymous", "An anonymous block on a fire alarm layer names no source block: it is not counted, and a person must look.",
             handle=ref.dxf.handle, x=300, y=120)
    t.job(["drawing: plan.dxf, level: Level 1"], ["smoke", "heat"],
          matches={"smoke": '{block: "FA-SMK"}', "heat": '{block: "FA-HEAT"}'})
    return t


def bound():
    t = Case("bound-reference", "Binding a reference drawing renames its blocks and layers to NAME$0$...: the rules must still fit.")
    s = t.sheet(layers=[("ARCH$0$E-FIRE", 1, "CONTINUOUS", 25), ("ARCH$0$E-FIRE-DEMO", 6, "CONTINUOUS", 25),
                        ("ARCH$0$A-WALL", 8, "CONTINUOUS", 25)])
    a = s.room("101", "HALL", 0, 0, 720, 360)
    for name in ("ARCH$0$FA-SMK", "ARCH$0$FEED$1$FA-SMK"):
        symbols.BUILD["FA-SMK"](s.doc.blocks.new(name))
    s.put("smoke", 60, 260, a, block="ARCH$0$FA-SMK", layer="ARCH$0$E-FIRE")
    s.put("smoke", 180, 260, a, block="ARCH$0$FEED$1$FA-SMK", layer="ARCH$0$E-FIRE", rotation=90)
    s.put("smoke", 300, 260, a, "demolition", block="ARCH$0$FA-SMK", layer="ARCH$0$E-FIRE-DEMO")
    s.put("smoke", 420, 260, a)
    b = s.nest("ARCH$0$TYP-ROOM")
    inner = b.add_blockref("ARCH$0$FA-SMK", (20, 10), dxfattribs={"layer": "ARCH$0$E-FIRE"})
    for x, xs in ((60, 1.0), (240, -1.0)):
        ref = s.insert("ARCH$0$TYP-ROOM", x, 120, "ARCH$0$A-WALL", xs=xs)
        s.note_nested("smoke", inner, [ref], a)
    t.job(['drawing: plan.dxf, level: Level 1, demolition: ["E-FIRE-DEMO"]'], ["smoke"],
          matches={"smoke": '{block: "FA-SMK", layer: "E-FIRE*"}'})
    return t


def unbound():
    t = Case("unbound-reference", "The devices of an attached drawing are not in this file: say so, with its path, and never report zero in silence.")
    s = t.sheet(layers=[("G-XREF", 7, "CONTINUOUS", 25)])
    a = s.room("101", "HALL", 0, 0, 480, 360)
    s.put("smoke", 120, 180, a)
    s.doc.add_xref_def("refs\\level-1-devices.dxf", "FA-LEVEL-1")
    s.doc.add_xref_def("refs\\level-1-ceiling.dxf", "CEILING", flags=4 | 8)
    ref = s.insert("FA-LEVEL-1", 0, 0, "G-XREF")
    s.insert("CEILING", 0, 0, "G-XREF")
    t.expect("unbound reference", "The drawing refers to refs\\level-1-devices.dxf (block FA-LEVEL-1), which is not part of it: devices drawn "
             "there are not counted. Bind it and save again, or add it as a plan.", handle=ref.dxf.handle)
    t.expect("unbound reference", "The same for refs\\level-1-ceiling.dxf (overlay, block CEILING).")
    t.job(["drawing: plan.dxf, level: Level 1"], ["smoke"])
    return t


def missing():
    t = Case("missing-block", "An insert names a block that the file does not define: it cannot be drawn, and must not vanish.")
    s = t.sheet(version="R12", units=None)
    a = s.room("101", "HALL", 0, 0, 480, 360)
    s.put("smoke", 120, 180, a)
    lost = s.insert("FA-SMK-LOST", 360, 180)
    s.record.device("", s.file, s.level, a, lost, 360, 180, "unknown", "", layer="E-FIRE")
    b = s.nest("TYP-ROOM")
    gone = b.add_blockref("FA-HEAT-LOST", (10, 10), dxfattribs={"layer": "E-FIRE"})
    inner = b.add_blockref("FA-SMK", (40, 10), dxfattribs={"layer": "E-FIRE"})
    ref = s.insert("TYP-ROOM", 200, 80, "A-AREA", xs=-1.0)
    s.note_nested("smoke", inner, [ref], a)
    s.note_nested("", gone, [ref], a, "unknown")
    s.record.devices[-1]["block"] = ""                      # no symbol to be seen
    t.expect("missing block", "Insert of FA-SMK-LOST: the block is not in the file. Whether it counts, a person must say.",
             handle=lost.dxf.handle, x=360, y=180)
    t.expect("missing block", "TYP-ROOM holds an insert of FA-HEAT-LOST, which is not in the file.")
    t.record.extra["audit"] = "two undefined blocks are the point of this drawing"
    t.job(["drawing: plan.dxf, level: Level 1, units: in"], ["smoke"], matches={"smoke": '{block: "FA-SMK"}'})
    return t


def extrusion():
    t = Case("extrusion", "Mirroring in space leaves inserts with an extrusion of 0,0,-1: their x reads with the other sign.")
    s = t.sheet()
    a = s.room("101", "HALL", 0, 0, 720, 360)
    s.put("smoke", 120, 180, a)
    for type, x, y, rot in (("smoke", 300, 180, 0), ("heat", 420, 260, 30)):
        ref = s.insert(symbols.TYPES[type][0], -x, y, rotation=rot, extrusion=(0, 0, -1))
        p = ref.ocs().to_wcs(ref.dxf.insert)
        s.record.device(type, s.file, s.level, a, ref, p.x, p.y, "", ref.dxf.name, layer="E-FIRE", mirrored=True)
    b = s.nest("TYP-ROOM")
    inner = b.add_blockref("FA-SMK", (30, 20), dxfattribs={"layer": "E-FIRE"})
    ref = s.insert("TYP-ROOM", -600, 120, "A-AREA", extrusion=(0, 0, -1))
    s.note_nested("smoke", inner, [ref], a)
    t.job(["drawing: plan.dxf, level: Level 1"], ["smoke", "heat"])
    return t


ALL = [nested, array, dynamic, bound, unbound, missing, extrusion]
