"""Traps about devices that are no block: exploded symbols and bare letters."""
import math

from drafting import symbols
from drafting.case import Case


def exploded():
    t = Case("exploded", "Exploded symbols: a loose circle with its letter, found again moved, turned, mirrored and slightly scaled; near misses are not.")
    s = t.sheet(version="R12", units=None, blocks=["FA-SMK"])
    a = s.room("101", "HALL", 0, 0, 960, 480)

    def smoke(x, y, turn=0.0, k=1.0, letter="S", letter_k=None, circle=True, dx=0.0, mirror=False, layer="E-FIRE"):
        c = s.msp.add_circle(s.at(x, y), 9 * k, dxfattribs={"layer": layer}) if circle else None
        if letter:
            w = s.text(letter, x + dx, y, 10 * (letter_k or k), layer, rotation=turn)
            if mirror:
                w.dxf.text_generation_flag = 2
        return c

    def relay(x, y, turn=0.0, mirror=1.0, tick=5.0):
        """A square with two cut corners, not the same when mirrored, and the letter R."""
        co, si = math.cos(math.radians(turn)), math.sin(math.radians(turn))

        def at(px, py):
            px *= mirror
            return (round(x + co * px - si * py, 4), round(y + si * px + co * py, 4))
        first = None
        for p, q in (((-8, -8), (8, -8)), ((8, -8), (8, 8)), ((8, 8), (-8, 8)), ((-8, 8), (-8, -8)), ((-8, tick), (-tick, 8)), ((tick, -8), (8, -tick))):
            e = s.msp.add_line(at(*p), at(*q), dxfattribs={"layer": "E-FIRE"})
            first = first or e
        s.text("R", x, y, 8, "E-FIRE", rotation=turn)
        return first

    for i, (kind, options) in enumerate((("sample", {}), ("moved", {}), ("turned", {"turn": 90.0}), ("turned", {"turn": 33.0}),
                                         ("mirrored", {"mirror": True}), ("scaled", {"k": 1.015}), ("scaled", {"k": 0.985}))):
        x, y = 60 + 120 * i, 400
        e = smoke(x, y, **options)
        s.record.device("smoke", s.file, s.level, a, e, x, y, "", "", layer="E-FIRE", figure=kind)
    for i, (kind, options) in enumerate((("sample", {}), ("moved", {}), ("turned", {"turn": 90.0}), ("turned", {"turn": 33.0}),
                                         ("mirrored", {"mirror": -1.0}))):
        x, y = 60 + 120 * i, 280
        e = relay(x, y, **options)
        s.record.device("relay", s.file, s.level, a, e, x, y, "", "", layer="E-FIRE", figure=kind)
    s.put("smoke", 720, 280, a)                              # one is still a block
    near = [("another letter", smoke(60, 120, letter="H")), ("5 percent larger", smoke(180, 120, k=1.05)),
            ("5 percent smaller", smoke(300, 120, k=0.95)), ("no letter", smoke(420, 120, letter="")),
            ("letter beside it", smoke(540, 120, dx=22.0)), ("larger ring: a grid bubble", s.msp.add_circle((660, 120), 26, dxfattribs={"layer": "E-FIRE"})),
            ("on a layer of the architect", smoke(900, 120, layer="A-WALL"))]
    s.text("S", 660, 120, 10, "E-FIRE")
    smoke(780, 120, circle=False)                            # the letter alone
    s.record.extra["near_misses"] = [{"why": why, "handle": e.dxf.handle} for why, e in near] + [{"why": "the letter alone", "x": 780.0, "y": 120.0}]
    t.expect("near miss", "Figures that resemble the sample but do not fit are not counted; those with the right ring and a wrong or missing letter should be named.")
    t.record.extra["handles"] = "the ring's, or the first line's; x, y is the middle of the figure"
    t.job(["drawing: plan.dxf, level: Level 1, units: in"], ["smoke", "relay"],
          matches={"smoke": '{block: "*SMK*"}, {sample: [60, 400], layer: "E-FIRE*"}', "relay": '{sample: [60, 280], layer: "E-FIRE*"}'})
    return t


def rough():
    t = Case("exploded-rough", "Exploded symbols as hands draw them: wires on their own layer end on the rings, letters stand in narrow columns, crosses miss the corners.")
    s = t.sheet(blocks=["FA-SMK"])
    a = s.room("101", "HALL", 0, 0, 960, 480)
    places = [(60, 400), (240, 400), (420, 400), (420, 250), (600, 250)]
    for x, y in places:
        c = s.msp.add_circle(s.at(x, y), 9, dxfattribs={"layer": "E-FIRE"})
        m = s.msp.add_mtext("S", dxfattribs={"layer": "E-FIRE", "style": "ARCH", "char_height": 10, "attachment_point": 5, "width": 4})
        m.set_location(s.at(x, y))
        s.record.device("smoke", s.file, s.level, a, c, x, y, "", "", layer="E-FIRE")
    for (x, y), (u, v) in zip(places, places[1:]):            # wires from ring to ring, of unequal length
        d = math.hypot(u - x, v - y)
        p, q = (u - x) / d * 9, (v - y) / d * 9
        s.line((x + p, y + q), (u - p, v - q), "E-FIRE")
    s.line((600, 241), (600, 100), "E-FIRE")

    def crossed(x, y, off, r=4.0, both=True):
        """A square of 8 in with a cross whose ends lie off its corners by up to 1/5 in."""
        e = s.box(x - r, y - r, x + r, y + r, "E-FIRE")
        d = [0.2 * o for o in off]
        s.line((x - r, y + r), (x + r + d[0], y - r + d[1]), "E-FIRE")
        if both:
            s.line((x - r + d[2], y - r), (x + r, y + r + d[3]), "E-FIRE")
        return e

    for i, off in enumerate(((0, 0, 0, 0), (-1, 1, 1, -1), (-1, 0, 0, -1), (0, 1, 1, 0))):
        x, y = 100 + 120 * i, 80
        e = crossed(x, y, off)
        s.record.device("relay", s.file, s.level, a, e, x, y, "", "", layer="E-FIRE")
    near = [("8 percent larger", crossed(700, 80, (0, 0, 0, 0), 4.32)), ("one line of the cross", crossed(820, 80, (0, 0, 0, 0), both=False))]
    s.record.extra["near_misses"] = [{"why": why, "handle": e.dxf.handle} for why, e in near]
    t.record.extra["handles"] = "the ring's, or the square's; x, y is the middle of the figure"
    t.job(["drawing: plan.dxf, level: Level 1"], ["smoke", "relay"],
          matches={"smoke": '{sample: [240, 400], layer: "E-FIRE"}', "relay": '{sample: [221, 79], layer: "E-FIRE"}'})
    return t


def text_only():
    t = Case("text-only", "Devices drawn as bare letters, as TEXT or MTEXT; the same letters inside other words are none.")
    s = t.sheet()
    a = s.room("101", "HALL", 0, 0, 720, 360)
    for i, (word, rotation) in enumerate((("WP", 0), ("WP", 90), (" WP ", 0))):
        x, y = 60 + 120 * i, 260
        e = s.text(word, x, y, 9, "E-FIRE-TEXT", rotation=rotation)
        s.record.device("phone", s.file, s.level, a, e, x, y, "", "", layer="E-FIRE-TEXT", text=word.strip())
    m = s.msp.add_mtext("{\\fArial|b1;WP}", dxfattribs={"layer": "E-FIRE-TEXT", "style": "ARCH", "char_height": 9, "attachment_point": 5})
    m.set_location((420, 260))
    s.record.device("phone", s.file, s.level, a, m, 420, 260, "", "", layer="E-FIRE-TEXT", text="WP")
    b = s.nest("TYP-DOOR")
    w = b.add_text("WP", dxfattribs={"height": 9, "style": "ARCH", "layer": "E-FIRE-TEXT"})
    w.dxf.insert = (-6, -4)
    ref = s.insert("TYP-DOOR", 540, 260, "A-AREA", xs=-1.0)
    p = ref.matrix44().transform(w.dxf.insert)
    s.record.device("phone", s.file, s.level, a, w, p.x, p.y, "", "", path=["TYP-DOOR"], parent=ref, layer="E-FIRE-TEXT", text="WP")
    for word, x in (("WP-1", 60), ("WPS", 180), ("PROVIDE WP COVER", 320), ("wp", 480)):
        s.text(word, x, 140, 9, "E-FIRE-TEXT")
    s.text("WP", 600, 140, 9, "A-ANNO-NOTE")                 # the right letters on a layer that the rule does not name
    s.put("smoke", 660, 260, a)
    t.record.extra["case"] = "wildcards fold case: the text wp counts by the rule, so it is noted here as counted"
    e = [x for x in s.msp.query("TEXT") if x.dxf.text == "wp"][0]
    s.record.device("phone", s.file, s.level, a, e, 480, 140, "", "", layer="E-FIRE-TEXT", text="wp")
    t.record.extra["handles"] = "x, y is the middle of the text, but for the one in TYP-DOOR, where it is its start"
    t.job(["drawing: plan.dxf, level: Level 1"], ["smoke", "phone"], matches={"phone": '{text: "WP", layer: "E-FIRE*"}'})
    return t


ALL = [exploded, rough, text_only]
