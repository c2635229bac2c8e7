"""One floor plan being drawn: rooms, devices, furniture, with the truth noted on the way."""
import math

from ezdxf.enums import TextEntityAlignment as Align

from . import symbols, walls

FACING = {"N": 0.0, "W": 90.0, "S": 180.0, "E": 270.0}     # direction a wall device looks, to rotation
INTO = {"N": (0, 1), "S": (0, -1), "E": (1, 0), "W": (-1, 0)}


class Plan:
    """Draws into model space and into a Record at once.  Places are feet in a Frame."""

    def __init__(self, doc, record, drawing, level, main):
        self.doc, self.msp, self.record = doc, doc.modelspace(), record
        self.drawing, self.level, self.main = drawing, level, main
        self.walls = []          # (Wall, Frame)
        self.rooms = {}          # number -> (label, polygon in drawing units)
        self.exits = []          # jamb midpoints of exit doors, drawing units

    # -- background -------------------------------------------------------
    def wall(self, a, b, *openings, thick=6.0, fire=False, frame=None):
        w = walls.Wall(a, b, thick, "A-WALL-FIRE" if fire else "A-WALL", list(openings))
        self.walls.append((w, frame or self.main))
        f = frame or self.main
        length = math.hypot(b[0] - a[0], b[1] - a[1])
        for o in openings:
            if o.exit:
                t = (o.at + o.width / 2) / length
                p = f.at(a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t)
                self.exits.append((p, o.width * 6))

    def room(self, number, name, corners, tag, frame=None, style="tag"):
        """corners: opposite corners (x1,y1,x2,y2) or a list of points; tag: place of the name."""
        f = frame or self.main
        if len(corners) == 4 and not isinstance(corners[0], tuple):
            x1, y1, x2, y2 = corners
            corners = [(x1, y1), (x2, y1), (x2, y2), (x1, y2)]
        polygon = [f.at(x, y) for x, y in corners]
        self.rooms[number or name] = ((number + " " + name).strip(), polygon)
        self.record.room(self.drawing, self.level, number, name, polygon)
        at, lay = f.at(*tag), {"layer": "A-AREA-IDEN"}
        if style == "tag":
            ref = self.msp.add_blockref("RTAG", at, dxfattribs=lay)
            ref.add_auto_attribs({"NUMBER": number, "NAME": name})
            for a in ref.attribs:
                a.dxf.layer = "A-AREA-IDEN"
        elif style == "text":
            for text, dy in ((name, 6), (number, -7)):
                if text:
                    self.text(text, (at[0], at[1] + dy), 8.5, "A-AREA-IDEN")
        elif style == "mtext":
            m = self.msp.add_mtext(name + "\\P" + number, dxfattribs={
                "layer": "A-AREA-IDEN", "style": "ARCH", "char_height": 8.5, "attachment_point": 5})
            m.set_location(at)

    def text(self, text, at, height, layer="A-ANNO-NOTE", align=Align.MIDDLE_CENTER, rotation=0.0):
        t = self.msp.add_text(text, dxfattribs={"height": height, "style": "ARCH", "layer": layer, "rotation": rotation})
        t.set_placement(at, align=align)
        return t

    def furnish(self, block, places, layer="A-FURN", frame=None, rotation=0.0):
        f = frame or self.main
        for p in places:
            r = p[2] if len(p) > 2 else rotation
            self.msp.add_blockref(block, f.at(p[0], p[1]), dxfattribs={"layer": layer, "rotation": r + f.angle})

    # -- devices ----------------------------------------------------------
    def _note(self, type, room, ref, reason, block, **more):
        label, polygon = self.rooms[room]
        self.record.device(type, self.drawing, self.level, label, ref, ref.dxf.insert.x, ref.dxf.insert.y, reason, block,
                           layer=ref.dxf.layer, rotation=round(ref.dxf.rotation, 4), **more)

    def put(self, type, room, at, rotation=0.0, layer="E-FIRE", reason="", attribs=None, mirrored=False, note=True):
        block = symbols.TYPES[type][0]
        ref = self.msp.add_blockref(block, at, dxfattribs={
            "layer": layer, "rotation": rotation, "xscale": -1.0 if mirrored else 1.0})
        if attribs:
            self._attributes(ref, block, attribs, layer)
        if note:
            self._note(type, room, ref, reason, block, **({"attribs": attribs} if attribs else {}),
                       **({"mirrored": True} if mirrored else {}))
        return ref

    def _attributes(self, ref, block, attribs, layer):
        """Attributes keep upright however the symbol is turned, as a drafter leaves them."""
        home = {a.dxf.tag: a.dxf for a in self.doc.blocks[block].query("ATTDEF")}
        angle = math.radians(ref.dxf.rotation)
        co, si, at = math.cos(angle), math.sin(angle), ref.dxf.insert
        for tag, value in attribs.items():
            x, y = home[tag].insert.x, home[tag].insert.y
            on_wall = block in ("FA-HS", "FA-STB")
            if on_wall:                       # the figure stands centred in front of the appliance
                x, y = 0.0, 25.0 if abs(si) < 0.5 else 23.0 + 3.0 * len(value)
            p = (round(at.x + x * co - y * si, 4), round(at.y + x * si + y * co, 4))
            a = ref.add_attrib(tag, value, p, dxfattribs={"height": home[tag].height, "style": "ARCH", "layer": layer})
            if on_wall:
                a.set_placement(p, align=Align.MIDDLE_CENTER)

    def ceiling(self, type, room, *places, frame=None, **options):
        f = frame or self.main
        return [self.put(type, room, f.at(*p), rotation=f.angle, **options) for p in places]

    def on_wall(self, type, room, x, y, facing, frame=None, **options):
        """A wall device at the centre line point (x, y) of a wall, looking into the room."""
        f = frame or self.main
        half = walls.thickness_at(self.walls, f, x, y)
        if half is None:
            raise ValueError("%s in %s: no wall at (%g, %g) ft" % (type, room, x, y))
        off = half + (12.0 if type == "pull station" else 2.0)
        dx, dy = INTO[facing]
        turn = (0.0 if type == "pull station" else FACING[facing]) + f.angle
        return self.put(type, room, f.at(x + dx * off / 12, y + dy * off / 12), rotation=turn % 360, **options)

    def nested(self, block, at, contents, layer="A-FURN", frame=None, rotation=0.0, mirrored=False):
        """A typical-room block; contents lists (type, room, nested INSERT) that sit in it."""
        f = frame or self.main
        ref = self.msp.add_blockref(block, f.at(*at), dxfattribs={
            "layer": layer, "rotation": rotation + f.angle, "xscale": -1.0 if mirrored else 1.0})
        m = ref.matrix44()
        for type, room, inner in contents:
            p = m.transform(inner.dxf.insert)
            label, polygon = self.rooms[room]
            self.record.device(type, self.drawing, self.level, label, inner, p.x, p.y, "", symbols.TYPES[type][0],
                               path=[block], parent=ref, layer=inner.dxf.layer, **({"mirrored": True} if mirrored else {}))
        return ref
