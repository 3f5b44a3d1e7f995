#!/usr/bin/python3
"""Writes the GDSII streams of this folder with gdspy (Debian package python3-gdspy), and beside each the areas that the
library itself works out: one line a layer and data type, in square micrometres; overlaps count twice."""

import datetime
import os
import random

import gdspy

FOLDER = os.path.dirname(os.path.abspath(__file__))


def write(library, name, top):
    library.write_gds(os.path.join(FOLDER, name + ".gds"), timestamp=datetime.datetime(2000, 1, 1))
    with open(os.path.join(FOLDER, name + ".expected.txt"), "w", encoding="ascii") as out:
        (low, high) = top.get_bounding_box()
        out.write(f"box {low[0]:.9g} {low[1]:.9g} {high[0]:.9g} {high[1]:.9g}\n")
        for (layer, datatype), area in sorted(top.area(by_spec=True).items()):
            out.write(f"area {layer}/{datatype} {area:.12g}\n")


def new_cell(library, name):
    cell = gdspy.Cell(name, exclude_from_current=True)
    library.add(cell)
    return cell


def sensor():
    """Interdigitated electrodes, pads with a hole, a grating as an array, marks turned, mirrored and magnified."""
    library = gdspy.GdsLibrary("SENSOR", unit=1e-6, precision=1e-9)
    finger = new_cell(library, "FINGER")
    finger.add(gdspy.Rectangle((0, 0), (40, 0.5), layer=5))
    comb = new_cell(library, "COMB")
    comb.add(gdspy.CellArray(finger, 1, 20, (0, 2), origin=(0, 0)))
    comb.add(gdspy.Rectangle((-4, -1), (0, 40), layer=5))
    mark = new_cell(library, "MARK")
    mark.add(gdspy.Polygon([(0, 0), (3, 0), (3, 1), (1, 1), (1, 4), (0, 4)], layer=7, datatype=3))
    top = new_cell(library, "TOP")
    top.add(gdspy.CellReference(comb, (0, 0)))
    top.add(gdspy.CellReference(comb, (46, 40), rotation=180))
    top.add(gdspy.Polygon(gdspy.boolean(gdspy.Rectangle((-60, 0), (-10, 40)), gdspy.Rectangle((-50, 10), (-30, 30)), "not").polygons[0], layer=6))
    top.add(gdspy.Round((-80, 20), 10, inner_radius=4, tolerance=0.001, layer=6))
    for i, (turn, mirror, scale) in enumerate([(0, False, 1), (90, False, 1), (0, True, 1), (270, True, 2), (33.5, False, 1.25), (33.5, True, 0.75)]):
        top.add(gdspy.CellReference(mark, (i * 15, -20), rotation=turn, x_reflection=mirror, magnification=scale))
    for i, ends in enumerate(["flush", "extended", (1.5, -0.25)]):
        top.add(gdspy.FlexPath([(i * 30, 60), (i * 30 + 20, 60)], 2, ends=ends, gdsii_path=True, layer=8, datatype=i))
    top.add(gdspy.FlexPath([(0, 80), (20, 80), (20, 95)], 1, corners="natural", ends="flush", gdsii_path=True, layer=9))
    top.add(gdspy.Label("A1", (0, 100), layer=10))
    write(library, "gdspy-sensor", top)


def random_cells():
    """Polygons in cells in cells, placed anyhow by quarter turns, so that nothing is rounded twice."""
    random.seed(11)
    library = gdspy.GdsLibrary("RANDOM", unit=1e-6, precision=1e-10)
    cells = []
    for i in range(12):
        cell = new_cell(library, f"C{i}")
        for _ in range(random.randint(1, 6)):
            x, y, w, h = (random.randint(-90_000, 90_000) / 1e4 for _ in range(4))
            cell.add(gdspy.Polygon([(x, y), (x + abs(w) + 1, y), (x + abs(w) + 1.5, y + abs(h) + 1), (x, y + abs(h) + 2)],
                                   layer=random.randint(1, 3), datatype=random.randint(0, 2)))
        for other in random.sample(cells[-4:], min(len(cells), 2)):
            at = (random.randint(-99, 99), random.randint(-99, 99))
            turn = random.choice([0, 90, 180, 270])
            mirror = random.random() < 0.5
            if random.random() < 0.5:
                cell.add(gdspy.CellReference(other, at, rotation=turn, x_reflection=mirror, magnification=random.choice([1, 2])))
            else:
                cell.add(gdspy.CellArray(other, random.randint(1, 3), random.randint(1, 3), (31.5, 27.25), at, rotation=turn, x_reflection=mirror))
        cells.append(cell)
    top = new_cell(library, "TOP")
    for cell in cells:
        top.add(gdspy.CellReference(cell, (random.randint(-500, 500), random.randint(-500, 500))))
    write(library, "gdspy-random", top)


sensor()
random_cells()
