"""The device symbols of the made-up plans: lettered shapes of our own.

Sizes are model inches at 1/8" = 1'-0": 18 in comes out as 3/16 in on paper.
Wall appliances point along +y, away from the wall that lies on y = 0.
"""
import math

from ezdxf.enums import TextEntityAlignment as Align

TEXT = {"style": "ARCH", "layer": "0"}

# type of device -> block, legend text, mounting shown in the legend
TYPES = {
    "smoke": ("FA-SMK", "SMOKE DETECTOR, PHOTOELECTRIC, ADDRESSABLE", "CEILING"),
    "sounder base": ("FA-BASE", "SOUNDER BASE UNDER DETECTOR, 24 V", "CEILING"),
    "heat": ("FA-HEAT", "HEAT DETECTOR, FIXED 135 F, ADDRESSABLE", "CEILING"),
    "duct smoke": ("FA-DUCT", "DUCT SMOKE DETECTOR, ADDRESSABLE", "IN DUCT"),
    "co": ("FA-CO", "CARBON MONOXIDE DETECTOR, ADDRESSABLE", "CEILING"),
    "pull station": ("FA-PULL", "MANUAL STATION, ADDRESSABLE", "+46\""),
    "waterflow": ("FA-WF", "INPUT MODULE, WATERFLOW SWITCH", "AT SWITCH"),
    "tamper": ("FA-TS", "INPUT MODULE, VALVE TAMPER SWITCH", "AT VALVE"),
    "relay": ("FA-RLY", "OUTPUT MODULE, RELAY", "AT EQUIPMENT"),
    "isolator": ("FA-ISO", "SHORT-CIRCUIT ISOLATOR", "ABOVE CEILING"),
    "horn strobe": ("FA-HS", "HORN STROBE, CANDELA AS NOTED", "+88\" TO LENS"),
    "strobe": ("FA-STB", "STROBE, CANDELA AS NOTED", "+88\" TO LENS"),
}
PANEL = ("FACP", "FIRE ALARM CONTROL PANEL", "+60\" TO CENTER")
RISER = ("FA-RISER", "CABLE RISER, UP OR DOWN", "IN SHAFT")


def _letters(block, text, height):
    block.add_text(text, dxfattribs=dict(TEXT, height=height)).set_placement((0, 0), align=Align.MIDDLE_CENTER)


def _polygon(block, n, radius, turn=0.0):
    pts = [(round(radius * math.cos(math.radians(turn + 360 * i / n)), 4),
            round(radius * math.sin(math.radians(turn + 360 * i / n)), 4)) for i in range(n)]
    _closed(block, pts)


def _closed(block, pts):
    if block.doc.dxfversion == "AC1009":         # R12 has no light polyline
        for p, q in zip(pts, pts[1:] + pts[:1]):
            block.add_line(p, q)
    else:
        block.add_lwpolyline(pts, close=True)


def _attdef(block, tag, at, height, hidden=False):
    a = block.add_attdef(tag, at, dxfattribs=dict(TEXT, height=height, prompt=tag, layer="E-FIRE-TEXT"))
    if hidden:
        a.is_invisible = True


def _circle(letters, height):
    def build(b):
        b.add_circle((0, 0), 9)
        _letters(b, letters, height)
    return build


def _duct(b):
    b.add_circle((0, 0), 9)
    _letters(b, "D", 9)
    _closed(b, [(-15, -9), (15, -9), (15, 9), (-15, 9)])
    _attdef(b, "NOTE", (19, -4), 7)


def _base(b):
    b.add_circle((0, 0), 13)
    b.add_text("SB", dxfattribs=dict(TEXT, height=6)).set_placement((13, -13), align=Align.MIDDLE_LEFT)


def _pull(b):
    _closed(b, [(-8, -8), (8, -8), (8, 8), (-8, 8)])
    _letters(b, "P", 9)


def _module(letters):
    def build(b):
        _polygon(b, 6, 11)
        _letters(b, letters, 7.5)
        _attdef(b, "TAG", (14, -3.5), 7)
    return build


def _relay(b):
    _closed(b, [(-8, -8), (8, -8), (8, 8), (-8, 8)])
    b.add_line((-8, 5), (-5, 8))
    b.add_line((5, -8), (8, -5))
    _letters(b, "R", 8)
    _attdef(b, "NOTE", (12, -3.5), 7)


def _isolator(b):
    _polygon(b, 4, 12)
    _letters(b, "I", 8)


def _horn_strobe(b):
    _closed(b, [(-4, 0), (4, 0), (4, 7), (11, 17), (-11, 17), (-4, 7)])
    b.add_line((-4, 7), (4, 7))
    b.add_line((-5.5, 9.2), (11, 17))
    b.add_line((5.5, 9.2), (-11, 17))
    _attdef(b, "CD", (-4, 21), 6.5)


def _strobe(b):
    b.add_circle((0, 8), 8)
    k = 8 * math.sqrt(0.5)
    b.add_line((-k, 8 - k), (k, 8 + k))
    b.add_line((-k, 8 + k), (k, 8 - k))
    _attdef(b, "CD", (-4, 20), 6.5)


def _facp(b):
    _closed(b, [(-24, -8), (24, -8), (24, 8), (-24, 8)])
    _closed(b, [(-22, -6), (22, -6), (22, 6), (-22, 6)])
    _letters(b, "FACP", 8)


def _riser(b):
    b.add_circle((0, 0), 12)
    b.add_line((-4, -10), (-4, 9))
    b.add_line((-4, 9), (-7, 3))
    b.add_line((-4, 9), (-1, 3))
    b.add_line((4, 10), (4, -9))
    b.add_line((4, -9), (1, -3))
    b.add_line((4, -9), (7, -3))


BUILD = {
    "FA-SMK": _circle("S", 10), "FA-HEAT": _circle("H", 9), "FA-CO": _circle("CO", 7),
    "FA-DUCT": _duct, "FA-BASE": _base, "FA-PULL": _pull, "FA-WF": _module("WF"), "FA-TS": _module("TS"),
    "FA-RLY": _relay, "FA-ISO": _isolator, "FA-HS": _horn_strobe, "FA-STB": _strobe,
    "FACP": _facp, "FA-RISER": _riser,
}


def define(doc, names=None):
    """Adds the symbol blocks (all of them, or those named) to a document."""
    for name in names or BUILD:
        if name not in doc.blocks:
            BUILD[name](doc.blocks.new(name))
