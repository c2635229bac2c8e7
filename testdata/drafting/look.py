#!/usr/bin/env python3
"""Draws a DXF file to a PNG to look at:  look.py FILE.dxf OUT.png [x1 y1 x2 y2] [dpi]

Uses ezdxf's drawing add-on and matplotlib, dark lines on white.  For people; no test reads the picture.
"""
import logging
import sys

import ezdxf
import matplotlib
matplotlib.use("Agg")
import matplotlib.pyplot as plt                                    # noqa: E402
from ezdxf.addons.drawing import Frontend, RenderContext           # noqa: E402
from ezdxf.addons.drawing.config import Configuration, LinePolicy              # noqa: E402
from ezdxf.addons.drawing.properties import LayoutProperties     # noqa: E402
from ezdxf.addons.drawing.matplotlib import MatplotlibBackend      # noqa: E402


def main(file, out, box=None, dpi=100):
    logging.getLogger("matplotlib.font_manager").setLevel(logging.ERROR)
    doc = ezdxf.readfile(file)
    for style in doc.styles:                  # the stroke font of CAD programs is not here
        style.dxf.font = "LiberationSansNarrow-Regular.ttf"
    fig = plt.figure()
    ax = fig.add_axes([0, 0, 1, 1])
    white = LayoutProperties.from_layout(doc.modelspace())
    white.set_colors("#FFFFFF")
    config = Configuration.defaults().with_changes(lineweight_scaling=0.6, line_policy=LinePolicy.ACCURATE)
    Frontend(RenderContext(doc), MatplotlibBackend(ax), config=config).draw_layout(
        doc.modelspace(), finalize=True, layout_properties=white)
    fig.set_size_inches(21, 15)
    if box:
        ax.set_xlim(box[0], box[2])
        ax.set_ylim(box[1], box[3])
    fig.savefig(out, dpi=dpi)


if __name__ == "__main__":
    a = sys.argv[1:]
    main(a[0], a[1], [float(v) for v in a[2:6]] if len(a) >= 6 else None, int(a[6]) if len(a) > 6 else 100)
