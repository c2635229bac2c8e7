"""What both levels share: the outer shell, the core, the sheet furniture around the plan."""
import math

from drafting import furniture, sheet
from drafting.walls import FT, Frame, Opening as O

MAIN = Frame()
# The children's wing is turned 30 degrees; its corner sits in the east wall at 38 ft.
WING_ORIGIN = (160.3 + 38 * math.sin(math.radians(30)), 38 - 38 * math.cos(math.radians(30)))
WING = Frame(WING_ORIGIN, 30.0)
WING_OUTLINE = [(0, 0), (58, 0), (58, 38), (0, 38)]


def windows(*places, width=6.0):
    return [O(p, width, "window") for p in places]


def core(plan, level):
    """Stairs, elevator, shaft and rated walls that stand above each other on both levels."""
    w = plan.wall
    exit_at_grade = level == 1
    w((0, 54), (22, 54), O(17, 3, "door", "end", "left", not exit_at_grade), fire=True)
    w((22, 54), (22, 66), fire=True)
    w((0, 66), (22, 66), fire=True)
    w((102, 54), (138, 54), O(3, 4, "lift"), O(12, 3, "door", "start", "left"), *([] if level == 1 else [O(29, 6, "cased")]), fire=True)
    w((138, 54), (160, 54), O(2, 3, "door", "start", "left", not exit_at_grade), fire=True)
    w((138, 66), (160, 66), fire=True)
    w((138, 54), (138, 74), *([] if level == 1 else [O(14.5, 3, "door", "start", "right")]), fire=True)
    w((102, 54), (102, 74), fire=True)
    w((112, 54), (112, 74), O(15, 2.5, "door", "start", "right"), fire=True)
    w((102, 64), (112, 64), fire=True)
    w((130, 54), (130, 74), fire=True)
    furniture.stair(plan.msp, MAIN, 0.5, 54.25, 17.5, 11.5, exit_at_grade)
    furniture.stair(plan.msp, MAIN, 143.0, 54.25, 17.0, 11.5, exit_at_grade)
    lift = [MAIN.at(103.2, 55.2), MAIN.at(110.8, 55.2), MAIN.at(110.8, 62.8), MAIN.at(103.2, 62.8)]
    plan.msp.add_lwpolyline(lift, close=True, dxfattribs={"layer": "A-FLOR-FIXT"})
    for a, b in ((0, 2), (1, 3)):
        plan.msp.add_line(lift[a], lift[b], dxfattribs={"layer": "A-FLOR-FIXT"})


def toilet_block(doc):
    """TYP-TOILET: the fixtures of a toilet room with its strobe; origin at the door-side corner.

    The strobe hangs on the far wall, 20 ft from the corridor wall.
    """
    b = doc.blocks.new("TYP-TOILET")
    for i in range(3):
        y = 96 + 42 * i
        b.add_blockref("WC", (4, y), dxfattribs={"layer": "A-FLOR-FIXT", "rotation": 90})
        b.add_line((0, y + 21), (58, y + 21), dxfattribs={"layer": "A-FLOR-FIXT"})
    b.add_line((58, 96 - 21), (58, 96 + 42 * 2 + 21), dxfattribs={"layer": "A-FLOR-FIXT"})
    b.add_line((0, 75), (58, 75), dxfattribs={"layer": "A-FLOR-FIXT"})
    for i in range(3):
        b.add_blockref("LAV", (160, 110 + 34 * i), dxfattribs={"layer": "A-FLOR-FIXT", "rotation": -90})
    return b.add_blockref("FA-STB", (100, 235), dxfattribs={"layer": "E-FIRE", "rotation": 180})


def office_block(doc):
    """TYP-OFFICE: desk, visitor's chairs and the smoke detector; origin at the middle of the room."""
    b = doc.blocks.new("TYP-OFFICE")
    b.add_blockref("DESK", (0, 34), dxfattribs={"layer": "A-FURN", "rotation": 180})
    for x in (-18, 18):
        b.add_circle((x, -4), 8, dxfattribs={"layer": "A-FURN"})
    return b.add_blockref("FA-SMK", (0, -44), dxfattribs={"layer": "E-FIRE"})


NOTES = [
    ["DEVICES ARE SHOWN AT SYMBOL SCALE. DO NOT SCALE DRAWING FOR DEVICE", "LOCATION; MEET THE SPACING OF THE ADOPTED FIRE ALARM CODE."],
    ["CEILING HEIGHT IS 10'-0\" ABOVE FINISHED FLOOR UNLESS NOTED OTHERWISE."],
    ["SIGNALING LINE CIRCUITS ARE CLASS A, 16/2. ROUTE OUTGOING AND RETURN", "CONDUCTORS SEPARATELY."],
    ["NOTIFICATION APPLIANCE CIRCUITS ARE CLASS B, 14/2. FIGURE BESIDE A", "STROBE IS ITS CANDELA RATING."],
    ["MANUAL STATIONS: OPERABLE PART 46\" ABOVE FINISHED FLOOR, WITHIN 5'-0\"", "OF THE EXIT DOORWAY."],
    ["KEEP DETECTORS 3'-0\" CLEAR OF SUPPLY DIFFUSERS."],
    ["DEVICES ON LAYER E-FIRE-EXST ARE EXISTING TO REMAIN. DEVICES ON LAYER", "E-FIRE-DEMO ARE REMOVED UNDER THIS CONTRACT."],
    ["DEVICES MARKED \"BY OTHERS\" ARE FURNISHED AND WIRED BY THE MECHANICAL", "CONTRACTOR."],
    ["SHADED WALLS ARE FIRE-RATED. SEAL EVERY PENETRATION."],
    ["THIS BUILDING IS MADE UP. THE DRAWING IS A SAMPLE, NOT FOR CONSTRUCTION."],
]

MATRIX_COLUMNS = ["ALARM AT PANEL", "SUPERVISORY", "NOTIFICATION", "ELEVATOR RECALL", "AHU SHUTDOWN", "DOOR RELEASE"]
MATRIX = [("SMOKE DETECTOR", "X.XXXX"), ("HEAT DETECTOR", "X.X..X"), ("DUCT SMOKE DETECTOR", ".X..X."),
          ("CARBON MONOXIDE", ".X...."), ("MANUAL STATION", "X.X..X"), ("WATERFLOW", "X.X.XX"), ("VALVE TAMPER", ".X....")]


def matrix(plan, x, y):
    """The input/output matrix as a table of lines and texts."""
    from ezdxf.enums import TextEntityAlignment as Align
    msp, lay, step, first, col = plan.msp, "E-ANNO-LEGN", 40.0, 300.0, 96.0
    width = first + col * len(MATRIX_COLUMNS)
    plan.text("SEQUENCE OF OPERATION", (x + width / 2, y - 22), 18, lay)
    top, head = y - 44, 150.0
    bottom = top - head - step * len(MATRIX)
    sheet._rect(msp, x, bottom, x + width, y, lay)
    sheet._line(msp, (x, top), (x + width, top), lay)
    for i in range(len(MATRIX_COLUMNS)):
        cx = x + first + col * i
        sheet._line(msp, (cx, top), (cx, bottom), lay)
        plan.text(MATRIX_COLUMNS[i], (cx + col / 2, top - head + 10), 9, lay, Align.MIDDLE_LEFT, rotation=90)
    for r, (name, dots) in enumerate(MATRIX):
        yy = top - head - step * r
        sheet._line(msp, (x, yy), (x + width, yy), lay)
        plan.text(name, (x + 14, yy - step / 2), 9, lay, Align.MIDDLE_LEFT)
        for i, c in enumerate(dots):
            if c == "X":
                msp.add_circle((x + first + col * (i + 0.5), yy - step / 2), 6, dxfattribs={"layer": lay})


COLUMNS = [(str(i + 1), x * FT) for i, x in enumerate((0, 32, 64, 96, 128, 160))]
ROWS = [("D", 0.0), ("C", 44 * FT), ("B", 54 * FT), ("A", 95 * FT)]


def surround(plan, values, view):
    """Grid, dimensions, legend, notes, detail, key plan and title block."""
    def note(type, ref, reason):
        plan.record.device(type, plan.drawing, plan.level, "", ref, ref.dxf.insert.x, ref.dxf.insert.y, reason,
                           ref.dxf.name, layer=ref.dxf.layer, rotation=0.0)
    sheet.dimension_style(plan.doc)
    sheet.grid(plan, COLUMNS, ROWS, -230, 160 * FT + 60, -60, 95 * FT + 220)
    sheet.dimensions(plan, [c for _, c in COLUMNS], "x", 95 * FT + 120)
    sheet.dimensions(plan, [0, 160 * FT], "x", 95 * FT + 165)
    sheet.dimensions(plan, [r for _, r in ROWS], "y", -110)
    sheet.dimensions(plan, [0, 95 * FT], "y", -165)
    sheet.title_block(plan, values)
    sheet.view_title(plan, 60, -170, "1", view, "1/8\" = 1'-0\"")
    boxes = {"legend": sheet.legend(plan, -410, -300, note)}
    sheet.notes(plan, 480, -322, 780, NOTES)
    boxes["detail"] = sheet.mounting_detail(plan, 1330, -700, note)
    matrix(plan, 2190, -300)
    wing = [WING.at(*p) for p in WING_OUTLINE]
    main = [MAIN.at(*p) for p in ((0, 0), (160, 0), (160, 95), (0, 95))]
    marks = [(None, "FACP", MAIN.at(114, 64)), ("pull station", "FA-PULL", MAIN.at(80, 6)), ("isolator", "FA-ISO", MAIN.at(70, 80))]
    boxes["key plan"] = sheet.key_plan(plan, sheet.STRIP + 20, -150, [main, wing], marks, note)
    plan.record.extra.setdefault("regions", {})[plan.drawing] = {k: [round(v, 1) for v in b] for k, b in boxes.items()}
