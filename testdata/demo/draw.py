#!/usr/bin/env python3
"""Draws the plans of Saltmarsh Branch Library, an invented building, and writes what they contain.

    /usr/bin/python3 testdata/demo/draw.py [DIR]

writes level-1.dxf, level-2.dxf and truth.json (into this folder by default).
Needs ezdxf 0.18 (Debian: python3-ezdxf).  Every run writes the same bytes.
"""
import math
import os
import sys

sys.dont_write_bytecode = True
HERE = os.path.dirname(os.path.abspath(__file__))
sys.path[:0] = [os.path.dirname(HERE), HERE]

from drafting import document, furniture, symbols, walls          # noqa: E402
from drafting.plan import Plan                                     # noqa: E402
from drafting.record import Record, inside                         # noqa: E402
import level1                                                      # noqa: E402
import level2                                                      # noqa: E402
import shell                                                       # noqa: E402

LEVELS = [
    # module, number, level name, file, version, line ending, sheet number, title
    (level1, 1, "Level 1", "level-1.dxf", "R2010", "\r\n", "FA1.1", "LEVEL 1 FIRE ALARM PLAN"),
    (level2, 2, "Level 2", "level-2.dxf", "R2000", "\n", "FA1.2", "LEVEL 2 FIRE ALARM PLAN"),
]


def level(record, module, number, name, file, version, newline, sheet_no, title, where):
    doc = document.new(version)
    furniture.define(doc)
    symbols.define(doc)
    plan = Plan(doc, record, file, name, shell.MAIN)
    plan.office, plan.toilet = shell.office_block(doc), shell.toilet_block(doc)
    module.draw(plan)
    walls.draw(plan.msp, plan.walls)
    shell.surround(plan, {
        "SHEET_NO": sheet_no, "SHEET_TITLE": title, "SCALE": "1/8\" = 1'-0\"", "DATE": "2026-03-02", "PROJECT_NO": "SAMPLE-01",
        "DRAWN": "-- / --", "ISSUE": "PERMIT SET", "PROJECT": "SALTMARSH BRANCH LIBRARY"}, title)
    if number == 2:
        doc.layers.get("E-FIRE-ALT1").freeze()
    doc.header["$EXTMIN"], doc.header["$EXTMAX"] = (-480, -1300, 0), (3552, 1580, 0)
    doc.set_modelspace_vport(height=2900, center=(1536, 140))
    placed_well(plan)
    document.save(doc, os.path.join(where, file), newline)


def placed_well(plan):
    """Stops when a device stands where no drafter would put it."""
    mine = [d for d in plan.record.devices if d["drawing"] == plan.drawing and d["reason"] not in ("legend", "region")]
    polygons = dict(plan.rooms.values())
    for d in mine:
        assert inside(polygons[d["room"]], d["x"], d["y"]), "%s lies outside %s" % (d["type"], d["room"])
        if d["type"] == "pull station":
            near = min(math.dist(p, (d["x"], d["y"])) - half for p, half in plan.exits)
            assert near <= 60, "pull station in %s stands %.0f in from an exit" % (d["room"], near)
    for i, a in enumerate(mine):
        for b in mine[:i]:
            if math.dist((a["x"], a["y"]), (b["x"], b["y"])) < 16:
                pair = {a["type"], b["type"]}
                assert pair == {"smoke", "sounder base"} or "duplicate" in (a["reason"], b["reason"]), (a, b)
    for label, polygon in polygons.items():
        covered(label, polygon, [d for d in mine if d["room"] == label and d["type"] == "smoke" and not d["reason"]])


def covered(label, polygon, smokes):
    """Every point of a room with smoke detectors is within 0.7 x 30 ft of one (the spacing rule of the fire alarm code)."""
    if not smokes or label.startswith("S"):
        return                                   # a stair is covered at its top, not over its floor
    xs, ys = [p[0] for p in polygon], [p[1] for p in polygon]
    for i in range(41):
        for j in range(41):
            x, y = min(xs) + (max(xs) - min(xs)) * i / 40, min(ys) + (max(ys) - min(ys)) * j / 40
            if inside(polygon, x, y):
                near = min(math.dist((x, y), (d["x"], d["y"])) for d in smokes)
                assert near <= 21 * 12, "%s: (%.0f, %.0f) ft is %.1f ft from a smoke detector" % (label, x / 12, y / 12, near / 12)


def main(where):
    record = Record("Saltmarsh Branch Library, an invented building: what draw.py drew")
    for entry in LEVELS:
        level(record, *entry, where=where)
    record.write(os.path.join(where, "truth.json"))
    print(record.counts(), record.excluded())


if __name__ == "__main__":
    main(sys.argv[1] if len(sys.argv) > 1 else HERE)
