#!/usr/bin/env python3
"""Draws humidity-sensor.dxf, the teaching lab's practice chip, with the general-purpose DXF library ezdxf (0.18).

usage: python3 draw.py humidity-sensor.dxf

One 100 um write field, drawing unit 1 um, origin in the middle:
  ELECTRODES  40 interdigitated fingers, 0.5 um wide at 1 um pitch, and their two bus bars
  PADS        two contact pads with round corners and a taper down to the bus bar
  GRATING     30 lines, 0.2 um wide at 0.4 um pitch
  ZONES       the dark zones of a zone plate, outermost zone 93 nm wide
  MARKS       four alignment crosses, drawn as loose lines
  NOTES       what a drawing always has: a title that nobody wants exposed
"""
import math
import sys

import ezdxf

TOP_Y, BUS, FINGER_LENGTH = 12.0, 2.0, 22.0
FIRST_X, PITCH, FINGER_WIDTH, FINGERS = -34.0, 1.0, 0.5, 40


def rectangle(space, layer, x0, y0, x1, y1):
    space.add_lwpolyline([(x0, y0), (x1, y0), (x1, y1), (x0, y1)], close=True, dxfattribs={"layer": layer})


def electrodes(doc, space):
    # The upper comb's fingers hang from the upper bus, the lower comb's stand between them: one finger per block,
    # placed as an array of columns.
    finger = doc.blocks.new("FINGER")
    rectangle(finger, "0", 0, 0, FINGER_WIDTH, FINGER_LENGTH)
    for x, y in ((FIRST_X, TOP_Y - FINGER_LENGTH), (FIRST_X + PITCH, -TOP_Y)):
        space.add_blockref("FINGER", (x, y), dxfattribs={
            "layer": "ELECTRODES", "column_count": FINGERS // 2, "column_spacing": 2 * PITCH})
    last_x = FIRST_X + (FINGERS - 1) * PITCH + FINGER_WIDTH
    rectangle(space, "ELECTRODES", FIRST_X, TOP_Y, last_x, TOP_Y + BUS)
    rectangle(space, "ELECTRODES", FIRST_X, -TOP_Y - BUS, last_x, -TOP_Y)


def pads(doc, space):
    # A pad 20 um wide with 3 um corners at the outer end, tapering to 4 um where it meets the bus.
    pad = doc.blocks.new("PAD")
    quarter = math.tan(math.pi / 8)
    pad.add_lwpolyline(
        [(-2, 0, 0), (2, 0, 0), (10, 8, 0), (10, 19, quarter), (7, 22, 0), (-7, 22, quarter), (-10, 19, 0), (-10, 8, 0)],
        format="xyb", close=True, dxfattribs={"layer": "PADS"})
    middle = FIRST_X + FINGERS * PITCH / 2
    space.add_blockref("PAD", (middle, TOP_Y + BUS))
    space.add_blockref("PAD", (middle, -TOP_Y - BUS), dxfattribs={"rotation": 180})


def grating(doc, space):
    bar = doc.blocks.new("BAR")
    rectangle(bar, "0", 0, 0, 0.2, 14)
    space.add_blockref("BAR", (17, -33), dxfattribs={
        "layer": "GRATING", "column_count": 30, "column_spacing": 0.4})


def zone_plate(space):
    # Radii r1*sqrt(n): every zone has the same area. A dark zone is two half rings, so that no outline encloses another.
    centre_x, centre_y, first_radius, zones = 24.0, 8.0, 1.2, 42
    for n in range(1, zones, 2):
        inner, outer = first_radius * math.sqrt(n), first_radius * math.sqrt(n + 1)
        for side in (1, -1):
            space.add_lwpolyline(
                [(centre_x + side * outer, centre_y, 1), (centre_x - side * outer, centre_y, 0),
                 (centre_x - side * inner, centre_y, -1), (centre_x + side * inner, centre_y, 0)],
                format="xyb", close=True, dxfattribs={"layer": "ZONES"})
    space.add_circle((centre_x, centre_y), 0.4, dxfattribs={"layer": "ZONES"})


def marks(doc, space):
    cross = doc.blocks.new("CROSS")
    arm, half = 4.0, 0.5
    outline = [(half, half), (arm, half), (arm, -half), (half, -half), (half, -arm), (-half, -arm),
               (-half, -half), (-arm, -half), (-arm, half), (-half, half), (-half, arm), (half, arm)]
    for start, end in zip(outline, outline[1:] + outline[:1]):
        cross.add_line(start, end, dxfattribs={"layer": "MARKS"})
    for x in (-43, 43):
        for y in (-43, 43):
            space.add_blockref("CROSS", (x, y))


def main(path):
    doc = ezdxf.new("R2000", setup=False)
    doc.header["$INSUNITS"] = 13  # micrometres
    for colour, name in enumerate(("ELECTRODES", "PADS", "GRATING", "ZONES", "MARKS", "NOTES"), start=1):
        doc.layers.add(name, color=colour)
    space = doc.modelspace()
    electrodes(doc, space)
    pads(doc, space)
    grating(doc, space)
    zone_plate(space)
    marks(doc, space)
    space.add_text("humidity sensor, practice chip", dxfattribs={"layer": "NOTES", "height": 2}).set_pos((-16, -47))
    doc.saveas(path)


if __name__ == "__main__":
    main(sys.argv[1])
