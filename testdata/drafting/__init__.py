"""Draws the made-up plans under testdata with ezdxf.

Nothing here uses loopwright: the drawings and their truth files come from a
second, independent DXF library, so a reader that agrees with them was not
checked against itself.  Tables give plan places in feet; drawings are in inches.
"""
