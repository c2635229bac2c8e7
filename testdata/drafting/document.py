"""New documents with the layers of the made-up plans, written the same way on every run."""
import io

import ezdxf

# Colours are screen colours of the index; the background is drawn light so that devices stand out.
LAYERS = [
    # name, colour, linetype, lineweight in 1/100 mm
    ("A-WALL", 8, "CONTINUOUS", 35), ("A-WALL-FIRE", 8, "CONTINUOUS", 50), ("A-WALL-PATT", 9, "CONTINUOUS", 9),
    ("A-DOOR", 8, "CONTINUOUS", 18), ("A-GLAZ", 8, "CONTINUOUS", 18), ("A-FLOR-STRS", 8, "CONTINUOUS", 13),
    ("A-FLOR-FIXT", 9, "CONTINUOUS", 13), ("A-FURN", 9, "CONTINUOUS", 9), ("A-GRID", 8, "CENTER", 9),
    ("A-GRID-IDEN", 8, "CONTINUOUS", 18), ("A-AREA-IDEN", 8, "CONTINUOUS", 18), ("A-ROOF", 9, "DASHED", 13),
    ("A-ANNO-DIMS", 8, "CONTINUOUS", 13), ("A-ANNO-NOTE", 7, "CONTINUOUS", 18), ("A-ANNO-SYMB", 7, "CONTINUOUS", 25),
    ("A-ANNO-TTLB", 7, "CONTINUOUS", 35), ("A-ANNO-KEYP", 8, "CONTINUOUS", 18), ("M-HVAC-EQPM", 9, "CONTINUOUS", 13),
    ("E-FIRE", 1, "CONTINUOUS", 35), ("E-FIRE-TEXT", 1, "CONTINUOUS", 18),
    ("E-FIRE-EXST", 6, "CONTINUOUS", 18), ("E-FIRE-DEMO", 6, "DASHED", 18), ("E-FIRE-ALT1", 3, "CONTINUOUS", 25),
    ("E-ANNO-LEGN", 7, "CONTINUOUS", 25), ("E-ANNO-DETL", 7, "CONTINUOUS", 25),
]


def new(version, units=1, layers=LAYERS):
    """A document in the given DXF version; units is the $INSUNITS code (1 inches, None leaves it out)."""
    ezdxf.options.write_fixed_meta_data_for_testing = True
    doc = ezdxf.new(version, setup=False)
    if units is not None and version != "R12":
        doc.header["$INSUNITS"] = units
        doc.header["$MEASUREMENT"] = 0 if units in (1, 2) else 1
    if version != "R12":
        doc.header["$LUNITS"] = 4 if units == 1 else 2
    doc.header["$LTSCALE"] = 48.0
    doc.styles.new("ARCH", dxfattribs={"font": "romans.shx"})
    for name, pattern in (("CENTER", [2.0, 1.25, -0.25, 0.25, -0.25]), ("DASHED", [0.75, 0.5, -0.25])):
        if name not in doc.linetypes:
            doc.linetypes.add(name, pattern, description=name)
    for name, colour, linetype, weight in layers:
        layer = doc.layers.new(name, dxfattribs={"color": colour, "linetype": linetype})
        if version != "R12":
            layer.dxf.lineweight = weight
    return doc


def _say_invisible(doc, data):
    """Writes group 60 of invisible entities: version 0.18 of the library reads it and forgets to write it."""
    for e in doc.entitydb.values():
        if e.dxf.hasattr("invisible") and e.dxf.invisible:
            head, mark, rest = data.partition("\n%s\n  5\n%s\n" % (e.dxftype(), e.dxf.handle))
            before, entity, after = rest.partition("\nAcDbEntity\n")
            if mark and entity and "\n 60\n" not in after[:20]:
                data = head + mark + before + entity + " 60\n1\n" + after
    return data


def save(doc, path, newline="\r\n", rewrite=None):
    """Writes the document with fixed dates and identifiers: the same bytes on every run.

    newline "binary" writes a binary DXF; rewrite may change the bytes before they are stored.
    """
    if doc.dxfversion > "AC1009":
        # the library registers classes from a set: put them into an order of our own
        doc.classes.add_required_classes(doc.dxfversion)
        doc.classes.classes = dict(sorted(doc.classes.classes.items()))
    if newline == "binary":
        doc.saveas(path, fmt="bin")
        return
    stream = io.StringIO()
    doc.write(stream)
    data = _say_invisible(doc, stream.getvalue())
    if doc.dxfversion < "AC1021":
        raw = data.encode(doc.encoding, errors="dxfreplace")
    else:
        raw = data.encode("utf-8", errors="surrogateescape")
    raw = raw.replace(b"\r\n", b"\n").replace(b"\n", newline.encode())
    with open(path, "wb") as f:
        f.write(rewrite(raw) if rewrite else raw)
