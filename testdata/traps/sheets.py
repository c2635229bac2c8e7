"""Traps about files, levels and units: part plans, several levels, turned plans, wrong scales, lists."""
import math

from drafting.case import Case

INCH = 0.0254


def _building(record, datum, metre, turned=0.0):
    """Adds x_m, y_m: metres from the datum along the building's axes."""
    c, s = math.cos(math.radians(-turned)), math.sin(math.radians(-turned))
    for d in record.devices:
        if d["drawing"] in datum:
            dx, dy = d["x"] - datum[d["drawing"]][0], d["y"] - datum[d["drawing"]][1]
            k = metre
            cc, ss = (c, s) if d["drawing"] == record.turned_file else (1.0, 0.0)
            d["x_m"], d["y_m"] = round((cc * dx - ss * dy) * k, 6), round((ss * dx + cc * dy) * k, 6)


def matchline():
    t = Case("matchline", "One level on two sheets: what stands in the strip that both show counts once.")
    lays = [("A-ANNO-MTCH", 7, "DASHED", 50)]
    west, east = t.sheet("west.dxf", layers=lays), t.sheet("east.dxf", layers=lays)
    east.shift = (-400.0, 120.0)                            # the second sheet has an origin of its own
    devices = [("smoke", 100, 100), ("smoke", 300, 100), ("pull station", 20, 200), ("smoke", 460, 100), ("heat", 520, 240), ("smoke", 470, 300),
               ("smoke", 700, 100), ("smoke", 860, 260), ("pull station", 940, 200)]
    for s, lo, hi in ((west, 0, 540), (east, 440, 960)):
        for y in (0, 360):
            s.line((lo, y), (hi, y))
        s.line((0, 0), (0, 360)) if s is west else s.line((960, 0), (960, 360))
        s.line((490, -40), (490, 400), "A-ANNO-MTCH")
        s.text("MATCHLINE", 484, 420, 9)
        label = s.room("101", "HALL", 0, 0, 960, 360, draw=False)
        s.text("101 HALL", lo + 200, 180, 8, "A-AREA-IDEN")
        for type, x, y in devices:
            if lo <= x <= hi:
                s.put(type, x, y, label, "overlap" if s is east and x <= 540 else "")
    t.expect("overlap", "Three devices in the strip between the sheets are on both: counted once.")
    t.record.extra["either_copy"] = True
    t.job(["drawing: west.dxf, level: Level 1, datum: [0, 0], region: [-20, -20, 540, 380]",
           "drawing: east.dxf, level: Level 1, datum: [-400, 120], region: [40, 100, 580, 500]"], ["smoke", "heat", "pull station"])
    return t


def side_by_side():
    t = Case("side-by-side", "Two levels side by side in one file, each with its title; a symbol between them belongs to neither.")
    s = t.sheet(version="R12", units=None)
    for level, x0, number, name in (("Level 1", 0, "101", "SHOP"), ("Level 2", 800, "201", "OFFICE")):
        s.level = level
        a = s.room(number, name, x0, 0, x0 + 600, 360)
        s.text(level.upper() + " FLOOR PLAN", x0 + 300, -40, 14)
        s.put("smoke", x0 + 150, 180, a)
        s.put("smoke", x0 + 450, 180, a)
        s.put("pull station", x0 + 20, 60, a)
        if level == "Level 2":
            s.put("heat", x0 + 300, 60, a, xs=-1.0)
            b = s.nest("TYP-ROOM")
            inner = b.add_blockref("FA-SMK", (0, 30), dxfattribs={"layer": "E-FIRE"})
            ref = s.insert("TYP-ROOM", x0 + 300, 250, "A-AREA", xs=-1.0)
            s.note_nested("smoke", inner, [ref], a)
    s.level = ""
    s.put("smoke", 700, 180, "", "region")
    t.expect("outside", "A smoke detector between the two levels lies in no region: not counted, named.", x=700, y=180)
    t.job(["drawing: plan.dxf, level: Level 1, units: in, elevation: 0 ft, datum: [0, 0], region: [-40, -80, 640, 400]",
           "drawing: plan.dxf, level: Level 2, units: in, elevation: 14 ft, datum: [800, 0], region: [760, -80, 1440, 400]"],
          ["smoke", "heat", "pull station"])
    t.record.turned_file = None
    for d in t.record.devices:
        x0 = {"Level 1": 0, "Level 2": 800}.get(d["level"])
        if x0 is not None:
            d["x_m"], d["y_m"] = round((d["x"] - x0) * INCH, 6), round(d["y"] * INCH, 6)
    return t


def _two_levels(name, about, turned=0.0, shift=(0.0, 0.0)):
    t = Case(name, about)
    one, two = t.sheet("level-1.dxf", "Level 1"), t.sheet("level-2.dxf", "Level 2")
    two.turn, two.shift = turned, shift
    for s, n in ((one, "1"), (two, "2")):
        a = s.room(n + "01", "HALL", 0, 0, 720, 480)
        b = s.room(n + "02", "STORE", 720, 0, 960, 480)
        s.put("smoke", 180, 240, a)
        s.put("smoke", 540, 240, a, rotation=90)
        s.put("pull station", 20, 60, a)
        s.put("heat", 840, 240, b, xs=-1.0)
        s.msp.add_circle(s.at(60, 420), 12, dxfattribs={"layer": "A-AREA"})      # the shaft that stands above itself
        s.line((42, 402), (78, 438), "A-AREA")
        s.line((42, 438), (78, 402), "A-AREA")
        s.text("SHAFT", 60, 446, 7, "A-AREA-IDEN")
    d1, d2 = one.at(60, 420), two.at(60, 420)
    t.record.turned_file = "level-2.dxf"
    _building(t.record, {"level-1.dxf": d1, "level-2.dxf": d2}, INCH, turned)
    t.record.extra["turned"] = {"level-1.dxf": 0, "level-2.dxf": turned}
    rows = ["drawing: level-1.dxf, level: Level 1, elevation: 0 ft, datum: [%g, %g], walls: [\"A-WALL\"]" % d1,
            "drawing: level-2.dxf, level: Level 2, elevation: 14 ft, datum: [%.6f, %.6f], walls: [\"A-WALL\"]" % d2]
    types = ["smoke", "heat", "pull station"]
    t.job(rows, types)
    if turned:
        t.job([rows[0], rows[1] + ", turned: %g" % turned], types, file="job-turned.yaml")
    t.record.extra["stacked"] = "each device of level 2 stands straight above one of level 1: x_m and y_m agree in pairs"
    return t


def datum():
    return _two_levels("datum", "Two levels with origins of their own, stacked by a datum point in the shaft.", 0.0, (5000.0, -1200.0))


def turned():
    return _two_levels("turned", "The second level's plan is turned by 17 degrees on its sheet.", 17.0, (300.0, 150.0))


def _hall(t, s):
    a = s.room("101", "HALL", 0, 0, 720, 480)
    s.put("smoke", 180, 240, a)
    s.put("smoke", 540, 240, a, rotation=90)
    s.put("pull station", 20, 60, a)
    s.put("heat", 640, 400, a, xs=-1.0)
    b = s.nest("TYP-ROOM")
    inner = b.add_blockref("FA-SMK", (0, 30), dxfattribs={"layer": "E-FIRE"})
    ref = s.insert("TYP-ROOM", 360, 380, "A-AREA")
    s.note_nested("smoke", inner, [ref], a)
    # a door of 3 ft, to judge the scale by
    s.line((300, 0), (300, 36), "A-WALL")
    s.msp.add_arc(s.at(300, 0), 36 * s.k, 0, 90, dxfattribs={"layer": "A-WALL"})
    t.record.extra["hall"] = "60 ft by 40 ft"
    for d in t.record.devices:
        d["x_m"], d["y_m"] = round(d["x"] / s.k * INCH, 6), round(d["y"] / s.k * INCH, 6)


def units_wrong():
    t = Case("units-wrong", "The header says millimetres and the plan is drawn in inches: the building would be 720 mm wide.")
    s = t.sheet(units=4)
    _hall(t, s)
    t.expect("units", "A building 0.7 m by 0.5 m is not plausible: the header's mm is doubtful; give units in the job. With units: in it is 60 ft by 40 ft.")
    t.job(["drawing: plan.dxf, level: Level 1"], ["smoke", "heat", "pull station"])
    t.job(["drawing: plan.dxf, level: Level 1, units: in"], ["smoke", "heat", "pull station"], file="job-units.yaml")
    return t


def units_none():
    t = Case("units-none", "Neither file says its units: R12 has no word for them, the other says 0.")
    for file, level, version, units in (("r12.dxf", "Level 1", "R12", None), ("r2000.dxf", "Level 2", "R2000", 0)):
        s = t.sheet(file, level, version, units)
        s.doc.header["$LUNITS"] = 2
        _hall(t, s)
    t.expect("units", "No units in the drawing and none in the job: refused, or counted without lengths. Never guess in silence. job-units.yaml gives them.")
    t.record.extra["may_refuse"] = ["job.yaml"]
    rows = ["drawing: r12.dxf, level: Level 1", "drawing: r2000.dxf, level: Level 2, elevation: 14 ft"]
    types = ["smoke", "heat", "pull station"]
    t.job(rows, types)
    t.job([r + ", units: in" for r in rows], types, file="job-units.yaml")
    return t


def units_scaled():
    t = Case("units-scaled", "The file does not say its units; its symbols are drawn in inches and inserted at 25.4 times their size, so that it is in millimetres.")
    s = t.sheet(units=0, k=25.4)
    _hall(t, s)
    t.expect("units", "Symbols of 18 in are inserted at 25.4 times their size: the plan is in millimetres. Refused, and units: mm proposed with that reason.")
    t.job(["drawing: plan.dxf, level: Level 1"], ["smoke", "heat", "pull station"])
    t.job(["drawing: plan.dxf, level: Level 1, units: mm"], ["smoke", "heat", "pull station"], panel=(500, 500), file="job-units.yaml")
    return t


def units_metre():
    t = Case("units-metre", "A plan in metres: coordinates of a few units, symbols scaled down.")
    s = t.sheet(units=6, k=INCH)
    _hall(t, s)
    t.job(["drawing: plan.dxf, level: Level 1"], ["smoke", "heat", "pull station"], panel=(0.5, 0.5))
    return t


def device_list():
    t = Case("device-list", "A level without a drawing: devices in a CSV, with a byte-order mark, quotes and an empty room.")
    rows = [("A-1", "smoke", 10, 20, "401 LOFT"), ("A-2", "smoke", 40, 20, "401 LOFT"), ("A-3", "pull station", 2, 5, "STAIR, NORTH"),
            ("A-4", "heat", 55.5, 32.25, "")]
    text = "\ufeffid,type,level,x,y,room\r\n"
    for id, type, x, y, room in rows:
        text += '%s,%s,Level 4,%s,%s,%s\r\n' % (id, type, x, y, '"%s"' % room if "," in room else room)
        t.record.device(type, "devices.csv", "Level 4", room, None, x, y, "", "", id=id,
                        x_m=round(x * 12 * INCH, 6), y_m=round(y * 12 * INCH, 6))
    t.text_file("devices.csv", text)
    t.text_file("unknown-type.csv", text + "A-5,siren,Level 4,30,5,401 LOFT\r\n")
    t.expect("unknown type", "job-unknown.yaml: row 6 of unknown-type.csv says siren, a type that the job does not have. Refused with file and row, "
             "or that device left out as unknown.", file="unknown-type.csv", line=6)
    for name in ("devices", "unknown-type"):
        t.job(["devices: %s.csv, level: Level 4, units: ft, elevation: 42 ft" % name], ["smoke", "heat", "pull station"], panel=(5, 5),
              level="Level 4", file="job.yaml" if name == "devices" else "job-unknown.yaml")
    return t


def wiring():
    t = Case("wiring", "The circuit is already drawn: a polyline from the panel through the devices and back, with a short gap at each symbol.")
    s = t.sheet(layers=[("E-FIRE-WIRE", 1, "DASHED", 25)])
    a = s.room("101", "HALL", 0, 0, 960, 480)
    stops = [("smoke", 200, 120), ("smoke", 480, 120), ("pull station", 940, 120), ("smoke", 760, 360), ("heat", 300, 360)]
    for type, x, y in stops:
        s.put(type, x, y, a)
    for run in ([(20, 20), (20, 120), (191, 120)], [(209, 120), (471, 120)], [(489, 120), (932, 120)], [(940, 128), (940, 360), (769, 360)],
                [(751, 360), (540, 360), (540, 420), (420, 420), (420, 360), (309, 360)], [(291, 360), (30, 360), (30, 20)]):
        s.poly(run, False, "E-FIRE-WIRE")
    t.record.extra["drawn_order"] = [d["handle"] for d in t.record.devices]
    t.job(['drawing: plan.dxf, level: Level 1, walls: ["A-WALL"], wiring: ["E-FIRE-WIRE"]'], ["smoke", "heat", "pull station"],
          extra="circuits:\n  - {circuit: SLC-1, kind: slc, panel: FACP, pathway: A, cable: 16/2, max_resistance: 50 ohm}\n"
                "cables:\n  - {cable: 16/2, conductor: 16 AWG solid, temperature: 75 C, price: 0.42 / ft}\nroute: {along: wiring}\n")
    return t


ALL = [matchline, side_by_side, datum, turned, units_wrong, units_none, units_scaled, units_metre, device_list, wiring]
