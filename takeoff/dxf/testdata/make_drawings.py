"""Writes drawings with ezdxf into the folder given, and beside each what ezdxf reads in it."""
import json, math, os, random, sys
import ezdxf
from ezdxf import path
from ezdxf.math import Vec3

out = sys.argv[1]


def expand(layout, matrix, names, found):
    """Composes the matrices of nested inserts; arrays by ezdxf's own explosion."""
    for e in layout:
        if e.dxftype() != "INSERT":
            continue
        for one in e.multi_insert() if e.mcount > 1 else [e]:
            m = one.matrix44()
            if matrix is not None:
                m = m * matrix
            origin = m.transform((0, 0, 0))
            axes = [m.transform_direction(v) for v in ((1, 0, 0), (0, 1, 0), (0, 0, 1))]
            found.append(dict(
                name=e.dxf.name, path=names, origin=list(origin.xyz),
                x=list(axes[0].xyz), y=list(axes[1].xyz), z=list(axes[2].xyz),
                attribs={a.dxf.tag: a.dxf.text for a in e.attribs}))
            expand(e.block(), m, names + [e.dxf.name], found)


def measure(e):
    p = path.make_path(e)
    points = list(p.flattening(0.0005, 64))
    if p.is_closed and points[0].isclose(points[-1]) is False:
        points.append(points[0])
    xs, ys = [v.x for v in points], [v.y for v in points]
    return dict(kind=e.dxftype(), lo=[min(xs), min(ys)], hi=[max(xs), max(ys)],
                length=sum(a.distance(b) for a, b in zip(points, points[1:])))


def curves(msp, version):
    attribs = {"layer": "CURVES"}
    made = [
        msp.add_line((1, 2), (3, 4), dxfattribs=attribs),
        msp.add_circle((5, 5), 3, dxfattribs=attribs),
        msp.add_arc((5, 5), 3, 200, 20, dxfattribs=attribs),
        msp.add_arc((5, 5), 3, 10, 100, dxfattribs=dict(attribs, extrusion=(0, 0, -1))),
        msp.add_polyline2d([(0, 0, 0.5), (4, 0, -1), (4, 4, 0)], format="xyb", dxfattribs=attribs),
    ]
    if version != "R12":
        made += [
            msp.add_lwpolyline([(0, 0, 0.3), (10, 0, 0), (10, 10, -0.7), (0, 10, 2)], format="xyb", close=True, dxfattribs=attribs),
            msp.add_ellipse((1, 1), (4, 2), 0.4, 0.5, 5.5, dxfattribs=attribs),
            msp.add_ellipse((1, 1), (4, 2), 0.4, dxfattribs=attribs),
            msp.add_open_spline([(0, 0), (2, 5), (5, -3), (8, 2), (12, 0)], degree=3, dxfattribs=attribs),
            msp.add_rational_spline([(0, 0), (2, 5), (5, -3), (8, 2)], [1, 3, 0.5, 1], degree=2, dxfattribs=attribs),
        ]
    return [measure(e) for e in made]


def make(version, form, seed):
    rnd = random.Random(seed)
    doc = ezdxf.new(version)
    for k in range(6):
        blk = doc.blocks.new("B%d" % k, base_point=(rnd.uniform(-5, 5), rnd.uniform(-5, 5), 0))
        blk.add_circle((0, 0), 1)
        for _ in range(rnd.randint(1, 2) if k else 0):
            # uneven scales only at the bottom: ezdxf composes matrices, so nothing is lost
            blk.add_blockref("B%d" % rnd.randrange(k), (rnd.uniform(-50, 50), rnd.uniform(-50, 50), rnd.uniform(-5, 5)), dxfattribs={
                "rotation": rnd.uniform(-400, 400), "xscale": rnd.choice([1, -1, 2.5]), "yscale": rnd.choice([1, -1, 0.3]),
                "zscale": rnd.choice([1, -2])})
    msp = doc.modelspace()
    for k in range(40):
        extrusion = rnd.choice([(0, 0, 1), (0, 0, 1), (0, 0, -1), (rnd.uniform(-1, 1), rnd.uniform(-1, 1), rnd.uniform(-1, 1)), (0.01, 0.005, 1)])
        ref = msp.add_blockref("B%d" % rnd.randrange(6), (rnd.uniform(-1e3, 1e3), rnd.uniform(-1e3, 1e3), rnd.uniform(-10, 10)), dxfattribs={
            "rotation": rnd.choice([0, 90, 180, 270, rnd.uniform(0, 360)]), "xscale": rnd.choice([1, -1, 25.4]), "yscale": rnd.choice([1, -1, 3]),
            "extrusion": Vec3(extrusion).normalize(), "layer": "L%d" % (k % 3)})
        if k % 5 == 0:
            ref.dxf.column_count, ref.dxf.row_count = 3, 2
            ref.dxf.column_spacing, ref.dxf.row_spacing = 12.5, -7
        elif k % 3 == 0:
            ref.add_attrib("TAG", "S-%d" % k, (1, 2))
            ref.add_attrib("NOTE", "by others", (1, 3))
    texts = ["ROOM %d" % k for k in range(5)] + ["Café 10' x 12'"]
    for k, s in enumerate(texts):
        msp.add_text(s, dxfattribs={"insert": (k, k), "height": 2.5})
    shapes = curves(msp, version)
    found = []
    expand(msp, None, [], found)
    name = "%s-%s" % (version, form)
    doc.saveas(os.path.join(out, name + ".dxf"), fmt="bin" if form == "binary" else "asc")
    with open(os.path.join(out, name + ".json"), "w") as f:
        json.dump(dict(file=name + ".dxf", inserts=found, shapes=shapes, texts=texts), f)


for i, version in enumerate(["R12", "R2000", "R2004", "R2007", "R2010", "R2013", "R2018"]):
    make(version, "ascii", i)
    make(version, "binary", i + 100)
