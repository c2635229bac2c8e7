"""Traps of names: types told by an attribute, upper and lower case, letters beyond ASCII."""
from ezdxf.enums import TextEntityAlignment as Align

from drafting.case import Case


def kind():
    t = Case("kind-attribute", "One block for all detectors; an attribute tells the type, and one of them is left empty.")
    s = t.sheet(blocks=["FA-PULL"])
    a = s.room("101", "HALL", 0, 0, 720, 360)
    b = s.nest("FA-DET")
    b.add_circle((0, 0), 9)
    d = b.add_attdef("KIND", dxfattribs={"height": 10, "style": "ARCH", "prompt": "KIND", "layer": "0"})
    d.set_placement((0, 0), align=Align.MIDDLE_CENTER)
    fixed = s.nest("FA-DET-FIXED")                          # a constant attribute: the insert carries no copy of it
    fixed.add_circle((0, 0), 9)
    d = fixed.add_attdef("KIND", text="H", dxfattribs={"height": 10, "style": "ARCH", "prompt": "KIND", "layer": "0", "flags": 2})
    d.set_placement((0, 0), align=Align.MIDDLE_CENTER)
    s.nest("FA-MYST").add_circle((0, 0), 9)

    def put(value, x, y, type, reason="", **options):
        ref = s.insert("FA-DET", x, y, **options)
        if value is not None:
            p = ref.add_attrib("KIND", value, dxfattribs={"height": 10, "style": "ARCH", "layer": "E-FIRE"})
            p.set_placement(s.at(x, y), align=Align.MIDDLE_CENTER)
        more = {"attribs": {"KIND": value}} if value is not None else {}
        s.record.device(type, s.file, s.level, a, ref, x, y, reason, "FA-DET", layer="E-FIRE", **more)
        return ref
    put("S", 60, 260, "smoke")
    put("H", 180, 260, "heat", rotation=90)
    put(" S ", 300, 260, "smoke")                           # blanks around the value
    put("h", 420, 260, "heat", xs=-1.0)                     # lower case
    lost = [put("", 540, 260, "", "unknown"), put("Q", 660, 260, "", "unknown"), put(None, 60, 140, "", "unknown")]
    ref = s.insert("FA-DET-FIXED", 180, 140)
    s.record.device("heat", s.file, s.level, a, ref, 180, 140, "", "FA-DET-FIXED", layer="E-FIRE")
    ref = s.insert("FA-MYST", 300, 140)
    s.record.device("", s.file, s.level, a, ref, 300, 140, "unknown", "FA-MYST", layer="E-FIRE")
    holder = s.nest("TYP-ROOM")                             # the attribute of an insert inside a block
    inner = holder.add_blockref("FA-DET", (0, 0), dxfattribs={"layer": "E-FIRE"})
    inner.add_attrib("KIND", "S", (-4, -5), dxfattribs={"height": 10, "style": "ARCH", "layer": "E-FIRE"})
    ref = s.insert("TYP-ROOM", 420, 140, "A-AREA", rotation=180)
    s.note_nested("smoke", inner, [ref], a, attribs={"KIND": "S"})
    s.put("pull station", 20, 40, a)
    for r, what in zip(lost, ("is empty", "says Q", "is missing")):
        t.expect("unknown", "A symbol FA-DET whose KIND %s: no rule explains it, it is not counted, a person must say what it is." % what,
                 handle=r.dxf.handle)
    t.expect("unknown", "Block FA-MYST on E-FIRE: no rule explains it.", handle=s.record.devices[8]["handle"])
    t.job(["drawing: plan.dxf, level: Level 1"], ["smoke", "heat", "pull station"], matches={
        "smoke": '{block: "FA-DET*", layer: "E-FIRE*", attrib: {KIND: S}}', "heat": '{block: "FA-DET*", layer: "E-FIRE*", attrib: {KIND: H}}'})
    return t


def case():
    t = Case("letter-case", "Names of blocks and layers are the same whatever their case: Fa-Smk is FA-SMK.")
    s = t.sheet(version="R12", units=None)
    a = s.room("101", "HALL", 0, 0, 480, 360)
    s.put("smoke", 60, 260, a)
    s.put("smoke", 180, 260, a, block="fa-smk")
    s.put("smoke", 300, 260, a, block="Fa-Smk", layer="e-fire", xs=-1.0)
    b = s.nest("Typ-Room")
    inner = b.add_blockref("FA-smk", (10, 10), dxfattribs={"layer": "E-Fire"})
    ref = s.insert("TYP-ROOM", 60, 120, "a-area")
    s.note_nested("smoke", inner, [ref], a, names=["TYP-ROOM"])
    t.job(['drawing: plan.dxf, level: Level 1, units: in'], ["smoke"], matches={"smoke": '{block: "fa-SMK", layer: "e-FIRE"}'})
    return t


def letters():
    t = Case("code-pages", "Room names beyond ASCII, in the code page that the header names, in UTF-8, and as \\U+ escapes.")
    rows = []
    for i, (file, version, code, room, layer) in enumerate((
            ("cp1252.dxf", "R2000", "cp1252", "CAFÉ", "E-FIRE-ÉTAGE"), ("cp1251.dxf", "R2000", "cp1251", "ЗАЛ", "E-FIRE-ЭТАЖ"),
            ("utf8.dxf", "R2007", "utf-8", "CAFÉ ŁÓDKA", "E-FIRE-ÉTAGE"), ("escaped.dxf", "R2000", "cp1252", "ŻAGLÓWKA", "E-FIRE-NORM")), 1):
        level = "Level %d" % i
        s = t.sheet(file, level, version, layers=[(layer, 1, "CONTINUOUS", 25)])
        if version == "R2000":
            s.doc.encoding = code                           # letters that the code page lacks are written as \U+XXXX
        a = s.room("%d01" % i, room, 0, 0, 480, 360)
        s.put("smoke", 120, 180, a, layer=layer)
        s.put("heat", 360, 180, a, rotation=45)
        rows.append("drawing: %s, level: %s, elevation: %d ft" % (file, level, 14 * (i - 1)))
    t.job(rows, ["smoke", "heat"], matches={"smoke": '{block: "*SMK", layer: "E-FIRE-*"}'})
    return t


ALL = [kind, case, letters]
