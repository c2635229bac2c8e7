"""Level 2 of Saltmarsh Branch Library: rooms, walls, furniture, devices.  Places in feet."""
from drafting.walls import Opening as O

import shell
from shell import MAIN, WING, windows


def walls(p):
    w = p.wall
    w((0, 0), (160, 0), *windows(4, 14, 24, 34, 44, 62, 76, 92, 106, 118, 134, 148), thick=12)
    w((160, 0), (160, 95), *windows(10, 26, 46, 78), thick=12)
    w((160, 95), (0, 95), *windows(6, 22, 36, 60, 76, 92, 104, 116, 128, 142), thick=12)
    w((0, 95), (0, 0), *windows(12, 43, 63, 74, 84), thick=12)
    w((0, 44), (58, 44), O(46, 6, "pair", swing="right"))
    w((102, 44), (160, 44), O(4, 3, "door", "start", "right"), O(32, 3, "door", "start", "right"), O(48, 3, "door", "end", "right"))
    w((30, 54), (102, 54), O(3, 3, "door", "start", "left"), O(14, 3, "door", "start", "left"), O(25, 3, "door", "start", "left"),
      O(36, 3, "door", "start", "left"), O(46.5, 3, "door", "start", "left"), O(68, 3, "door", "end", "left"))
    for x in (30, 41, 52, 63, 74, 88):
        w((x, 54), (x, 74))
    w((22, 66), (22, 74), O(3, 3, "door", "start", "left"))
    w((0, 74), (112, 74), O(24.5, 3, "door", "start", "left"))
    w((112, 74), (160, 74), O(20.5, 3, "door", "start", "left"), fire=True)
    w((74, 74), (74, 95), O(8, 3, "door", "start", "right"))
    w((112, 74), (112, 95), fire=True)
    w((58, 0), (58, 44), O(32, 6, "pair", swing="left"))
    w((58, 44), (102, 44), O(4, 8, "cased"), O(18, 8, "cased"), O(32, 8, "cased"))
    w((102, 0), (102, 44))
    w((130, 0), (130, 44))
    shell.core(p, 2)


def rooms(p):
    r = p.room
    r("200", "CORRIDOR", [(0, 44), (160, 44), (160, 54), (138, 54), (138, 74), (130, 74), (130, 54), (30, 54), (30, 74), (22, 74), (22, 54), (0, 54)], (92, 47.3))
    r("203", "READING ROOM", (0, 0, 58, 44), (29, 22.5))
    r("204", "GALLERY", (58, 30, 102, 44), (80, 33.5))
    r("", "OPEN TO LOBBY BELOW", (58, 0, 102, 30), (80, 24), style="text")
    r("205", "CONFERENCE", (102, 0, 130, 44), (116, 36.5))
    r("206", "OFFICE", (30, 54, 41, 74), (35.5, 71), style="text")
    r("207", "OFFICE", (41, 54, 52, 74), (46.5, 71), style="text")
    r("208", "OFFICE", (52, 54, 63, 74), (57.5, 71), style="text")
    r("209", "OFFICE", (63, 54, 74, 74), (68.5, 71), style="text")
    r("210", "MEETING ROOM", (130, 0, 160, 44), (145, 36.5))
    r("220", "STORAGE", (0, 66, 22, 74), (6, 70.3))
    r("221", "SPECIAL COLLECTIONS", (0, 74, 74, 95), (37, 84.6))
    r("222", "WOMEN", (74, 54, 88, 74), (83.2, 62), style="text")
    r("223", "MEN", (88, 54, 102, 74), (92.8, 62), style="text")
    r("224", "ELEVATOR", (102, 54, 112, 64), (107, 60), style="text")
    r("225", "SHAFT", (102, 64, 112, 74), (107, 72), style="text")
    r("226", "DATA", (112, 54, 130, 74), (121, 66), style="mtext")
    r("227", "STAFF LOUNGE", (74, 74, 112, 95), (93, 88.5))
    r("228", "MECHANICAL", (112, 74, 160, 95), (144, 80.6))
    r("230", "JANITOR", (138, 66, 160, 74), (155, 70.2), style="text")
    r("S1", "STAIR 1", (0, 54, 22, 66), (19.3, 63.5), style="text")
    r("S2", "STAIR 2", (138, 54, 160, 66), (142.2, 63.5), style="text")


def furnish(p):
    f = p.furnish
    f("TABLE-4", [(x, y) for x in (9, 22, 36, 49) for y in (8, 15.8, 29, 36.5)])
    f("SHELF-15", [(x, y) for x in (3, 19.5, 39.5, 56) for y in (88.4, 78.6)])
    f("TABLE-R", [(82, 80), (92, 80), (103, 79.5), (67, 39), (93, 39)])
    table = [MAIN.at(*q) for q in ((110, 19), (122, 19), (122, 25), (110, 25))]
    p.msp.add_lwpolyline(table, close=True, dxfattribs={"layer": "A-FURN"})
    for x in (111.5, 114.5, 117.5, 120.5):
        for y in (17.6, 26.4):
            p.msp.add_circle(MAIN.at(x, y), 8, dxfattribs={"layer": "A-FURN"})
    f("TABLE-4", [(x, y) for x in (138, 152) for y in (6, 17.5, 27)])
    for a, b in (((58, 30), (102, 30)), ((58, 29.7), (102, 29.7))):    # railing
        p.msp.add_line(MAIN.at(*a), MAIN.at(*b), dxfattribs={"layer": "A-FLOR-STRS"})
    for a, b in (((58.5, 0.5), (101.75, 29.7)), ((58.25, 29.7), (101.75, 0.5))):
        p.msp.add_line(MAIN.at(*a), MAIN.at(*b), dxfattribs={"layer": "A-ROOF"})
    p.msp.add_blockref("AHU", MAIN.at(117, 84), dxfattribs={"layer": "M-HVAC-EQPM"})
    p.text("AHU-3", MAIN.at(120, 86.5), 8, "M-HVAC-EQPM")
    roof = [WING.at(*q) for q in shell.WING_OUTLINE]
    p.msp.add_lwpolyline(roof, close=True, dxfattribs={"layer": "A-ROOF"})
    p.msp.add_line(WING.at(0, 19), WING.at(58, 19), dxfattribs={"layer": "A-ROOF"})
    p.text("ROOF OF CHILDREN'S WING BELOW", WING.at(29, 25), 10, "A-ROOF", rotation=30)


def devices(p):
    c, w = p.ceiling, p.on_wall
    for at in ((14.5, 11.5), (43.5, 11.5), (14.5, 33), (43.5, 33)):
        c("smoke", "203", at)
        c("sounder base", "203", at)
    w("horn strobe", "203", 0, 22, "E", attribs={"CD": "75"})
    w("horn strobe", "203", 58, 15, "W", attribs={"CD": "75"})
    w("horn strobe", "203", 30, 44, "S", attribs={"CD": "75"})
    c("smoke", "204", (69, 37), (91, 37))
    w("horn strobe", "204", 102, 34, "W", attribs={"CD": "75"})
    c("smoke", "200", (16, 49), (46, 49.5), (76, 49.5), (107, 50), (144, 49), (26, 66), (134, 66))
    w("pull station", "200", 15.0, 54, "S")
    w("pull station", "200", 145.2, 54, "S")
    w("horn strobe", "200", 52, 54, "S", attribs={"CD": "15"})
    w("horn strobe", "200", 84, 54, "S", attribs={"CD": "15"})
    w("horn strobe", "200", 128, 54, "S", attribs={"CD": "15"})
    c("isolator", "200", (61, 51.6))
    # conference and meeting
    c("smoke", "205", (116, 11), (116, 31))
    w("horn strobe", "205", 102, 22, "E", attribs={"CD": "30"})
    c("smoke", "210", (145, 11), (145, 32))
    w("horn strobe", "210", 160, 22, "W", attribs={"CD": "30"})
    w("horn strobe", "210", 130, 14, "E", attribs={"CD": "30"})
    # the same appliance a second time on the same spot, as a slip of the drafter
    w("horn strobe", "210", 130, 14, "E", attribs={"CD": "30"}, reason="duplicate")
    for room, x in (("206", 35.5), ("207", 46.5), ("208", 57.5), ("209", 68.5)):
        p.nested("TYP-OFFICE", (x, 62.5), [("smoke", room, p.office)])
    # collections, staff, service
    c("smoke", "221", (12, 84.5), (25, 84.5), (48, 84.5), (62, 84.5))
    w("horn strobe", "221", 0, 86, "E", attribs={"CD": "75"})
    w("horn strobe", "221", 74, 79, "W", attribs={"CD": "75"})
    c("smoke", "220", (14, 70))
    p.nested("TYP-TOILET", (74.25, 54.25), [("strobe", "222", p.toilet)], layer="A-FLOR-FIXT")
    p.nested("TYP-TOILET", (101.75, 54.25), [("strobe", "223", p.toilet)], layer="A-FLOR-FIXT", mirrored=True)
    c("smoke", "227", (83.5, 84), (102.5, 84))
    w("horn strobe", "227", 112, 90, "W", attribs={"CD": "30"})
    c("smoke", "226", (121, 60.5))
    w("strobe", "226", 130, 64, "W", attribs={"CD": "15"})
    c("isolator", "226", (114.6, 62.4), (114.6, 71.6))
    c("smoke", "S1", (16.6, 57.2))
    c("smoke", "S2", (140.4, 60.6))
    c("smoke", "225", (104.6, 67))
    c("smoke", "224", (104.2, 56.2))
    c("relay", "226", (125, 70), attribs={"NOTE": "ELEV"})
    c("heat", "228", (125, 80), (150, 86))
    c("duct smoke", "228", (117, 91.5), attribs={"NOTE": "AHU-3"})
    c("relay", "228", (130, 91.5), attribs={"NOTE": "AHU-3"})
    w("horn strobe", "228", 146, 74, "N", attribs={"CD": "75"})
    c("heat", "230", (147, 70))
    # bid alternate 1, on a frozen layer: not part of this count
    w("strobe", "205", 130, 30, "W", attribs={"CD": "30"}, layer="E-FIRE-ALT1", reason="hidden")
    w("strobe", "210", 130, 35, "E", attribs={"CD": "30"}, layer="E-FIRE-ALT1", reason="hidden")
    p.msp.add_blockref("FA-RISER", MAIN.at(109.5, 68), dxfattribs={"layer": "E-FIRE"})


def draw(p):
    walls(p)
    rooms(p)
    furnish(p)
    devices(p)
