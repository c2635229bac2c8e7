"""The sheet around a plan: border, title block, legend, notes, details, key plan, grid, dimensions."""
from ezdxf.enums import TextEntityAlignment as Align

from . import symbols

LEFT, RIGHT, BOTTOM, TOP = -480.0, 3552.0, -1300.0, 1580.0      # 42 x 30 in at 1:96
STRIP = 3180.0                                                    # title strip starts here


def _line(msp, a, b, layer="A-ANNO-TTLB"):
    msp.add_line(a, b, dxfattribs={"layer": layer})


def _rect(msp, x1, y1, x2, y2, layer="A-ANNO-TTLB"):
    for a, b in (((x1, y1), (x2, y1)), ((x2, y1), (x2, y2)), ((x2, y2), (x1, y2)), ((x1, y2), (x1, y1))):
        _line(msp, a, b, layer)


def title_block(plan, values):
    """Border and title strip as one block TTLB-42x30 with attributes."""
    doc, msp = plan.doc, plan.msp
    b = doc.blocks.new("TTLB-42X30")
    w, h = RIGHT - LEFT, TOP - BOTTOM
    for inset in (0.0, 36.0):
        pts = [(inset, inset), (w - inset, inset), (w - inset, h - inset), (inset, h - inset)]
        b.add_lwpolyline(pts, close=True)
    s = STRIP - LEFT
    b.add_line((s, 36), (s, h - 36))
    rows = [("SHEET_NO", 230, 60, "SHEET"), ("SHEET_TITLE", 400, 14, "SHEET TITLE"), ("SCALE", 500, 14, "SCALE"),
            ("DATE", 600, 14, "DATE"), ("PROJECT_NO", 700, 14, "PROJECT NO."), ("DRAWN", 800, 14, "DRAWN / CHECKED"),
            ("ISSUE", 900, 14, "ISSUE"), ("PROJECT", 1120, 16, "PROJECT")]
    for tag, top, height, caption in rows:
        b.add_line((s, top), (w - 36, top))
        b.add_text(caption, dxfattribs={"height": 8, "style": "ARCH"}).set_placement((s + 12, top - 18))
        a = b.add_attdef(tag, dxfattribs={"height": height, "style": "ARCH", "prompt": tag})
        low = {"SHEET_NO": 80, "SHEET_TITLE": 300, "PROJECT": 1010}.get(tag, top - 66)
        a.set_placement(((s + w - 36) / 2, low + height / 2), align=Align.MIDDLE_CENTER)
    ref = msp.add_blockref("TTLB-42X30", (LEFT, BOTTOM), dxfattribs={"layer": "A-ANNO-TTLB"})
    ref.add_auto_attribs(values)
    return ref


def heading(plan, text, x, y, width, layer="A-ANNO-NOTE"):
    plan.text(text, (x, y), 16, layer, Align.LEFT)
    _line(plan.msp, (x, y - 10), (x + width, y - 10), layer)


def legend(plan, x, y, note_device):
    """The legend table: a symbol beside each description.  Returns its box."""
    msp, lay = plan.msp, "E-ANNO-LEGN"
    rows = [(t,) + symbols.TYPES[t] for t in symbols.TYPES] + [(None,) + symbols.PANEL, (None,) + symbols.RISER]
    step, width = 52.0, 840.0
    top = y
    plan.text("FIRE ALARM LEGEND", (x + width / 2, y - 22), 18, lay)
    _rect(msp, x, y - 44 - step * (len(rows) + 1), x + width, y, lay)
    y -= 44
    _line(msp, (x, y), (x + width, y), lay)
    for caption, cx in (("SYMBOL", x + 55), ("DESCRIPTION", x + 350), ("MOUNTING", x + 730)):
        plan.text(caption, (cx, y - step / 2), 9, lay)
    for cx in (x + 110, x + 620):
        _line(msp, (cx, y), (cx, y - step * (len(rows) + 1)), lay)
    y -= step
    for type, block, description, mounting in rows:
        _line(msp, (x, y), (x + width, y), lay)
        mid = y - step / 2
        lift = 8 if block in ("FA-HS", "FA-STB") else 0
        ref = msp.add_blockref(block, (x + 55, mid - lift), dxfattribs={"layer": "E-FIRE"})
        if type:
            note_device(type, ref, "legend")
        plan.text(description, (x + 124, mid), 9, lay, Align.MIDDLE_LEFT)
        plan.text(mounting, (x + 634, mid), 9, lay, Align.MIDDLE_LEFT)
        y -= step
    return (x, y, x + width, top)


def notes(plan, x, y, width, lines):
    heading(plan, "GENERAL NOTES", x, y, width)
    y -= 40
    for number, text in enumerate(lines, 1):
        plan.text("%d." % number, (x, y), 9, align=Align.LEFT)
        for part in text:
            plan.text(part, (x + 36, y), 9, align=Align.LEFT)
            y -= 19
        y -= 7
    return y


def mounting_detail(plan, x, y, note_device):
    """Elevation of wall devices, drawn four times as large as the plan.  Returns its box."""
    msp, lay = plan.msp, "E-ANNO-DETL"
    k, floor = 2.5, y + 60.0
    w = 660.0
    _line(msp, (x + 30, floor), (x + w - 20, floor), lay)
    _line(msp, (x + 30, floor + 120 * k), (x + w - 20, floor + 120 * k), lay)
    plan.text("FINISHED FLOOR", (x + w - 20, floor - 14), 8, lay, Align.MIDDLE_RIGHT)
    plan.text("CEILING +10'-0\"", (x + w - 20, floor + 120 * k + 14), 8, lay, Align.MIDDLE_RIGHT)
    for type, cx, height, caption in (("pull station", x + 150, 46, "46\""), ("horn strobe", x + 330, 88, "88\""),
                                      ("strobe", x + 500, 88, "88\"")):
        top = floor + height * k
        ref = msp.add_blockref(symbols.TYPES[type][0], (cx, top - (0 if type == "pull station" else 8)),
                               dxfattribs={"layer": "E-FIRE"})
        note_device(type, ref, "region")
        dx = cx - 50
        _line(msp, (dx, floor), (dx, top), lay)
        _line(msp, (dx - 6, top), (dx + 34, top), lay)
        for yy in (floor, top):
            _line(msp, (dx - 5, yy - 5), (dx + 5, yy + 5), lay)
        plan.text(caption, (dx - 12, (floor + top) / 2), 8, lay, rotation=90)
    ref = msp.add_blockref("FA-SMK", (x + 590, floor + 120 * k - 9), dxfattribs={"layer": "E-FIRE"})
    note_device("smoke", ref, "region")
    heading(plan, "TYPICAL MOUNTING HEIGHTS", x + 30, y + 10, 420, lay)
    plan.text("NOT TO SCALE", (x + 30, y - 16), 8, lay, Align.LEFT)
    return (x, y - 30, x + w, floor + 120 * k + 40)


def key_plan(plan, x, y, outlines, marks, note_device, shade=None):
    """The building at one tenth of the plan's size, with a few symbols repeated.  Returns its box."""
    msp, lay, k = plan.msp, "A-ANNO-KEYP", 0.1
    at = lambda p: (round(x + 10 + p[0] * k, 4), round(y + 60 + p[1] * k, 4))
    for outline in outlines:
        msp.add_lwpolyline([at(p) for p in outline], close=True, dxfattribs={"layer": lay})
    for type, block, p in marks:
        ref = msp.add_blockref(block, at(p), dxfattribs={"layer": "E-FIRE"})
        if type:
            note_device(type, ref, "region")
    heading(plan, "KEY PLAN", x + 10, y + 18, 276, "A-ANNO-KEYP")
    return (x, y - 10, x + 300, y + 60 + 1140 * k + 30)


def grid(plan, columns, rows, x1, x2, y1, y2):
    """Grid lines with bubbles at the top and on the left.  columns, rows: (name, inches)."""
    msp = plan.msp
    for name, c in columns:
        _line(msp, (c, y1), (c, y2), "A-GRID")
        msp.add_circle((c, y2 + 26), 26, dxfattribs={"layer": "A-GRID-IDEN"})
        plan.text(name, (c, y2 + 26), 18, "A-GRID-IDEN")
    for name, r in rows:
        _line(msp, (x1, r), (x2, r), "A-GRID")
        msp.add_circle((x1 - 26, r), 26, dxfattribs={"layer": "A-GRID-IDEN"})
        plan.text(name, (x1 - 26, r), 18, "A-GRID-IDEN")


def feet_inches(v):
    v = int(round(v))
    return "%d'-%d\"" % (v // 12, v % 12)


def dimension_style(doc):
    s = doc.dimstyles.new("ARCH-96")
    for k, v in (("dimtxt", 8.0), ("dimasz", 6.0), ("dimtsz", 5.0), ("dimexo", 10.0), ("dimexe", 8.0), ("dimgap", 4.0),
                 ("dimtad", 1), ("dimtih", 0), ("dimtoh", 0), ("dimdle", 5.0)):
        s.dxf.set(k, v)
    s.dxf.dimtxsty = "ARCH"
    return s


def dimensions(plan, stations, along, at):
    """A chain of dimensions; along is "x" or "y", at the place of the dimension line."""
    for a, b in zip(stations, stations[1:]):
        p1, p2, base, angle = ((a, at - 30), (b, at - 30), (a, at), 0) if along == "x" else ((at + 30, a), (at + 30, b), (at, a), 90)
        d = plan.msp.add_linear_dim(base=base, p1=p1, p2=p2, angle=angle, dimstyle="ARCH-96", text=feet_inches(b - a),
                                    dxfattribs={"layer": "A-ANNO-DIMS"})
        d.render()


def view_title(plan, x, y, number, title, scale):
    msp, lay = plan.msp, "A-ANNO-SYMB"
    msp.add_circle((x, y), 34, dxfattribs={"layer": lay})
    plan.text(number, (x, y), 22, lay)
    plan.text(title, (x + 52, y + 12), 22, lay, Align.LEFT)
    _line(msp, (x + 34, y), (x + 620, y), lay)
    plan.text("SCALE: " + scale, (x + 52, y - 22), 11, lay, Align.LEFT)
    msp.add_blockref("NORTH", (x + 720, y), dxfattribs={"layer": lay})
    sx = x + 840                                    # graphic scale, 0 8 16 32 ft
    for i, (a, b) in enumerate(((0, 96), (96, 192), (192, 384))):
        _rect(msp, sx + a, y - 8, sx + b, y + 8, lay)
        if i != 1:
            msp.add_solid([(sx + a, y - 8), (sx + b, y - 8), (sx + a, y + 8), (sx + b, y + 8)], dxfattribs={"layer": lay})
    for v in (0, 8, 16, 32):
        plan.text("%d'" % v, (sx + v * 12, y + 22), 9, lay)
