"""Traps about legends that are hard to tell: drawn without blocks, or short and without a heading."""
from ezdxf.enums import TextEntityAlignment as Align

from drafting.case import Case

WORDS = {"smoke": "SMOKE DETECTOR", "heat": "HEAT DETECTOR", "pull station": "MANUAL STATION", "relay": "RELAY MODULE",
         "phone": "EMERGENCY PHONE"}


def _figure(s, type, x, y, room="", reason="", letter=None):
    """Draws one device as loose lines and letters, and notes it by what was drawn first."""
    fire = {"layer": "E-FIRE"}
    if type in ("smoke", "heat"):
        first = s.msp.add_circle(s.at(x, y), 9, dxfattribs=fire)
        s.text("S" if type == "smoke" else "H", x, y, 9, "E-FIRE")
    elif type == "phone":                                    # a triangle, without a letter
        corners = [(-9, -6), (9, -6), (0, 10)]
        lines = [s.line((x + p[0], y + p[1]), (x + q[0], y + q[1]), "E-FIRE") for p, q in zip(corners, corners[1:] + corners[:1])]
        first, y = lines[0], y + 2                           # the middle of its lines
    else:
        r = 8 if type == "pull station" else 10
        first = s.box(x - r, y - r, x + r, y + r, "E-FIRE")
        s.text("P" if type == "pull station" else "R", x, y, 9, "E-FIRE")
    s.record.device(type, s.file, s.level, room, first, x, y, reason, "", layer="E-FIRE")


def _table(s, rows, x, y, pitch=45, left=False, words=None, draw=None, reason="legend", frame=False, gap=30):
    """Symbols in a column from (x, y) down, each with its text; left: the texts stand before them."""
    for i, type in enumerate(rows):
        (draw or _figure)(s, type, x, y - pitch * i, "", reason)
        text = (words or WORDS)[type]
        s.text(text, x - gap if left else x + gap, y - pitch * i, 8, align=Align.MIDDLE_RIGHT if left else Align.MIDDLE_LEFT)
    if frame:
        s.box(x - 30, y - pitch * (len(rows) - 1) - 25, x + 180, y + 25, "A-ANNO-NOTE")


def _block(s, type, x, y, room="", reason=""):
    s.put(type, x, y, room, reason)


def exploded():
    t = Case("legend-exploded", "Legends whose symbols are loose lines and letters, in a ruled table, with texts on either side, and one row a block.")
    s = t.sheet(version="R12", units=None, blocks=["FA-SMK", "FA-HEAT", "FA-PULL"])
    a = s.room("101", "HALL", 0, 0, 960, 480)
    for i, type in enumerate(("smoke", "heat", "pull station", "relay", "phone")):
        for k in range(3 if type != "phone" else 1):
            _figure(s, type, 80 + 150 * i, 400 - 150 * k, a)
    s.put("heat", 900, 400, a)                               # some are blocks still
    s.text("FIRE ALARM LEGEND", 1240, 460, 12)
    rows = ("smoke", "heat", "pull station", "relay")
    _table(s, rows, 1100, 400)
    s.box(1070, 400 - 3 * 45 - 22.5, 1400, 422.5, "A-ANNO-NOTE")
    s.line((1130, 400 - 3 * 45 - 22.5), (1130, 422.5), "A-ANNO-NOTE")        # rules of the table
    for i in range(3):
        s.line((1070, 377.5 - 45 * i), (1400, 377.5 - 45 * i), "A-ANNO-NOTE")
    s.text("SYMBOLS", 1240, 180, 12)
    _table(s, ("phone", "pull station"), 1360, 140, left=True)
    s.put("heat", 1360, 50, "", "legend")
    s.text("HEAT DETECTOR, RATE OF RISE", 1330, 50, 8, align=Align.MIDDLE_RIGHT)
    t.record.extra["handles"] = "of the stroke drawn first; x, y is the middle of the figure"
    t.job(["drawing: plan.dxf, level: Level 1, units: in"], ["smoke", "heat", "pull station", "relay", "phone"],
          matches={"smoke": "{sample: [1100, 400]}", "heat": '{block: "FA-HEAT"}, {sample: [1100, 355]}',
                   "pull station": "{sample: [380, 400]}", "relay": "{sample: [1100, 265]}", "phone": "{sample: [680, 400]}"})
    return t


def bare():
    t = Case("legend-bare", "Legends of two and three rows without a heading: framed, or apart from the building; of blocks, or of loose lines.")
    for file, level, rows, draw, frame in (("level-1.dxf", "Level 1", ("smoke", "heat"), _block, True),
                                           ("level-2.dxf", "Level 2", ("smoke", "pull station", "relay"), _figure, True),
                                           ("level-3.dxf", "Level 3", ("smoke", "heat", "pull station"), _block, False)):
        s = t.sheet(file, level)
        a = s.room("%s01" % level[-1], "HALL", 0, 0, 720, 360)
        for i, type in enumerate(rows):
            draw(s, type, 120 + 200 * i, 260, a)
            draw(s, type, 120 + 200 * i, 100, a)
        _table(s, rows, 840, 300, draw=draw, frame=frame)
    types = ["smoke", "heat", "pull station", "relay"]
    t.record.extra["handles"] = "of loose figures: of the stroke drawn first; x, y is the middle of the figure"
    t.job(['drawing: level-%d.dxf, level: Level %d, elevation: %d ft, walls: ["A-WALL"]' % (n, n, 14 * n - 14) for n in (1, 2, 3)], types,
          matches={"smoke": '{block: "*SMK"}, {sample: [840, 300], layer: "E-FIRE"}', "heat": '{block: "*HEAT"}',
                   "pull station": '{block: "*PULL"}, {sample: [840, 255], layer: "E-FIRE"}', "relay": '{sample: [840, 210], layer: "E-FIRE"}'})
    return t


def doubt():
    t = Case("legend-doubt", "Devices beside texts that are no legend, and some that may be one: all count, and those in doubt are named with their place.")
    s = t.sheet(layers=[("A-DOOR", 8, "CONTINUOUS", 18)])
    a = s.room("101", "HALL", 0, 0, 480, 480)
    # three small rooms over each other, a device beside the name of each
    for i, (number, name, type) in enumerate((("102", "STORE", "smoke"), ("103", "OFFICE", "heat"), ("104", "LAB", "pull station"))):
        y = 480 - 90 * i
        r = s.room(number, name, 480, y - 90, 720, y, at=(600, y - 45))
        s.put(type, 530, y - 45, r)
    # two devices with a remark each, one over the other
    b = s.room("105", "STAIR", 480, 0, 720, 210, at=(640, 190))
    for y, type, words in ((120, "smoke", "TOP OF SHAFT"), (70, "heat", "UNDER LANDING")):
        s.put(type, 520, y, b)
        s.text(words, 545, y, 8, align=Align.MIDDLE_LEFT)
    # in the building, without a frame, but with words of devices
    for y, type, words in ((300, "smoke", "SMOKE DETECTOR"), (255, "pull station", "MANUAL STATION")):
        s.put(type, 100, y, a)
        s.text(words, 130, y, 8, align=Align.MIDDLE_LEFT)
    t.expect("legend", "A smoke detector and a manual station in the hall stand beside what they are: they count, but may be a legend.", x=100, y=300)
    # out of the building, without a frame and without words of devices
    _table(s, ("smoke", "heat"), 840, 300, draw=_block, reason="", words={"smoke": "FURNISHED BY OWNER", "heat": "SEE SPECIFICATION"})
    t.expect("legend", "Two symbols beside the building: they count, but may be a legend.", x=840, y=300)
    t.job(['drawing: plan.dxf, level: Level 1, walls: ["A-WALL"]'], ["smoke", "heat", "pull station"])
    return t


ALL = [exploded, bare, doubt]
