#!/usr/bin/env python3
"""Draws a small level in two revisions, and the second one twice more, and writes the list of changes.

    /usr/bin/python3 testdata/revision/draw.py [DIR]

    old.dxf, new.dxf      the same file edited on: what was not touched keeps its handle
    new-handles.dxf       the same revision drawn afresh: every handle is another
    new-shifted.dxf       the same revision, the whole plan moved by (1000, -500) in

truth.json holds the change list, which is the same for all three new ones.
Needs ezdxf 0.18 (Debian: python3-ezdxf).  Every run writes the same bytes.
"""
import math
import os
import sys

sys.dont_write_bytecode = True
HERE = os.path.dirname(os.path.abspath(__file__))
sys.path[:0] = [os.path.dirname(HERE), HERE]

from drafting import document, symbols                             # noqa: E402
from drafting.case import Case                                     # noqa: E402
from drafting.record import write_json                             # noqa: E402

ROOMS = [("101", "HALL", 0, 0, 480, 360), ("102", "STUDIO", 480, 0, 960, 360), ("103", "STORE", 960, 0, 1440, 360),
         ("104", "WEST WING", 0, 480, 720, 840), ("105", "EAST WING", 720, 480, 1440, 840)]
CORRIDOR = ("100", "CORRIDOR", 0, 360, 1440, 480)


def old_devices():
    """name -> (type, x, y): forty devices on a grid of rooms."""
    out, n = {}, 0

    def add(type, x, y):
        nonlocal n
        n += 1
        out["D%02d" % n] = (type, round(float(x), 4), round(float(y), 4))
    for _, _, x1, y1, x2, y2 in ROOMS:
        w, h = x2 - x1, y2 - y1
        for fx in (0.25, 0.75):
            for fy in (0.3, 0.7):
                add("smoke", x1 + w * fx, y1 + h * fy)
        add("horn strobe", x1 + 8, y1 + h / 2)
        add("heat", x1 + w / 2, y1 + 60)
    for i in range(4):
        add("smoke", 180 + 360 * i, 420)
    add("pull station", 20, 450)
    add("pull station", 1420, 450)
    for x in (500, 1000):
        add("horn strobe", x, 472)
    add("relay", 1400, 60)
    add("relay", 1400, 100)
    return out


# What the second revision does.  moved: by (dx, dy) inches.
MOVED = {"D02": (6.0, 0.0), "D09": (0.0, -48.0), "D14": (96.0, 36.0), "D25": (-330.0, 60.0), "D31": (24.0, 10.0)}
REMOVED = ["D06", "D27", "D40"]
DEMOLISHED = ["D16"]
RETYPED_IN_PLACE = {"D03": "heat"}            # the same insert shows another block
RETYPED_REDRAWN = {"D26": "heat"}             # erased, and another symbol put on the spot
ADDED = [("smoke", 240.0, 180.0), ("pull station", 1425.0, 390.0), ("strobe", 730.0, 780.0), ("heat", 1100.0, 300.0)]
CIRCUITS = """circuits:
  - {circuit: SLC-1, kind: slc, panel: FACP, pathway: A, cable: 16/2, max_resistance: 50 ohm}
  - {circuit: NAC-1, kind: nac, panel: FACP, pathway: B, cable: 14/2, max_current: 2 A, spare: 20%, start: 20.4 V, end: 16 V}
cables:
  - {cable: 16/2, conductor: 16 AWG solid, temperature: 75 C, price: 0.42 / ft}
  - {cable: 14/2, conductor: 14 AWG solid, temperature: 75 C, price: 0.61 / ft}
"""
TYPES = ["smoke", "heat", "pull station", "relay", "horn strobe", "strobe"]


def sheet(case, file, shift=(0.0, 0.0), waste=0):
    s = case.sheet(file, blocks=[symbols.TYPES[t][0] for t in TYPES], layers=[("E-FIRE-DEMO", 6, "CONTINUOUS", 25)])
    s.shift = shift
    for i in range(waste):                    # entities drawn and erased again push the handles on
        s.msp.delete_entity(s.msp.add_point((i, 0)))
    for number, name, x1, y1, x2, y2 in ROOMS + [CORRIDOR]:
        s.box(x1, y1, x2, y2)
        s.text(number + " " + name, (x1 + x2) / 2, (y1 + y2) / 2 + 16, 8, "A-AREA-IDEN")
    return s


def room_of(x, y):
    for number, name, x1, y1, x2, y2 in ROOMS + [CORRIDOR]:
        if x1 <= x <= x2 and y1 <= y <= y2:
            return number + " " + name
    return ""


def place(s, type, x, y, layer="E-FIRE"):
    turn = 0.0
    if type in ("horn strobe", "strobe"):     # they look away from the wall behind them
        turn = 180.0 if y == 472 else 270.0
    return s.insert(symbols.TYPES[type][0], x, y, layer, turn)


def revise(s, old, inserts):
    """Edits the drawing of the first revision on; returns name -> (type, x, y, insert, reason) afterwards."""
    now = {}
    for name, (type, x, y) in old.items():
        ref, reason = inserts[name], ""
        if name in REMOVED or name in RETYPED_REDRAWN:
            s.msp.delete_entity(ref)
            if name in REMOVED:
                continue
            type = RETYPED_REDRAWN[name]
            ref = place(s, type, x, y)
        if name in MOVED:
            x, y = x + MOVED[name][0], y + MOVED[name][1]
            ref.dxf.insert = s.at(x, y)
        if name in RETYPED_IN_PLACE:
            type = RETYPED_IN_PLACE[name]
            ref.dxf.name = symbols.TYPES[type][0]
        if name in DEMOLISHED:
            ref.dxf.layer, reason = "E-FIRE-DEMO", "demolition"
        now[name] = (type, x, y, ref, reason)
    for i, (type, x, y) in enumerate(ADDED):
        now["N%02d" % (i + 1)] = (type, x, y, place(s, type, x, y), "")
    return now


def redraw(s, now, order):
    """Draws the second revision afresh, in another order."""
    out = {}
    for name in order:
        type, x, y, _, reason = now[name]
        out[name] = (type, x, y, place(s, type, x, y, "E-FIRE-DEMO" if reason else "E-FIRE"), reason)
    return out


def note(case, file, devices):
    for name in sorted(devices):
        type, x, y, ref, reason = devices[name]
        p = ref.dxf.insert
        case.record.device(type, file, "Level 1", room_of(x, y), ref, p.x, p.y, reason, ref.dxf.name, name=name)


def changes(old, now):
    out = []
    for name in sorted(set(old) | set(now)):
        if name not in old:
            type, x, y = now[name][:3]
            out.append({"change": "added", "name": name, "type": type, "to": [x, y], "to_room": room_of(x, y)})
            continue
        type, x, y = old[name]
        row = {"name": name, "type": type, "from": [x, y], "from_room": room_of(x, y)}
        if name not in now or now[name][4]:
            out.append(dict({"change": "removed"}, **row, **({"why": now[name][4]} if name in now else {})))
            continue
        type2, x2, y2 = now[name][:3]
        if type2 != type:
            out.append(dict({"change": "retyped"}, **row, new_type=type2, to=[x2, y2]))
        elif (x2, y2) != (x, y):
            metres = round(math.dist((x, y), (x2, y2)) * 0.0254, 6)
            out.append(dict({"change": "moved"}, **row, to=[x2, y2], to_room=room_of(x2, y2), distance_m=metres))
            if metres > 6:                    # only the handle tells this from one removed and one added
                out[-1]["needs_handle"] = True
    return out


def main(where):
    case = Case(".", "One level of forty devices in two revisions")
    old = old_devices()
    first, second = sheet(case, "old.dxf"), sheet(case, "new.dxf")
    a = {n: place(first, *d) for n, d in old.items()}
    b = {n: place(second, *d) for n, d in old.items()}
    assert [r.dxf.handle for r in a.values()] == [r.dxf.handle for r in b.values()]
    now = revise(second, old, b)
    fresh, shifted = sheet(case, "new-handles.dxf", waste=500), sheet(case, "new-shifted.dxf", shift=(1000.0, -500.0))
    redrawn = redraw(fresh, now, sorted(now, reverse=True))
    # The shifted file keeps the handles of new.dxf: it is drawn and revised in the same steps.
    moved = revise(shifted, old, {n: place(shifted, *d) for n, d in old.items()})
    note(case, "old.dxf", {n: d + (a[n], "") for n, d in old.items()})
    for file, devices in (("new.dxf", now), ("new-handles.dxf", redrawn), ("new-shifted.dxf", moved)):
        note(case, file, devices)
    assert not {r[3].dxf.handle for r in redrawn.values()} & {r[3].dxf.handle for r in now.values()}
    for f in ("old", "new", "new-handles", "new-shifted"):
        case.job(['drawing: %s.dxf, level: Level 1, units: in, demolition: ["*-DEMO*"], walls: ["A-WALL"]' % f], TYPES,
                 panel=(40, 400) if f != "new-shifted" else (1040, -100), file=f + ".yaml", extra=CIRCUITS)
    for s in case.sheets:
        document.save(s.doc, os.path.join(where, s.file))
    for file, text in case.jobs.items():
        with open(os.path.join(where, file), "w", encoding="utf-8", newline="\n") as f:
            f.write(text)
    counts = {}
    for d in case.record.devices:
        if d["status"] == "counted":
            row = counts.setdefault(d["drawing"], {})
            row[d["type"]] = row.get(d["type"], 0) + 1
    write_json({"about": case.record.about + "; places in changes are those of old.dxf and new.dxf; "
                "a move with needs_handle may be read as removed and added where handles changed",
                "pairs": [{"old": "old.dxf", "new": n, "shift": s} for n, s in
                          (("new.dxf", [0, 0]), ("new-handles.dxf", [0, 0]), ("new-shifted.dxf", [1000, -500]))],
                "counts": counts, "changes": changes(old, now), "devices": case.record.devices}, os.path.join(where, "truth.json"))
    print(counts, len(changes(old, now)), "changes")


if __name__ == "__main__":
    main(sys.argv[1] if len(sys.argv) > 1 else HERE)
