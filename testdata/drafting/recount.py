#!/usr/bin/env python3
"""Reads the drawings back with ezdxf and holds them against truth.json:  recount.py FOLDER...

Every symbol block that model space shows, nested ones and arrays expanded, must
be one device of the truth at that place, and every device of the truth must be
there under its handle.  Exit 1 when something differs.
"""
import json
import logging
import os
import sys

import ezdxf
from ezdxf import recover

sys.dont_write_bytecode = True
sys.path[:0] = [os.path.dirname(os.path.dirname(os.path.abspath(__file__)))]
from drafting import symbols                                       # noqa: E402

DEVICE = {b for b, _, _ in symbols.TYPES.values()}
NOT_READ = {"bom.dxf", "y-first.dxf"}                              # this library cannot, see traps/bytes


def inserts(doc, source, wanted):
    """(block, x, y, handle of the outermost insert) of every device symbol in model space."""
    def walk(container, chain, picked):
        for e in container.query("INSERT"):
            handle = picked or e.dxf.handle
            name = plain(source.get(e.dxf.name, e.dxf.name))
            for copy in (e.multi_insert() if e.mcount > 1 else [e]):
                if name in wanted:
                    p = copy.ocs().to_wcs(copy.dxf.insert)
                    for outer in reversed(chain):
                        p = outer.matrix44().transform(p)
                    yield name, p.x, p.y, handle
                elif e.dxf.name in doc.blocks:
                    yield from walk(doc.blocks[e.dxf.name], chain + [copy], handle)
    yield from walk(doc.modelspace(), [], None)


def plain(name):
    """The name of a block without the prefix of a bound reference, in one case."""
    return name.split("$")[-1].upper()


def dynamic_sources(doc):
    """Anonymous block name -> name of the block it was made from."""
    out = {}
    for r in doc.block_records:
        if r.has_xdata("AcDbBlockRepBTag"):
            owner = [t.value for t in r.get_xdata("AcDbBlockRepBTag") if t.code == 1005][0]
            out[r.dxf.name] = doc.entitydb[owner].dxf.name
    return out


def check(folder):
    with open(os.path.join(folder, "truth.json"), encoding="utf-8") as f:
        truth = json.load(f)
    wrong = seen = 0
    for drawing in sorted({d["drawing"] for d in truth["devices"] if d["drawing"].endswith(".dxf")} - NOT_READ):
        try:
            doc = ezdxf.readfile(os.path.join(folder, drawing))
        except ezdxf.DXFError:
            doc, _ = recover.readfile(os.path.join(folder, drawing))
        sources = dynamic_sources(doc) if doc.dxfversion > "AC1009" else {}
        mine = [d for d in truth["devices"] if d["drawing"] == drawing and d["reason"] != "paper" and d.get("block")]
        found = list(inserts(doc, sources, DEVICE | {plain(d["block"]) for d in mine if d["block"] not in sources}))
        for d in mine:
            name = plain(d.get("effective", sources.get(d["block"], d["block"])))
            hits = [i for i, f in enumerate(found) if f[0] == name and abs(f[1] - d["x"]) < 2e-3 and abs(f[2] - d["y"]) < 2e-3 and f[3] == d["handle"]]
            if not hits:
                wrong += 1
                print("%s/%s: not in the drawing: %s" % (folder, drawing, d))
            else:
                found.pop(hits[0])
                seen += 1
        for f in found:
            wrong += 1
            print("%s/%s: not in the truth: %s" % (folder, drawing, f))
        for d in truth["devices"]:
            if d["drawing"] == drawing and d["handle"] not in doc.entitydb:
                wrong += 1
                print("%s/%s: no such handle: %s" % (folder, drawing, d))
    print("%-40s %4d symbols agree, %d differ" % (folder, seen, wrong))
    return wrong


if __name__ == "__main__":
    logging.getLogger("ezdxf").setLevel(logging.ERROR)
    sys.exit(1 if sum(check(f) for f in sys.argv[1:]) else 0)
