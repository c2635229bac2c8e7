"""A case: one or more small drawings with their truth and job files, as the traps and revisions need."""
import math
import os

from ezdxf.enums import TextEntityAlignment as Align

from . import document, furniture, symbols
from .record import Record, inside

LAYERS = [("A-WALL", 8, "CONTINUOUS", 35), ("A-AREA", 9, "CONTINUOUS", 13), ("A-AREA-IDEN", 8, "CONTINUOUS", 18),
          ("A-ANNO-NOTE", 7, "CONTINUOUS", 18), ("E-FIRE", 1, "CONTINUOUS", 35), ("E-FIRE-TEXT", 1, "CONTINUOUS", 18)]

# What the job files say about each type; currents, prices and hours are made-up round figures.
JOB_TYPES = {
    "smoke": "mounting: ceiling, addresses: 1, standby: 0.3 mA, alarm: 5 mA, material: 58.00, hours: 0.75",
    "heat": "mounting: ceiling, addresses: 1, standby: 0.3 mA, alarm: 5 mA, material: 46.00, hours: 0.75",
    "pull station": "mounting: 46 in, addresses: 1, standby: 0.3 mA, alarm: 2 mA, material: 75.00, hours: 1",
    "relay": "mounting: ceiling, addresses: 1, standby: 0.4 mA, alarm: 4 mA, material: 88.00, hours: 1.25",
    "sounder base": "mounting: ceiling, addresses: 0, wired_to: [slc], standby: 0.1 mA, alarm: 30 mA, material: 54.00, hours: 0.5",
    "horn strobe": "mounting: 88 in, addresses: 0, wired_to: [nac], standby: 0 mA, alarm: 110 mA, material: 69.00, hours: 1",
    "strobe": "mounting: 88 in, addresses: 0, wired_to: [nac], standby: 0 mA, alarm: 60 mA, material: 52.00, hours: 1",
    "phone": "mounting: wall, addresses: 1, standby: 0.3 mA, alarm: 2 mA, material: 95.00, hours: 1",
}


class Case:
    def __init__(self, name, about):
        self.name, self.record, self.sheets, self.jobs, self.texts = name, Record(about), [], {}, {}

    def sheet(self, file="plan.dxf", level="Level 1", version="R2000", units=1, blocks=None, k=1.0, layers=()):
        s = Sheet(self, file, level, version, units, blocks, k, list(layers))
        self.sheets.append(s)
        return s

    def expect(self, code, text, **place):
        """A finding that a reader should raise: a word for it and what a person must learn."""
        self.record.expect.append(dict({"about": code, "say": text}, **place))

    def job(self, plans, types, panel=(20, 20), level="Level 1", file="job.yaml", extra="", matches=None):
        """plans: flow mappings as text, one a plan; types: the names of the types to look for."""
        out = ["# %s" % self.record.about, "job: Test case, %s" % self.name.replace("-", " "), "report: imperial", "plans:"]
        out += ["  - {%s}" % p for p in plans]
        out.append("types:")
        for t in types:
            rule = (matches or {}).get(t) or '{block: "*%s"}' % symbols.TYPES[t][0].replace("FA-", "")
            out.append("  - {type: %s, match: [%s], %s}" % (t, rule, JOB_TYPES[t]))
        out += ["panels:", "  - {panel: FACP, at: {level: %s, point: [%g, %g]}}" % (level, panel[0], panel[1])]
        self.jobs[file] = "\n".join(out) + "\n" + extra

    def text_file(self, file, text):
        self.texts[file] = text

    def _rooms_hold(self):
        """Stops when a device does not stand in the room that its case names."""
        for d in self.record.devices:
            outlines = [r["outline"] for r in self.record.rooms if (r["drawing"], r["label"]) == (d["drawing"], d["room"])]
            if d["room"] and outlines:
                assert any(inside([tuple(p) for p in o], d["x"], d["y"]) for o in outlines), d

    def write(self, where):
        self._rooms_hold()
        folder = os.path.join(where, self.name)
        os.makedirs(folder, exist_ok=True)
        for s in self.sheets:
            document.save(s.doc, os.path.join(folder, s.file), s.newline, s.rewrite)
        self.record.write(os.path.join(folder, "truth.json"))
        for file, text in list(self.jobs.items()) + list(self.texts.items()):
            with open(os.path.join(folder, file), "w", encoding="utf-8", newline="\n") as f:
                f.write(text)


class Sheet:
    """One drawing of a case.  Places are inches on the plan; k scales them to drawing units."""

    def __init__(self, case, file, level, version, units, blocks, k, layers):
        self.record, self.file, self.level, self.k = case.record, file, level, k
        self.doc = document.new(version, units, LAYERS + layers)
        self.msp = self.doc.modelspace()
        symbols.define(self.doc, blocks or ["FA-SMK", "FA-HEAT", "FA-PULL"])
        self.newline, self.rewrite = "\r\n", None
        self.turn, self.shift = 0.0, (0.0, 0.0)      # of the whole plan, degrees and inches

    def at(self, x, y):
        c, s = math.cos(math.radians(self.turn)), math.sin(math.radians(self.turn))
        return (round((self.shift[0] + c * x - s * y) * self.k, 6), round((self.shift[1] + s * x + c * y) * self.k, 6))

    def poly(self, points, closed=True, layer="A-WALL"):
        pts = [self.at(*p) for p in points]
        if self.doc.dxfversion == "AC1009":
            return self.msp.add_polyline2d(pts, close=closed, dxfattribs={"layer": layer})
        return self.msp.add_lwpolyline(pts, close=closed, dxfattribs={"layer": layer})

    def box(self, x1, y1, x2, y2, layer="A-WALL"):
        return self.poly([(x1, y1), (x2, y1), (x2, y2), (x1, y2)], True, layer)

    def line(self, a, b, layer="A-WALL"):
        return self.msp.add_line(self.at(*a), self.at(*b), dxfattribs={"layer": layer})

    def text(self, text, x, y, height=8.0, layer="A-ANNO-NOTE", align=Align.MIDDLE_CENTER, rotation=0.0, space=None):
        t = (space or self.msp).add_text(text, dxfattribs={"height": height * self.k, "style": "ARCH", "layer": layer,
                                                           "rotation": rotation + self.turn})
        t.set_placement(self.at(x, y), align=align)
        return t

    def room(self, number, name, x1, y1, x2, y2, at=None, draw=True):
        """Walls on all four sides and a plain text name."""
        if draw:
            self.box(x1, y1, x2, y2)
        px, py = at or ((x1 + x2) / 2, y2 - 24)
        if draw:
            self.text((number + " " + name).strip(), px, py, 8, "A-AREA-IDEN")
        corners = [self.at(*p) for p in ((x1, y1), (x2, y1), (x2, y2), (x1, y2))]
        self.record.room(self.file, self.level, number, name, corners)
        return (number + " " + name).strip()

    def insert(self, block, x, y, layer="E-FIRE", rotation=0.0, xs=1.0, ys=1.0, space=None, **dxf):
        a = {"layer": layer, "rotation": rotation + self.turn, "xscale": xs * self.k, "yscale": ys * self.k, "zscale": abs(xs) * self.k}
        a.update(dxf)
        return (space or self.msp).add_blockref(block, self.at(x, y), dxfattribs=a)

    def put(self, type, x, y, room="", reason="", layer="E-FIRE", attribs=None, block=None, space=None, more=None, **options):
        """Draws one device and notes it."""
        block = block or symbols.TYPES[type][0]
        ref = self.insert(block, x, y, layer, space=space, **options)
        for tag, value in (attribs or {}).items():
            p = ref.dxf.insert
            ref.add_attrib(tag, value, (round(p.x + 14 * self.k, 4), round(p.y - 4 * self.k, 4)),
                           dxfattribs={"height": 7 * self.k, "style": "ARCH", "layer": layer})
        extra = dict(more or {})
        if attribs:
            extra["attribs"] = attribs
        self.record.device(type, self.file, self.level, room, ref, ref.dxf.insert.x, ref.dxf.insert.y, reason, block,
                           layer=layer, **extra)
        return ref

    def nest(self, name, base=(0, 0)):
        return self.doc.blocks.new(name, base_point=(base[0], base[1], 0))

    def note_nested(self, type, inner, chain, room="", reason="", names=None, **more):
        """Notes a device that sits in a block; chain: the inserts from the outermost inwards."""
        p = inner.dxf.insert
        for ref in reversed(chain):
            p = ref.matrix44().transform(p)
        self.record.device(type, self.file, self.level, room, inner, p.x, p.y, reason, inner.dxf.name,
                           path=names or [r.dxf.name for r in chain], parent=chain[0], layer=inner.dxf.layer, **more)


def tag_block(doc):
    """A room tag with attributes NUMBER and NAME."""
    b = doc.blocks.new("RTAG")
    furniture.box(b, -20, -18, 40, 14)
    for tag, y, h in (("NAME", 4, 9), ("NUMBER", -11, 8)):
        a = b.add_attdef(tag, dxfattribs={"height": h, "style": "ARCH", "prompt": tag, "layer": "0"})
        a.set_placement((0, y), align=Align.MIDDLE_CENTER)
    return b
