"""Level 1 of Saltmarsh Branch Library: rooms, walls, furniture, devices.  Places in feet."""
from drafting.walls import Opening as O

import shell
from shell import MAIN, WING, windows


def walls(p):
    w = p.wall
    w((0, 0), (160, 0), *windows(4, 14, 24, 34, 44, 62, 92, 106, 118, 134, 148),
      O(77, 6, "pair", swing="right", exit=True), thick=12)
    w((160, 0), (160, 95), O(12, 12, "cased"), O(47.5, 3, "door", "end", "right", True), *windows(26.5), O(80, 6, "pair", swing="right", exit=True), thick=12)
    w((160, 95), (0, 95), *windows(60, 76, 92, 104, 116, 128, 142), thick=12)
    w((0, 95), (0, 0), *windows(12, 63, 74, 84), O(44.5, 3, "door", "start", "right", True), thick=12)
    w((0, 44), (160, 44), O(46, 6, "pair"), O(66, 28, "cased"), O(110, 3, "door", "start", "right"), O(117, 3, "door", "end", "right"),
      O(131, 3, "door", "start", "right"))
    w((22, 54), (102, 54), O(20, 6, "pair"), O(54.5, 3, "door", "start", "left"), O(76, 3, "door", "end", "left"))
    w((22, 66), (22, 95), O(14, 3, "door", "start", "left"))
    w((74, 54), (74, 95), O(28, 3, "door", "start", "right"))
    w((74, 74), (102, 74))
    w((102, 74), (160, 74), O(22, 3, "door", "start", "left"), O(46, 3, "door", "start", "left"), fire=True)
    w((88, 54), (88, 74))
    w((112, 74), (112, 95), fire=True)
    w((58, 0), (58, 44), O(20, 6, "pair", swing="left"))
    w((72, 0), (72, 9))
    w((88, 0), (88, 9))
    w((72, 9), (88, 9), O(5, 6, "pair", swing="right"))
    w((102, 0), (102, 44), O(20, 3, "door", "start", "right"))
    w((102, 26), (128, 26))
    w((115, 26), (115, 44))
    w((128, 0), (128, 44))
    shell.core(p, 1)
    w((160, shell.WING_ORIGIN[1]), (shell.WING_ORIGIN[0] - 0.3, shell.WING_ORIGIN[1]), O(6, 3, "door", "start", "right", True), thick=12)
    w((0, 0), (58, 0), *windows(6, 18, 46), O(33, 3, "door", "end", "right", True), thick=12, frame=WING)
    w((58, 0), (58, 38), *windows(7, 26), thick=12, frame=WING)
    w((58, 38), (0, 38), *windows(5, 22, 34, 46), thick=12, frame=WING)
    w((0, 38), (0, 0), O(20, 6, "pair", swing="left"), thick=12, frame=WING)
    w((42, 0), (42, 38), O(9, 3, "door", "start", "right"), O(26, 3, "door", "end", "right"), frame=WING)
    w((42, 20), (58, 20), frame=WING)


def rooms(p):
    r = p.room
    r("100", "CORRIDOR", (0, 44, 160, 54), (88, 47))
    r("101", "VESTIBULE", (72, 0, 88, 9), (80, 3.0))
    r("102", "LOBBY", [(58, 0), (72, 0), (72, 9), (88, 9), (88, 0), (102, 0), (102, 44), (58, 44)], (80, 33))
    r("103", "READING ROOM", (0, 0, 58, 44), (29, 22.5))
    r("105", "CIRCULATION", (102, 0, 128, 26), (115, 19))
    r("106", "OFFICE", (102, 26, 115, 44), (108.5, 28.4), style="text")
    r("107", "OFFICE", (115, 26, 128, 44), (121.5, 28.4), style="text")
    r("108", "TEEN ROOM", (128, 0, 160, 44), (144, 22))
    x, y = shell.WING_ORIGIN
    r("109", "GALLERY", [(160, y), (x, y), (160, 38)], (165.4, 12.4))
    r("120", "LOCAL HISTORY", (0, 66, 22, 95), (11, 91.6))
    r("121", "STACKS", (22, 54, 74, 95), (48, 75.5))
    r("122", "WOMEN", (74, 54, 88, 74), (83.2, 62), style="text")
    r("123", "MEN", (88, 54, 102, 74), (92.8, 62), style="text")
    r("124", "ELEVATOR", (102, 54, 112, 64), (107, 60), style="text")
    r("125", "SHAFT", (102, 64, 112, 74), (107, 72), style="text")
    r("126", "ELECTRICAL", (112, 54, 130, 74), (121, 64.5))
    r("127", "WORKROOM", (74, 74, 112, 95), (93, 88))
    r("128", "MECHANICAL", (112, 74, 160, 95), (137, 80.6))
    r("129", "FIRE RISER", (130, 54, 138, 74), (134, 71.5), style="mtext")
    r("130", "STORAGE", (138, 66, 160, 74), (153.5, 70.2))
    r("S1", "STAIR 1", (0, 54, 22, 66), (19.3, 63.5), style="text")
    r("S2", "STAIR 2", (138, 54, 160, 66), (142.2, 63.5), style="text")
    r("140", "CHILDREN'S ROOM", (0, 0, 42, 38), (21, 19.5), frame=WING)
    r("141", "STORY ROOM", (42, 0, 58, 20), (50, 5), frame=WING)
    r("142", "CRAFT ROOM", (42, 20, 58, 38), (50, 33.5), frame=WING)


def furnish(p):
    f = p.furnish
    f("TABLE-4", [(x, y) for x in (9, 22, 36, 49) for y in (8, 15.8, 29, 36.5)])
    f("SHELF-15", [(x, y) for x in (24, 56.5) for y in (58.5, 63.2, 67.9, 79.8, 84.5, 89.2)])
    f("SHELF-15", [(40.4, y) for y in (63.2, 67.9, 79.8, 84.5, 89.2)])
    f("DESK", [(111, 8), (119, 8), (106, 80.5), (98, 80.5)])
    f("SOFA", [(64, 8, 90), (66.5, 14, 180), (95.5, 14, 180), (97, 7, -90), (134, 9, 90), (150, 9, -90), (141, 13, 0), (141, 4, 180)])
    f("TABLE-R", [(136, 33), (150, 33), (7, 72), (15, 86.5), (84, 79)])
    f("SHELF-15", [(72, 27), (72, 21)])
    f("TABLE-R", [(8, 10), (20, 8), (34, 10), (8, 28.5), (22, 30), (34, 28)], frame=WING)
    f("SHELF-15", [(13, 35.2), (13, 14.2)], frame=WING)
    f("TABLE-4", [(50, 26)], frame=WING)
    f("SOFA", [(50, 16, 0)], frame=WING)
    for x, y in ((116, 84), (142, 86)):
        p.msp.add_blockref("AHU", MAIN.at(x, y), dxfattribs={"layer": "M-HVAC-EQPM"})
    p.text("AHU-1", MAIN.at(119, 86.5), 8, "M-HVAC-EQPM")
    p.text("AHU-2", MAIN.at(145, 88.5), 8, "M-HVAC-EQPM")


def devices(p):
    c, w = p.ceiling, p.on_wall
    # reading room: detectors on sounder bases, two devices on one spot
    for at in ((14.5, 11.5), (43.5, 11.5), (14.5, 33), (43.5, 33)):
        c("smoke", "103", at)
        c("sounder base", "103", at)
    w("horn strobe", "103", 0, 22, "E", attribs={"CD": "75"})
    w("horn strobe", "103", 58, 36, "W", attribs={"CD": "75"})
    w("horn strobe", "103", 30, 44, "S", attribs={"CD": "75"})
    # lobby and entrance
    c("smoke", "102", (69, 17), (91, 17), (69, 37), (91, 37))
    w("horn strobe", "102", 58, 32, "E", attribs={"CD": "110"})
    w("horn strobe", "102", 102, 12, "W", attribs={"CD": "75"})
    w("pull station", "101", 74.5, 0, "N")
    c("heat", "101", (75.5, 6.6))
    # corridor
    c("smoke", "100", (16, 49), (46, 49.5), (76, 49.5), (107, 50), (144, 49))
    w("pull station", "100", 0, 52.2, "E")
    w("pull station", "100", 160, 45.8, "W")
    w("horn strobe", "100", 32, 54, "S", attribs={"CD": "15"})
    w("horn strobe", "100", 84, 54, "S", attribs={"CD": "15"})
    w("horn strobe", "100", 128, 54, "S", attribs={"CD": "15"})
    c("isolator", "100", (61, 51.6))
    # staff rooms, offices
    c("smoke", "105", (115, 13))
    w("horn strobe", "105", 124, 26, "S", attribs={"CD": "30"})
    for room, x in (("106", 108.5), ("107", 121.5)):
        p.nested("TYP-OFFICE", (x, 36), [("smoke", room, p.office)])
    c("smoke", "108", (144, 11), (144, 32.5))
    w("horn strobe", "108", 128, 17, "E", attribs={"CD": "75"})
    # gallery and wing
    c("smoke", "109", (164.5, 18))
    w("strobe", "109", 160, 9, "E", attribs={"CD": "15"})
    p.put("pull station", "109", MAIN.at(171, shell.WING_ORIGIN[1] + 1.5))
    c("smoke", "140", (10.5, 9.5), (31.5, 9.5), (10.5, 28.5), (31.5, 28.5), frame=WING)
    w("horn strobe", "140", 42, 19, "W", frame=WING, attribs={"CD": "110"})
    w("horn strobe", "140", 0, 6, "E", frame=WING, attribs={"CD": "75"})
    w("pull station", "140", 38.5, 0, "N", frame=WING)
    c("smoke", "141", (50, 10), frame=WING)
    w("strobe", "141", 52, 20, "S", frame=WING, attribs={"CD": "30"})
    c("smoke", "142", (50, 29.8), frame=WING)
    w("strobe", "142", 58, 34.4, "W", frame=WING, attribs={"CD": "30"})
    # north rooms
    c("smoke", "120", (11, 80.5))
    w("strobe", "120", 0, 74, "E", attribs={"CD": "30"})
    c("smoke", "121", (35, 64.2), (61, 65.8), (35, 86), (61, 86.5))
    w("horn strobe", "121", 22, 73, "E", attribs={"CD": "75"})
    w("horn strobe", "121", 74, 68, "W", attribs={"CD": "75"})
    c("heat", "121", (40, 75.2), (56, 75.2), layer="E-FIRE-EXST", reason="existing")
    c("heat", "121", (30, 75.2), layer="E-FIRE-DEMO", reason="demolition")
    for x, mark in ((40, "(E)"), (56, "(E)"), (30, "(R)")):
        p.text(mark, MAIN.at(x + 1.7, 74.6), 7, "E-FIRE-TEXT")
    p.nested("TYP-TOILET", (74.25, 54.25), [("strobe", "122", p.toilet)], layer="A-FLOR-FIXT")
    p.nested("TYP-TOILET", (101.75, 54.25), [("strobe", "123", p.toilet)], layer="A-FLOR-FIXT", mirrored=True)
    c("smoke", "127", (83.5, 84), (102.5, 85))
    w("horn strobe", "127", 112, 90, "W", attribs={"CD": "30"})
    # service rooms
    c("smoke", "126", (121, 60))
    c("relay", "126", (125, 70.5), attribs={"NOTE": "ELEV"})
    c("relay", "126", (125, 67.3), attribs={"NOTE": "DOORS"})
    c("isolator", "126", (114.6, 62.4), (114.6, 71.6))
    c("smoke", "130", (147, 70))
    c("heat", "128", (124, 80), (148.5, 80.4))
    c("co", "128", (130.5, 88))
    c("duct smoke", "128", (116, 91.5), attribs={"NOTE": "AHU-1"})
    c("duct smoke", "128", (142, 93), attribs={"NOTE": "AHU-2"})
    c("duct smoke", "128", (150.4, 84), reason="others", attribs={"NOTE": "BY OTHERS"})
    c("relay", "128", (128.2, 92), attribs={"NOTE": "AHU-1"})
    c("relay", "128", (138, 91.5), attribs={"NOTE": "AHU-2"})
    w("pull station", "128", 160, 78.2, "W")
    w("horn strobe", "128", 130, 74, "N", attribs={"CD": "75"})
    c("waterflow", "129", (133, 65.8), attribs={"TAG": "WF-1"})
    c("tamper", "129", (133, 62.6), attribs={"TAG": "TS-1"})
    c("tamper", "129", (133, 59.4), attribs={"TAG": "TS-2"})
    c("heat", "129", (134, 56.6))
    # control panel and riser
    ref = p.msp.add_blockref("FACP", MAIN.at(129.0, 62), dxfattribs={"layer": "E-FIRE", "rotation": 90})
    p.record.panels.append({"panel": "FACP", "drawing": p.drawing, "level": p.level, "room": "126 ELECTRICAL",
                            "x": ref.dxf.insert.x, "y": ref.dxf.insert.y, "handle": ref.dxf.handle})
    p.msp.add_blockref("FA-RISER", MAIN.at(109.5, 68), dxfattribs={"layer": "E-FIRE"})


def draw(p):
    walls(p)
    rooms(p)
    furnish(p)
    devices(p)
