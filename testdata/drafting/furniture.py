"""Background blocks: doors, furniture, fixtures, stairs, tags."""
import math

from ezdxf.enums import TextEntityAlignment as Align


def box(b, x, y, w, h, layer="0"):
    pts = [(x, y), (x + w, y), (x + w, y + h), (x, y + h)]
    b.add_lwpolyline(pts, close=True, dxfattribs={"layer": layer})


def door(doc, width):
    """A single leaf: hinge at the origin, closed along +x, drawn open along +y."""
    name = "DOOR-%d" % width
    if name not in doc.blocks:
        b = doc.blocks.new(name)
        box(b, 0, 0, 1.75, width)
        b.add_arc((0, 0), width, 0, 90)
    return name


def define(doc):
    """The furniture and fixture blocks."""
    for w in (30, 36, 42):
        door(doc, w)
    b = doc.blocks.new("SHELF-15")      # a double-faced range, 15 ft by 2 ft
    box(b, 0, 0, 180, 24)
    b.add_line((0, 12), (180, 12))
    for i in range(1, 5):
        b.add_line((36 * i, 0), (36 * i, 24))
    b = doc.blocks.new("TABLE-4")
    box(b, -36, -21, 72, 42)
    for x in (-18, 18):
        for y, s in ((-30, -1), (30, 1)):
            box(b, x - 8, y - 8, 16, 16)
            b.add_line((x - 8, y + 8 * s), (x + 8, y + 8 * s))
    b = doc.blocks.new("TABLE-R")
    b.add_circle((0, 0), 24)
    for a in range(45, 360, 90):
        b.add_circle((36 * math.cos(math.radians(a)), 36 * math.sin(math.radians(a))), 8)
    b = doc.blocks.new("DESK")
    box(b, -30, -15, 60, 30)
    box(b, -30, -39, 18, 24)
    b.add_circle((6, -28), 9)
    b = doc.blocks.new("SOFA")
    box(b, -36, -15, 72, 30)
    box(b, -36, 9, 72, 6)
    b.add_line((0, -15), (0, 9))
    b = doc.blocks.new("WC")
    box(b, -10, -8, 20, 8)
    b.add_ellipse((0, -18), major_axis=(0, 10), ratio=0.7)
    b = doc.blocks.new("LAV")
    b.add_circle((0, -9), 7)
    b.add_circle((0, -9), 1)
    b = doc.blocks.new("AHU")
    box(b, 0, 0, 120, 60)
    b.add_line((40, 0), (40, 60))
    b.add_line((80, 0), (80, 60))
    b.add_circle((100, 30), 14)
    b = doc.blocks.new("RTAG")          # room tag: number in a box under the name
    box(b, -20, -18, 40, 14)
    for tag, y, h in (("NAME", 4, 9), ("NUMBER", -11, 8)):
        a = b.add_attdef(tag, dxfattribs={"height": h, "style": "ARCH", "prompt": tag, "layer": "0"})
        a.set_placement((0, y), align=Align.MIDDLE_CENTER)
    b = doc.blocks.new("NORTH")
    b.add_circle((0, 0), 36)
    b.add_line((0, -36), (0, 60))
    b.add_solid([(0, 60), (-14, 0), (0, 0), (0, 0)])
    b.add_line((0, 60), (14, 0))
    b.add_line((14, 0), (0, 0))
    b.add_text("N", dxfattribs={"height": 18, "style": "ARCH"}).set_placement((0, 76), align=Align.MIDDLE_CENTER)


def stair(msp, frame, x, y, w, h, up):
    """Two flights side by side along x, with treads of 11 in, a landing and an arrow."""
    lay = {"layer": "A-FLOR-STRS"}
    run = x + 4.5
    n = int((w - 8.5) * 12 // 11)
    for i in range(n + 1):
        t = run + i * 11 / 12
        msp.add_line(frame.at(t, y + 0.3), frame.at(t, y + h / 2 - 0.25), dxfattribs=lay)
        msp.add_line(frame.at(t, y + h / 2 + 0.25), frame.at(t, y + h - 0.3), dxfattribs=lay)
    end = run + n * 11 / 12
    for dy in (-0.25, 0.25):
        msp.add_line(frame.at(run, y + h / 2 + dy), frame.at(end, y + h / 2 + dy), dxfattribs=lay)
    yy = y + h * 0.25
    a, b = (run - 1, run + 6) if up else (run + 6, run - 1)
    msp.add_line(frame.at(a, yy), frame.at(b, yy), dxfattribs=lay)
    s = 0.6 if up else -0.6
    for d in (-0.3, 0.3):
        msp.add_line(frame.at(b, yy), frame.at(b - s, yy + d), dxfattribs=lay)
    t = msp.add_text("UP" if up else "DN", dxfattribs={"height": 7, "style": "ARCH", "layer": "A-FLOR-STRS"})
    t.set_placement(frame.at(a - (1.2 if up else -0.4), yy - 0.3))
