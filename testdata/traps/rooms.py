"""The trap of rooms: outlines, tags, plain texts, names across a wall, no name at all."""
from ezdxf.enums import TextEntityAlignment as Align

from drafting.case import Case, tag_block


def rooms():
    t = Case("rooms", "The room of a device: closed outlines, tag blocks, plain texts; the nearest name may stand behind a wall.")
    s = t.sheet()
    tag_block(s.doc)

    def name(number, word, x1, y1, x2, y2):
        corners = [s.at(*p) for p in ((x1, y1), (x2, y1), (x2, y2), (x1, y2))]
        s.record.room(s.file, s.level, number, word, corners)
        return (number + " " + word).strip()

    # walls: outer box, a corridor between y 200 and 260, doors as gaps
    s.box(0, 0, 960, 480)
    for x1, x2 in ((0, 60), (96, 300), (336, 560), (596, 800), (836, 960)):
        s.line((x1, 260), (x2, 260))
    for x1, x2 in ((0, 120), (156, 420), (456, 960)):
        s.line((x1, 200), (x2, 200))
    for x in (240, 480, 720):
        s.line((x, 260), (x, 480))
    for x in (300, 640):
        s.line((x, 0), (x, 200))
    # 301: closed outline with one text inside
    r301 = name("301", "ARCHIVE", 0, 260, 240, 480)
    s.box(4, 264, 236, 476, "A-AREA")
    s.text("301 ARCHIVE", 60, 450, 8, "A-AREA-IDEN")
    # 302: closed outline with a tag block
    r302 = name("302", "MAP ROOM", 240, 260, 480, 480)
    s.box(244, 264, 476, 476, "A-AREA")
    ref = s.msp.add_blockref("RTAG", (420, 440), dxfattribs={"layer": "A-AREA-IDEN"})
    ref.add_auto_attribs({"NUMBER": "302", "NAME": "MAP ROOM"})
    # 303: a tag block, no outline, the tag near the far corner
    r303 = name("303", "STUDIO", 480, 260, 720, 480)
    ref = s.msp.add_blockref("RTAG", (690, 455), dxfattribs={"layer": "A-AREA-IDEN", "rotation": 90})
    ref.add_auto_attribs({"NUMBER": "303", "NAME": "STUDIO"})
    # 304: two plain texts, one over the other
    r304 = name("304", "BINDERY", 720, 260, 960, 480)
    s.text("BINDERY", 760, 300, 8, "A-AREA-IDEN")
    s.text("304", 760, 287, 8, "A-AREA-IDEN")
    # corridor: its only name is far to the east, underlined by a control code
    r300 = name("300", "CORRIDOR", 0, 200, 960, 260)
    s.text("%%uCORRIDOR 300", 900, 230, 8, "A-AREA-IDEN")
    # 305: MTEXT with formatting codes
    r305 = name("305", "STORAGE", 0, 0, 300, 200)
    m = s.msp.add_mtext("\\A1;{\\fArial|b0|i0;STORAGE}\\P305", dxfattribs={
        "layer": "A-AREA-IDEN", "style": "ARCH", "char_height": 8, "attachment_point": 5})
    m.set_location((60, 185))
    # a space without a name between 300 and 640, and 306 beyond
    name("", "", 300, 0, 640, 200)
    r306 = name("306", "PLANT", 640, 0, 960, 200)
    s.text("306 PLANT", 655, 20, 8, "A-AREA-IDEN", Align.MIDDLE_LEFT)
    # texts that are no room names
    s.text("CLG 9'-0\"", 420, 300, 7)
    s.text("24'-0\"", 480, 100, 7)
    s.text("SEE NOTE 4", 360, 60, 7)
    s.text("UP", 560, 150, 7)

    s.put("smoke", 120, 360, r301)
    s.put("smoke", 226, 455, r301)                          # the tag of 302 is far, but that wall is near
    s.put("smoke", 250, 450, r302, rotation=90)
    s.put("smoke", 700, 270, r303)                          # nearer to the name of 304
    s.put("heat", 490, 300, r303, xs=-1.0)
    s.put("smoke", 940, 460, r304)
    s.put("smoke", 730, 275, r304)
    s.put("smoke", 60, 215, r300)                           # 30 in from the name of 305, on the other side of a wall
    s.put("pull station", 20, 245, r300)
    s.put("smoke", 480, 230, r300)
    s.put("smoke", 280, 20, r305)
    s.put("smoke", 630, 20, "")                             # 25 in from the name of 306, behind a wall; its own space has none
    s.put("smoke", 400, 120, "")
    s.put("smoke", 800, 100, r306)
    s.put("smoke", 1040, 240, "")                           # outside the building
    b = s.nest("TYP-ROOM")
    inner = b.add_blockref("FA-SMK", (40, 0), dxfattribs={"layer": "E-FIRE"})
    ref = s.insert("TYP-ROOM", 286, 380, "A-AREA", xs=-1.0)  # the device lands 6 in from the wall to 301
    s.note_nested("smoke", inner, [ref], r302)
    t.expect("no room", "Three devices stand in no named room: counted, with an empty room, and named so that a person can say where they are.")
    t.job(['drawing: plan.dxf, level: Level 1, walls: ["A-WALL*"]'], ["smoke", "heat", "pull station"], panel=(930, 215))
    return t


ALL = [rooms]
