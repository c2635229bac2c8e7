#!/usr/bin/python3
"""Counts what the labels of a drawing lie on.  Needs ezdxf.

    overlaps.py LABELED.dxf WALL-LAYER[,WALL-LAYER...] [largest symbol in text heights]

Reads the drawing with a library that shares no code with the program, boxes
every label by the measured width of its font (never less than 0.75 of a text
height for a letter), and tests each pair by brute force: texts, attributes,
small symbols, walls, our own routes and leaders, and (told apart) other lines.
Prints one line of JSON and fails when a label lies on anything but other lines.
"""
import json, math, sys
import ezdxf
from ezdxf.disassemble import recursive_decompose, to_primitives

APP = "LOOPWRIGHT"
LETTER = 0.75
ASIDE = ("SCHD", "RISR")  # drawn beside the sheet


def rect(x, y, w, h, deg):
    c, s = math.cos(math.radians(deg)), math.sin(math.radians(deg))
    return [(x + u * c - v * s, y + u * s + v * c) for u, v in ((0, 0), (w, 0), (w, h), (0, h))]


def apart(a, b, slack=1e-6):
    """Separating axes of two convex outlines; a line is one with two points."""
    for poly in (a, b):
        n = len(poly)
        for i in range(n):
            (x1, y1), (x2, y2) = poly[i], poly[(i + 1) % n]
            nx, ny = y1 - y2, x2 - x1
            if n == 2 and i == 1:  # the line's own direction
                nx, ny = x2 - x1, y2 - y1
            if nx == ny == 0:
                continue
            l = math.hypot(nx, ny)
            pa = [(x * nx + y * ny) / l for x, y in a]
            pb = [(x * nx + y * ny) / l for x, y in b]
            if max(pa) <= min(pb) + slack or max(pb) <= min(pa) + slack:
                return True
    return False


def kind_of(e):
    """The kind of an entity of ours, None for anybody else's."""
    if not e.has_xdata(APP):
        return None
    return next(t.value for t in e.get_xdata(APP) if t.code == 1000)


def hull(points):
    """Convex outline of a symbol (monotone chain)."""
    ps = sorted(set(points))
    if len(ps) < 3:
        return ps

    def half(ps):
        out = []
        for p in ps:
            while len(out) > 1 and (out[-1][0] - out[-2][0]) * (p[1] - out[-2][1]) <= (out[-1][1] - out[-2][1]) * (p[0] - out[-2][0]):
                out.pop()
            out.append(p)
        return out[:-1]

    return half(ps) + half(ps[::-1])


def bounds(p):
    xs, ys = [q[0] for q in p], [q[1] for q in p]
    return min(xs), min(ys), max(xs), max(ys)


def text_box(t):
    """Box of a TEXT from its insertion point; aligned ones by their second point."""
    d = t.dxf
    h, w = d.height, max(1, len(t.plain_text() if hasattr(t, "plain_text") else d.text)) * LETTER * d.height * d.get("width", 1)
    p = d.insert
    ha, va = d.get("halign", 0), d.get("valign", 0)
    if (ha or va) and d.hasattr("align_point"):
        p = d.align_point
    dx = {1: -w / 2, 4: -w / 2, 2: -w}.get(ha, 0)
    dy = {2: -h / 2, 3: -h}.get(va, 0) if ha != 4 else -h / 2
    r = d.get("rotation", 0)
    c, s = math.cos(math.radians(r)), math.sin(math.radians(r))
    return rect(p.x + dx * c - dy * s, p.y + dx * s + dy * c, w, h, r)


def main():
    doc = ezdxf.readfile(sys.argv[1])
    walls = {w.upper() for w in sys.argv[2].split(",")} if len(sys.argv) > 2 else set()
    limit = float(sys.argv[3]) if len(sys.argv) > 3 else 5.0
    off = {l.dxf.name.upper() for l in doc.layers if l.is_off() or l.is_frozen()}
    labels, texts, symbols, lines = [], [], [], []
    height, leaders = 0, 0
    for e in doc.modelspace():
        kind = kind_of(e)
        if kind and e.dxftype() == "TEXT" and kind not in ASIDE:
            height = e.dxf.height
            labels.append((e.dxf.text, kind, text_box(e)))
        elif kind == "ADDR-LEAD":
            leaders += 1
    for e in doc.modelspace():
        mine = kind_of(e)
        if mine in ASIDE or mine == "EOLR" or mine and e.dxftype() == "TEXT" or e.dxf.layer.upper() in off:
            continue
        if e.dxftype() == "INSERT":
            for a in e.attribs:
                if not a.is_invisible and a.dxf.text:
                    texts.append(("attribute " + a.dxf.text, text_box(a)))
            points = []
            for prim in to_primitives(recursive_decompose([e])):
                if prim.entity.dxftype() not in ("ATTDEF", "ATTRIB"):
                    points += [(round(v.x, 6), round(v.y, 6)) for v in prim.vertices()]
            outline = hull(points)
            if len(outline) > 1:
                x1, y1, x2, y2 = bounds(outline)
                if max(x2 - x1, y2 - y1) <= limit * height:
                    symbols.append((e.dxf.name, outline, e.dxf.handle))
                    continue
        for q in recursive_decompose([e]):
            if q.dxf.layer.upper() in off or q.dxftype() in ("HATCH", "ATTDEF"):
                continue
            if q.dxftype() == "TEXT":
                texts.append((q.dxf.text, text_box(q)))
                continue
            if q.dxftype() == "MTEXT":
                continue
            kind = "ours" if mine else "wall" if q.dxf.layer.upper() in walls else "line"
            for prim in to_primitives([q]):
                try:
                    vs = [(v.x, v.y) for v in prim.vertices()]
                except Exception:
                    continue
                for a, b in zip(vs, vs[1:]):
                    lines.append((kind, q.dxf.handle, [a, b]))
    count = {"labels": len(labels), "on_label": 0, "on_text": 0, "on_symbol": 0, "on_wall": 0, "on_ours": 0, "on_line": 0}
    detail = []
    boxes = [(n, k, p, bounds(p)) for n, k, p in labels]

    def near(a, b):
        return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]

    def hits(what, others):
        other = [(n, p, bounds(p)) for n, p in others]
        for n, k, p, b in boxes:
            bad = [m for m, q, c in other if near(b, (c[0] - 1e-9, c[1] - 1e-9, c[2] + 1e-9, c[3] + 1e-9)) and not apart(p, q)]
            if bad:
                count[what] += 1
                if what != "on_line":
                    detail.append("%s %s %s" % (n, what, bad[:3]))

    for i, (n, k, p, b) in enumerate(boxes):
        if any(near(b, boxes[j][3]) and not apart(p, boxes[j][2]) for j in range(len(boxes)) if j != i):
            count["on_label"] += 1
            detail.append(n + " on_label")
    hits("on_text", texts)
    hits("on_symbol", [(n, p) for n, p, _ in symbols])
    hits("on_wall", [(h, p) for k, h, p in lines if k == "wall"])
    hits("on_ours", [(h, p) for k, h, p in lines if k == "ours"])
    hits("on_line", [(h, p) for k, h, p in lines if k == "line"])
    count["leaders"] = leaders
    count["detail"] = detail[:40]
    print(json.dumps(count))
    sys.exit(1 if any(count[k] for k in ("on_label", "on_text", "on_symbol", "on_wall", "on_ours")) else 0)


main()
