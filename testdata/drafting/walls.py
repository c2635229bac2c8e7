"""Walls as a drafter draws them: two lines per wall, cleaned at every joint.

A wall is a centre line with a thickness and openings.  It becomes rectangles;
an edge of one rectangle is drawn where it lies inside no other, so corners and
T-joints come out clean at any angle, also where the turned wing meets the
building.
"""
import math
from dataclasses import dataclass, field

FT = 12.0
EPS = 0.02


@dataclass
class Opening:
    """A hole in a wall: `at` and `width` in feet along the wall's centre line.

    kind is door, pair (two leaves), window, cased or lift.  hinge names the
    jamb that carries a single leaf, swing the side it opens to, seen from the
    start of the wall to its end.
    """
    at: float
    width: float
    kind: str = "door"
    hinge: str = "start"
    swing: str = "left"
    exit: bool = False


@dataclass
class Wall:
    """A wall from a to b (feet), thickness in inches."""
    a: tuple
    b: tuple
    thick: float = 6.0
    layer: str = "A-WALL"
    openings: list = field(default_factory=list)


@dataclass
class Frame:
    """Places a local plan in feet into the drawing in inches."""
    origin: tuple = (0.0, 0.0)
    angle: float = 0.0

    def at(self, x, y):
        c, s = math.cos(math.radians(self.angle)), math.sin(math.radians(self.angle))
        return (round((self.origin[0] + c * x - s * y) * FT, 4),
                round((self.origin[1] + s * x + c * y) * FT, 4))


def rectangles(wall, frame):
    """The solid pieces of one wall between its openings, as 4 corners each."""
    ax, ay = frame.at(*wall.a)
    bx, by = frame.at(*wall.b)
    length = math.hypot(bx - ax, by - ay)
    ux, uy = (bx - ax) / length, (by - ay) / length
    half = wall.thick / 2
    cuts = [-half]                      # run on by half a thickness, so that corners close
    for o in sorted(wall.openings, key=lambda o: o.at):
        cuts += [o.at * FT, (o.at + o.width) * FT]
    cuts.append(length + half)
    out = []
    for s, e in zip(cuts[::2], cuts[1::2]):
        if e - s < EPS:
            continue
        px, py, qx, qy = ax + ux * s, ay + uy * s, ax + ux * e, ay + uy * e
        nx, ny = -uy * half, ux * half
        out.append([(px - nx, py - ny), (qx - nx, qy - ny), (qx + nx, qy + ny), (px + nx, py + ny)])
    return out


def _inside(p, q, rect):
    """The parameter interval of segment pq strictly inside a convex ccw rect, or None."""
    lo, hi = 0.0, 1.0
    for i in range(4):
        (x1, y1), (x2, y2) = rect[i], rect[(i + 1) % 4]
        ex, ey = x2 - x1, y2 - y1
        n = math.hypot(ex, ey)
        d0 = ((p[1] - y1) * ex - (p[0] - x1) * ey) / n - EPS
        d1 = ((q[1] - y1) * ex - (q[0] - x1) * ey) / n - EPS
        if d0 <= 0 and d1 <= 0:
            return None
        if d0 < 0:
            lo = max(lo, d0 / (d0 - d1))
        elif d1 < 0:
            hi = min(hi, d0 / (d0 - d1))
    return (lo, hi) if hi - lo > 1e-9 else None


def _minus(spans, cut):
    out = []
    for s, e in spans:
        if cut[1] <= s or cut[0] >= e:
            out.append((s, e))
            continue
        if cut[0] > s:
            out.append((s, cut[0]))
        if cut[1] < e:
            out.append((cut[1], e))
    return out


def _line_key(p, q):
    """Direction and offset of the infinite line through pq, rounded to compare."""
    angle = math.atan2(q[1] - p[1], q[0] - p[0]) % math.pi
    if math.pi - angle < 1e-6:
        angle = 0.0
    ux, uy = math.cos(angle), math.sin(angle)
    off = -p[0] * uy + p[1] * ux
    return (round(angle, 5), round(off, 1)), (ux, uy), off


def outline(walls_in_frames):
    """Clean wall lines: a list of (layer, start, end), plus the solid pieces by layer."""
    pieces = [(w.layer, r) for w, f in walls_in_frames for r in rectangles(w, f)]
    lines = {}
    for i, (layer, rect) in enumerate(pieces):
        for k in range(4):
            p, q = rect[k], rect[(k + 1) % 4]
            spans = [(0.0, 1.0)]
            for j, (_, other) in enumerate(pieces):
                if i != j:
                    cut = _inside(p, q, other)
                    if cut:
                        spans = _minus(spans, cut)
            key, u, off = _line_key(p, q)
            for s, e in spans:
                t = sorted((p[0] + (q[0] - p[0]) * v) * u[0] + (p[1] + (q[1] - p[1]) * v) * u[1] for v in (s, e))
                if t[1] - t[0] > 0.2:
                    lines.setdefault(key, []).append((layer, t[0], t[1], u, off))
    out = []
    for key in sorted(lines):
        taken = []
        for wanted in sorted({l[0] for l in lines[key]}, key=lambda n: (n == "A-WALL", n)):
            spans = _merge([(l[1], l[2]) for l in lines[key] if l[0] == wanted])
            for cut in taken:            # a line shared with a rated wall is drawn once, as rated
                spans = _minus(spans, cut)
            u, off = lines[key][0][3], lines[key][0][4]
            for s, e in spans:
                if e - s > 0.2:
                    out.append((wanted, _on(u, off, s), _on(u, off, e)))
            taken += spans
    return out, pieces


def _on(u, off, t):
    return (round(u[0] * t - u[1] * off, 4), round(u[1] * t + u[0] * off, 4))


def _merge(spans):
    out = []
    for s, e in sorted(spans):
        if out and s <= out[-1][1] + EPS:
            out[-1] = (out[-1][0], max(e, out[-1][1]))
        else:
            out.append((s, e))
    return out


def draw(msp, walls_in_frames):
    """Draws walls, doors and windows."""
    lines, pieces = outline(walls_in_frames)
    for layer, p, q in lines:
        msp.add_line(p, q, dxfattribs={"layer": layer})
    for layer, rect in pieces:
        if layer == "A-WALL-FIRE":
            h = msp.add_hatch(color=9, dxfattribs={"layer": "A-WALL-PATT"})
            h.paths.add_polyline_path([(round(x, 3), round(y, 3)) for x, y in rect], is_closed=True)
    for wall, frame in walls_in_frames:
        for o in wall.openings:
            _opening(msp, wall, frame, o)


def _opening(msp, wall, frame, o):
    ax, ay = frame.at(*wall.a)
    bx, by = frame.at(*wall.b)
    length = math.hypot(bx - ax, by - ay)
    ux, uy = (bx - ax) / length, (by - ay) / length
    s, w = o.at * FT, o.width * FT
    angle = round(math.degrees(math.atan2(by - ay, bx - ax)), 6)

    def place(t, n=0.0):
        return (round(ax + ux * t - uy * n, 4), round(ay + uy * t + ux * n, 4))

    def leaf(t, width, hinge):
        msp.add_blockref("DOOR-%d" % round(width), place(t), dxfattribs={
            "layer": "A-DOOR", "rotation": angle,
            "xscale": 1 if hinge == "start" else -1, "yscale": 1 if o.swing == "left" else -1})

    half = wall.thick / 2
    if o.kind == "door":
        leaf(s if o.hinge == "start" else s + w, w, o.hinge)
    elif o.kind == "pair":
        leaf(s, w / 2, "start")
        leaf(s + w, w / 2, "end")
    elif o.kind == "window":
        for n in (-half, 0.0, half):
            msp.add_line(place(s, n), place(s + w, n), dxfattribs={"layer": "A-GLAZ"})
    elif o.kind == "lift":
        for n in (-1.5, 1.5):
            msp.add_line(place(s, n), place(s + w, n), dxfattribs={"layer": "A-DOOR"})


def thickness_at(walls_in_frames, frame, x, y):
    """Half the thickness (inches) of the wall whose centre line passes (x, y) feet, or None."""
    for wall, f in walls_in_frames:
        if f is not frame:
            continue
        (x1, y1), (x2, y2) = wall.a, wall.b
        length = math.hypot(x2 - x1, y2 - y1)
        t = ((x - x1) * (x2 - x1) + (y - y1) * (y2 - y1)) / length
        d = abs((x - x1) * (y2 - y1) - (y - y1) * (x2 - x1)) / length
        if d < 1e-6 and -1e-6 <= t <= length + 1e-6:
            for o in wall.openings:
                if o.at - 0.3 < t < o.at + o.width + 0.3:
                    raise ValueError("a wall device at (%g, %g) ft stands in an opening" % (x, y))
            return wall.thick / 2
    return None
