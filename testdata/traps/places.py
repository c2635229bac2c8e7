"""Traps about which symbols stand for a device at all: legends, details, copies, layers, status."""
from ezdxf.enums import TextEntityAlignment as Align

from drafting.case import Case


def legend():
    t = Case("legend", "Symbols in a legend are samples, not devices; also when the legend is one block, or mirrored.")
    s = t.sheet()
    a = s.room("101", "OFFICE", 0, 0, 480, 360)
    s.put("smoke", 120, 180, a)
    s.put("smoke", 360, 180, a, rotation=90)
    s.put("heat", 240, 80, a)
    s.put("pull station", 20, 40, a)
    # a text beside a device does not make it a sample
    s.put("smoke", 300, 300, a)
    s.text("SMOKE BARRIER ABOVE", 318, 300, 7, align=Align.MIDDLE_LEFT)
    y = 320
    s.text("FIRE ALARM LEGEND", 640, 356, 12)
    s.box(540, 190, 860, 370, "A-ANNO-NOTE")
    for type, words in (("smoke", "SMOKE DETECTOR"), ("heat", "HEAT DETECTOR"), ("pull station", "MANUAL STATION")):
        s.put(type, 570, y, "", "legend", xs=-1.0 if type == "heat" else 1.0)
        s.text(words, 600, y, 8, align=Align.MIDDLE_LEFT)
        y -= 45
    b = s.nest("LEGEND-2")
    rows = []
    for i, (block, type, words) in enumerate((("FA-SMK", "smoke", "SMOKE DETECTOR"), ("FA-PULL", "pull station", "MANUAL STATION"))):
        rows.append((type, b.add_blockref(block, (30, -45 - 45 * i), dxfattribs={"layer": "E-FIRE"})))
        b.add_text(words, dxfattribs={"height": 8, "style": "ARCH"}).set_placement((60, -45 - 45 * i), align=Align.MIDDLE_LEFT)
    b.add_text("SYMBOL LEGEND", dxfattribs={"height": 12, "style": "ARCH"}).set_placement((100, -12), align=Align.MIDDLE_CENTER)
    ref = s.insert("LEGEND-2", 540, 140, "A-ANNO-NOTE")
    for type, inner in rows:
        s.note_nested(type, inner, [ref], reason="legend")
    t.job(["drawing: plan.dxf, level: Level 1"], ["smoke", "heat", "pull station"])
    return t


def regions():
    t = Case("regions", "A key plan and a detail repeat symbols; the job gives the part of the file that is the level and boxes to ignore.")
    s = t.sheet(version="R12", units=None)
    a = s.room("101", "OFFICE", 0, 0, 480, 360)
    s.put("smoke", 120, 180, a)
    s.put("smoke", 360, 180, a)
    s.put("pull station", 20, 40, a)
    s.box(340, 10, 470, 110, "A-ANNO-NOTE")                 # a detail inside the plan's own outline
    s.text("DETAIL 1", 400, 20)
    s.put("smoke", 400, 70, "", "region")
    s.put("pull station", 360, 70, "", "region")
    s.box(600, 0, 760, 120, "A-ANNO-NOTE")                  # a key plan outside the region
    s.text("KEY PLAN", 680, -14)
    s.put("smoke", 640, 60, "", "region", xs=0.5, ys=0.5)
    s.put("smoke", 720, 60, "", "region", xs=-0.5, ys=0.5)
    b = s.nest("DETAIL-2")
    inner = b.add_blockref("FA-PULL", (40, 40), dxfattribs={"layer": "E-FIRE"})
    ref = s.insert("DETAIL-2", 600, 200, "A-ANNO-NOTE")
    s.note_nested("pull station", inner, [ref], reason="region")
    s.put("smoke", 335, 60, a)                              # just outside the box to ignore
    t.job(["drawing: plan.dxf, level: Level 1, units: in, region: [-20, -20, 500, 380], ignore: [[340, 10, 470, 110]]"],
          ["smoke", "pull station"])
    return t


def duplicates():
    t = Case("duplicates", "The same symbol twice on a spot counts once; two near ones, or a base under a detector, count twice.")
    s = t.sheet(blocks=["FA-SMK", "FA-BASE", "FA-PULL", "FA-HEAT"], layers=[("E-FIRE-NEWW", 3, "CONTINUOUS", 25)])
    a = s.room("101", "OFFICE", 0, 0, 720, 360)
    s.put("smoke", 60, 260, a)
    s.put("smoke", 60, 260, a, "duplicate")
    s.put("smoke", 180, 260, a)                             # the copy turned by 90 degrees
    s.put("smoke", 180, 260, a, "duplicate", rotation=90)
    s.put("smoke", 300, 260, a)                             # the copy on another layer
    s.put("smoke", 300, 260, a, "duplicate", layer="E-FIRE-NEWW")
    s.put("pull station", 420, 260, a)                      # the copy mirrored
    s.put("pull station", 420, 260, a, "duplicate", xs=-1.0)
    s.put("smoke", 540, 260, a)                             # the copy off by rounding
    s.put("smoke", 540.0004, 259.9997, a, "duplicate")
    s.put("smoke", 60, 140, a)                              # near, and two devices
    s.put("smoke", 80, 140, a)
    s.put("pull station", 180, 140, a)
    s.put("pull station", 180, 156, a)
    s.put("sounder base", 300, 140, a)                      # two devices on one spot, of two types
    s.put("smoke", 300, 140, a)
    s.put("heat", 420, 140, a)                              # two types on one spot that are no known pair
    s.put("pull station", 420, 140, a)
    b = s.nest("TYP-ROOM")                                  # a copy inside a block, on a loose one
    inner = b.add_blockref("FA-SMK", (0, 0), dxfattribs={"layer": "E-FIRE"})
    s.put("smoke", 540, 140, a)
    ref = s.insert("TYP-ROOM", 540, 140, "A-AREA", rotation=180)
    s.note_nested("smoke", inner, [ref], a, "duplicate")
    t.expect("duplicate", "Six symbols lie on another of their type: each named, with its handle, so that the extra ones can be erased.")
    t.expect("one spot", "A heat detector and a manual station stand on one spot: both counted, a person should look.", x=420, y=140)
    t.record.extra["either_copy"] = True                    # which of two copies counts is the reader's choice
    t.job(["drawing: plan.dxf, level: Level 1"], ["smoke", "pull station", "sounder base", "heat"])
    return t


def layers():
    t = Case("layers", "Frozen, off and locked layers, hidden symbols, and what they mean for symbols inside blocks.")
    s = t.sheet(layers=[("E-FIRE-FRZN", 2, "CONTINUOUS", 25), ("E-FIRE-OFFF", 2, "CONTINUOUS", 25), ("E-FIRE-LOCK", 2, "CONTINUOUS", 25),
                        ("E-FIRE-NPLT", 2, "CONTINUOUS", 25)])
    s.doc.layers.get("E-FIRE-FRZN").freeze()
    s.doc.layers.get("E-FIRE-OFFF").off()
    s.doc.layers.get("E-FIRE-LOCK").lock()
    s.doc.layers.get("E-FIRE-NPLT").dxf.plot = 0
    a = s.room("101", "OFFICE", 0, 0, 720, 360)
    s.put("smoke", 60, 260, a)
    s.put("smoke", 180, 260, a, "hidden", layer="E-FIRE-FRZN")
    s.put("smoke", 300, 260, a, "hidden", layer="E-FIRE-OFFF", xs=-1.0)
    s.put("smoke", 420, 260, a, layer="E-FIRE-LOCK")        # locked: seen, and counted
    s.put("smoke", 540, 260, a, layer="E-FIRE-NPLT")        # seen on the screen, not plotted: counted
    s.put("smoke", 660, 260, a, "hidden", invisible=1)
    on = s.nest("TYP-A")
    inner = on.add_blockref("FA-SMK", (0, 0), dxfattribs={"layer": "E-FIRE"})
    zero = s.nest("TYP-B")
    bare = zero.add_blockref("FA-SMK", (0, 0), dxfattribs={"layer": "0"})
    dark = s.nest("TYP-C")
    gone = dark.add_blockref("FA-SMK", (0, 0), dxfattribs={"layer": "E-FIRE-FRZN"})
    # A frozen layer hides a block with all that is in it; a layer that is off hides only what is on it,
    # and what is on layer 0 inside the block takes the layer of the block.
    for x, block, inside, layer, reason in (
            (60, "TYP-A", inner, "E-FIRE-FRZN", "hidden"), (180, "TYP-A", inner, "E-FIRE-OFFF", ""),
            (300, "TYP-B", bare, "E-FIRE-OFFF", "hidden"), (420, "TYP-B", bare, "E-FIRE", ""), (540, "TYP-C", gone, "E-FIRE", "hidden")):
        ref = s.insert(block, x, 140, layer)
        s.note_nested("smoke", inside, [ref], a, reason, outer_layer=layer)
    t.expect("hidden", "Devices on frozen or off layers, and invisible ones, are left out: say how many, and on which layers.")
    t.job(["drawing: plan.dxf, level: Level 1, hidden: exclude"], ["smoke"])
    t.job(["drawing: plan.dxf, level: Level 1, hidden: count"], ["smoke"], file="job-count.yaml")
    t.record.extra["counted_with_hidden_count"] = len(t.record.devices)
    return t


def mostly_off():
    t = Case("mostly-off", "Nine of ten heat detectors lie on a layer that is off, as when a file is saved from another discipline's view.")
    s = t.sheet(version="R12", units=None, layers=[("E-FIRE-HEAT", 2, "CONTINUOUS", 25)])
    s.doc.layers.get("E-FIRE-HEAT").off()
    a = s.room("101", "STORE", 0, 0, 720, 360)
    for i in range(9):
        s.put("heat", 60 + 140 * (i % 5), 80 + 120 * (i // 5), a, "hidden", layer="E-FIRE-HEAT")
    s.put("heat", 650, 300, a)
    s.put("smoke", 360, 300, a)
    t.expect("mostly hidden", "Most of a type's symbols are hidden: the count of 1 is probably wrong. Name the type, the layer and both numbers.")
    t.job(["drawing: plan.dxf, level: Level 1, units: in"], ["smoke", "heat"])
    return t


def status():
    t = Case("status", "Devices to be removed, existing ones and other contractors' ones, told by layer, by attribute and by note.")
    s = t.sheet(layers=[("E-FIRE-DEMO", 6, "CONTINUOUS", 25), ("E-FIRE-EXST", 6, "CONTINUOUS", 25)])
    a = s.room("101", "OFFICE", 0, 0, 720, 360)
    s.put("smoke", 60, 260, a)
    s.put("smoke", 180, 260, a, "demolition", layer="E-FIRE-DEMO")
    s.put("smoke", 300, 260, a, "existing", layer="E-FIRE-EXST")
    s.put("smoke", 420, 260, a, "existing", attribs={"STATUS": "EXISTING"})
    s.put("smoke", 540, 260, a, "existing", attribs={"NOTE": "(E) TO REMAIN"})
    s.put("smoke", 660, 260, a, "others", attribs={"NOTE": "BY OTHERS"})
    s.put("smoke", 60, 140, a, attribs={"STATUS": "NEW"})
    s.put("smoke", 180, 140, a, attribs={"NOTE": "NEAR EXISTING DUCT"})     # the word alone does not make it existing
    s.put("heat", 300, 140, a, "demolition", layer="E-FIRE-DEMO", xs=-1.0)
    b = s.nest("TYP-OLD")
    inner = b.add_blockref("FA-SMK", (0, 0), dxfattribs={"layer": "0"})
    ref = s.insert("TYP-OLD", 420, 140, "E-FIRE-DEMO")      # on layer 0 inside: takes the block's layer
    s.note_nested("smoke", inner, [ref], a, "demolition", outer_layer="E-FIRE-DEMO")
    t.expect("left out", "Seven symbols are left out as demolition, existing or by others: list them with the reason, they still need wiring decisions.")
    t.job(['drawing: plan.dxf, level: Level 1, demolition: ["*-DEMO*"], '
           'existing: ["*-EXST*", {attrib: {STATUS: EXISTING}}, {attrib: {NOTE: "(E)*"}}], others: [{attrib: {NOTE: "BY OTHERS"}}]'],
          ["smoke", "heat"])
    return t


def paper():
    t = Case("paper-space", "A sheet in paper space repeats symbols in its legend; only model space holds devices.")
    s = t.sheet()
    a = s.room("101", "OFFICE", 0, 0, 480, 360)
    s.put("smoke", 120, 180, a)
    s.put("smoke", 360, 180, a)
    psp = s.doc.layouts.get("Layout1")
    psp.page_setup(size=(36, 24), margins=(0, 0, 0, 0), units="inch")
    psp.add_viewport(center=(14, 12), size=(20, 16), view_center_point=(240, 180), view_height=480)
    s.put("smoke", 30, 20, "", "paper", space=psp, xs=0.02, ys=0.02)
    s.put("pull station", 30, 18, "", "paper", space=psp, xs=0.02, ys=0.02)
    s.text("SMOKE DETECTOR", 31, 20, 0.12, space=psp)
    t.job(["drawing: plan.dxf, level: Level 1"], ["smoke", "pull station"])
    return t


ALL = [legend, regions, duplicates, layers, mostly_off, status, paper]
