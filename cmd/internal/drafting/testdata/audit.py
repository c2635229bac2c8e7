#!/usr/bin/python3
"""Audits drawings and their labeled copies with ezdxf.

    audit.py FOLDER      with NAME.in.dxf and NAME.out.dxf in it

Prints a line for every pair: how many entries the audit of the copy has that the
audit of the original has not, how many entities of ours were read, and the name.
"""
import glob, sys
from collections import Counter
import ezdxf
from ezdxf import recover

APP = "LOOPWRIGHT"


def entries(path):
    try:
        doc = ezdxf.readfile(path)
        auditor = doc.audit()
    except Exception:
        doc, auditor = recover.readfile(path)
    ours = sum(1 for e in doc.modelspace() if e.has_xdata(APP))
    return Counter(e.code for e in list(auditor.errors) + list(auditor.fixes)), ours


for before in sorted(glob.glob(sys.argv[1] + "/*.in.dxf")):
    name = before[: -len(".in.dxf")]
    try:
        was, _ = entries(before)
    except Exception as e:
        print("unread", 0, name, type(e).__name__)
        continue
    now, ours = entries(name + ".out.dxf")
    print(sum((now - was).values()), ours, name)
