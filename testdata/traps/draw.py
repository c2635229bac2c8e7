#!/usr/bin/env python3
"""Draws the traps: for each a folder with a small drawing, truth.json and job.yaml.

    /usr/bin/python3 testdata/traps/draw.py [DIR]

Needs ezdxf 0.18 (Debian: python3-ezdxf).  Every run writes the same bytes.
"""
import os
import sys

sys.dont_write_bytecode = True
HERE = os.path.dirname(os.path.abspath(__file__))
sys.path[:0] = [os.path.dirname(HERE), HERE]

import blocks                                                      # noqa: E402
import bytewise                                                    # noqa: E402
import figures                                                     # noqa: E402
import legends                                                     # noqa: E402
import names                                                       # noqa: E402
import places                                                      # noqa: E402
import rooms                                                       # noqa: E402
import sheets                                                      # noqa: E402


def main(where):
    for module in (places, legends, blocks, figures, rooms, sheets, names, bytewise):
        for make in module.ALL:
            trap = make()
            trap.write(where)
            print("%-16s counted %3d  excluded %s" % (trap.name, trap.record.as_dict()["counted_total"], trap.record.excluded()))


if __name__ == "__main__":
    main(sys.argv[1] if len(sys.argv) > 1 else HERE)
