"""What the drawing script knows: the truth that a reader of the drawing must find.

Written while drawing, from the script's own tables and the handles that ezdxf
gave out.  Places are drawing units in world coordinates.

truth.json holds counts (type, level, count), excluded (reason: count),
counted_total, devices, rooms and, where they apply, panels, regions, expect
(findings in words) and changes.  A device has type, drawing, level, room ("103
READING ROOM", "" for none), x, y, handle (the insert that a person can pick: the
outermost one of a nested symbol; inner_handle is the one in the block, path the
blocks it sits in), status, reason, block, layer and, where known, attribs,
rotation, mirrored, x_m, y_m.  either_copy says that which of two copies is left
out is the reader's choice.
"""
import json


class Record:
    """Collects devices, rooms and expected findings of one drawing or job."""

    def __init__(self, about):
        self.about = about
        self.devices = []
        self.rooms = []
        self.panels = []
        self.expect = []
        self.extra = {}

    def room(self, drawing, level, number, name, polygon):
        self.rooms.append({"drawing": drawing, "level": level, "number": number, "name": name,
                           "label": (number + " " + name).strip(),
                           "outline": [[round(x, 4), round(y, 4)] for x, y in polygon]})

    def device(self, type, drawing, level, room, entity, x, y, reason="", block=None, path=(), parent=None, **more):
        """Notes one drawn device.

        reason "" means counted; otherwise one of the exclusion reasons.  path names the
        blocks a nested symbol sits in, outermost first, and parent is the outermost insert:
        its handle is the one that a person can pick in the drawing.
        """
        d = {"type": type, "drawing": drawing, "level": level, "room": room,
             "x": round(x, 4), "y": round(y, 4),
             "handle": (parent if parent is not None else entity).dxf.handle if entity is not None else "",
             "status": "excluded" if reason else "counted", "reason": reason}
        if block:
            d["block"] = block
        if path:
            d["path"] = list(path)
            d["inner_handle"] = entity.dxf.handle        # shared by all copies of the block
        d.update(more)
        self.devices.append(d)
        return d

    def counts(self):
        n = {}
        for d in self.devices:
            if d["status"] == "counted":
                n[(d["type"], d["level"])] = n.get((d["type"], d["level"]), 0) + 1
        return [{"type": t, "level": l, "count": c} for (t, l), c in sorted(n.items())]

    def excluded(self):
        n = {}
        for d in self.devices:
            if d["status"] == "excluded":
                n[d["reason"]] = n.get(d["reason"], 0) + 1
        return dict(sorted(n.items()))

    def as_dict(self):
        out = {"about": self.about, "counts": self.counts(), "excluded": self.excluded(),
               "counted_total": sum(c["count"] for c in self.counts())}
        out.update(self.extra)
        if self.panels:
            out["panels"] = self.panels
        if self.expect:
            out["expect"] = self.expect
        out["devices"] = self.devices
        if self.rooms:
            out["rooms"] = self.rooms
        return out

    def write(self, path):
        write_json(self.as_dict(), path)


def write_json(value, path):
    """One line per device or room, so that a change reads as a change of lines."""
    lines = ["{"]
    keys = list(value)
    for i, k in enumerate(keys):
        v, end = value[k], "," if i < len(keys) - 1 else ""
        if isinstance(v, list) and v and isinstance(v[0], dict):
            lines.append("  %s: [" % json.dumps(k))
            lines += ["    " + json.dumps(e) + ("," if j < len(v) - 1 else "") for j, e in enumerate(v)]
            lines.append("  ]" + end)
        else:
            lines.append("  %s: %s%s" % (json.dumps(k), json.dumps(v), end))
    lines.append("}")
    with open(path, "w", encoding="utf-8", newline="\n") as f:
        f.write("\n".join(lines) + "\n")


def inside(polygon, x, y):
    """True when the point lies in the polygon (even-odd rule)."""
    hit = False
    for (x1, y1), (x2, y2) in zip(polygon, polygon[1:] + polygon[:1]):
        if (y1 > y) != (y2 > y) and x < (x2 - x1) * (y - y1) / (y2 - y1) + x1:
            hit = not hit
    return hit
