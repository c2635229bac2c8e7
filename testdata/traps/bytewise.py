"""The trap of bytes: one plan stored in every way that files are found in."""
import re

from drafting.case import Case


def _swap_xy(raw):
    """Puts y before x in every entity, as some converters write it."""
    head, mark, entities = raw.partition(b"\r\nENTITIES\r\n")
    return head + mark + re.sub(rb"(\r\n 10\r\n[^\r]*)(\r\n 20\r\n[^\r]*)(\r\n 30\r\n)", rb"\2\1\3", entities)


def _mixed(raw):
    """Every third line ends in LF alone."""
    lines = raw.split(b"\r\n")
    return b"".join(l + (b"" if i == len(lines) - 1 else b"\n" if i % 3 == 2 else b"\r\n") for i, l in enumerate(lines))


def _no_padding(raw):
    """Group codes without the blanks in front."""
    lines = raw.split(b"\r\n")
    return b"\r\n".join(l.strip() if i % 2 == 0 else l for i, l in enumerate(lines))


FILES = [  # file, version, line ending, rewrite, what is odd about it
    ("plain.dxf", "R12", "\r\n", None, "nothing"),
    ("lf.dxf", "R12", "\n", None, "lines end in LF"),
    ("bom.dxf", "R12", "\r\n", lambda b: b"\xef\xbb\xbf" + b, "a UTF-8 byte-order mark in front"),
    ("mixed.dxf", "R12", "\r\n", _mixed, "line endings mixed"),
    ("y-first.dxf", "R12", "\r\n", _swap_xy, "y stands before x"),
    ("no-padding.dxf", "R12", "\r\n", _no_padding, "group codes are not padded"),
    ("comment.dxf", "R12", "\r\n", lambda b: b"999\r\nA COMMENT IN FRONT\r\n" + b, "a comment before the first section"),
    ("cut-end.dxf", "R12", "\r\n", lambda b: b.rstrip(b"\r\n"), "the last line has no ending"),
    ("after-end.dxf", "R12", "\r\n", lambda b: b + b"\x1a\x00\x00", "bytes after the end of file mark"),
    ("binary-r12.dxf", "R12", "binary", None, "binary, group codes of one byte"),
    ("binary-r2000.dxf", "R2000", "binary", None, "binary, group codes of two bytes"),
]


def files():
    t = Case("bytes", "One plan in many files that differ in bytes only; each is read as the same devices.")
    rows = []
    for i, (file, version, newline, rewrite, odd) in enumerate(FILES, 1):
        level = "Level %d" % i
        s = t.sheet(file, level, version, None if version == "R12" else 1)
        s.newline, s.rewrite = newline, rewrite
        a = s.room("101", "HALL", 0, 0, 480, 360)
        s.put("smoke", 120.5, 180.25, a)
        s.put("smoke", 360, 90, a, rotation=30)
        s.put("heat", 240, 300, a, xs=-1.0)
        s.text("INSERT", 240, 60, 8)                        # a text that reads like the name of an entity
        s.text("  0", 240, 30, 8)                           # and one that reads like a group code
        rows.append("drawing: %s, level: %s, units: in, elevation: %d ft" % (file, level, 14 * (i - 1)))
    t.record.extra["audit"] = "the library that drew them refuses bom.dxf and y-first.dxf; their text says what they hold all the same"
    t.record.extra["odd"] = {f[0]: f[4] for f in FILES}
    t.job(rows, ["smoke", "heat"])
    return t


ALL = [files]
