# Writes the drawings whose names start with "ezdxf-", with the general-purpose Python library ezdxf (Debian package
# python3-ezdxf, version 0.18.1). Run in this folder: python3 make-with-ezdxf.py
import math
import random

import ezdxf

VERSIONS = ["R12", "R2000", "R2004", "R2007", "R2010", "R2013", "R2018"]


def sensor(version):
    """Two-finger comb, a ring of arcs and lines, a circle, a polyline with bulges; unit 1 um."""
    doc = ezdxf.new(version)
    doc.header["$INSUNITS"] = 13
    doc.layers.add("metal", color=1)
    doc.layers.add("marks", color=3)
    doc.layers.add("notes", color=4)
    doc.layers.get("notes").off()
    msp = doc.modelspace()
    add = msp.add_polyline2d if version == "R12" else msp.add_lwpolyline
    # comb: 10 x 2 bar with three 1 x 8 fingers
    add([(0, 0), (10, 0), (10, 10), (9, 10), (9, 2), (5.5, 2), (5.5, 10), (4.5, 10), (4.5, 2), (1, 2), (1, 10), (0, 10)],
        close=True, dxfattribs={"layer": "metal"})
    msp.add_circle((20, 5), 3, dxfattribs={"layer": "metal"})
    # stadium: 6 x 4 rectangle with two half circles of radius 2, from bulges
    add([(30, 0, 0), (36, 0, 1), (36, 4, 0), (30, 4, 1)], format="xyb", close=True, dxfattribs={"layer": "metal"})
    # the same from loose lines and arcs, not in order, one line reversed
    msp.add_line((40, 0), (46, 0), dxfattribs={"layer": "marks"})
    msp.add_arc((40, 2), 2, 90, 270, dxfattribs={"layer": "marks"})
    msp.add_line((46, 4), (40, 4), dxfattribs={"layer": "marks"})
    msp.add_arc((46, 2), 2, 270, 90, dxfattribs={"layer": "marks"})
    msp.add_text("humidity sensor", dxfattribs={"layer": "notes"})
    doc.saveas(f"ezdxf-sensor-{version}.dxf")


def blocks():
    """Nested blocks with scale, rotation, mirror, array, extrusion (0, 0, -1); layer 0 takes the layer of the insert."""
    doc = ezdxf.new("R2010")
    doc.header["$INSUNITS"] = 13
    pad = doc.blocks.new("PAD", base_point=(1, 1))
    pad.add_lwpolyline([(1, 1), (4, 1), (4, 2), (1, 2)], close=True, dxfattribs={"layer": "0"})      # area 3
    cross = doc.blocks.new("CROSS")
    cross.add_lwpolyline([(-3, -0.5), (3, -0.5), (3, 0.5), (-3, 0.5)], close=True, dxfattribs={"layer": "marks"})  # area 6
    cross.add_blockref("PAD", (5, 0), dxfattribs={"layer": "0", "xscale": 2, "yscale": 2})   # area 12
    msp = doc.modelspace()
    msp.add_blockref("CROSS", (0, 0), dxfattribs={"layer": "metal"})
    msp.add_blockref("CROSS", (100, 0), dxfattribs={"layer": "gold", "rotation": 30})
    msp.add_blockref("PAD", (0, 50), dxfattribs={"layer": "metal", "xscale": -1, "yscale": 3, "rotation": 90})
    msp.add_blockref("PAD", (0, 100), dxfattribs={"layer": "gold", "rotation": 90, "column_count": 4, "row_count": 3,
                                                "column_spacing": 10, "row_spacing": 20})
    msp.add_blockref("PAD", (-200, 0), dxfattribs={"layer": "metal", "extrusion": (0, 0, -1)})
    doc.saveas("ezdxf-blocks.dxf")
    write_expected(msp, "ezdxf-blocks.expected.txt")


def random_blocks():
    """Two hundred inserts of nested blocks with random scale, mirror, rotation, base point, array and extrusion."""
    rng = random.Random(20)
    doc = ezdxf.new("R2000")
    doc.header["$INSUNITS"] = 13
    for name in ["A", "B", "C"]:
        block = doc.blocks.new(name, base_point=(rng.uniform(-3, 3), rng.uniform(-3, 3)))
        for layer in ["0", "fixed" + name]:
            block.add_lwpolyline([(rng.uniform(-9, 9), rng.uniform(-9, 9)) for _ in range(4)], close=True, dxfattribs={"layer": layer})
        if name != "A":
            # Inside, only turns by right angles and equal scales, so that an outer unequal scale does not shear.
            for child in "AB"[:1 if name == "B" else 2]:
                s = rng.choice([0.5, 1, 3])
                block.add_blockref(child, (rng.uniform(-20, 20), rng.uniform(-20, 20)), dxfattribs={
                    "layer": rng.choice(["0", "inner"]), "rotation": rng.choice([0, 90, 180, 270]),
                    "xscale": s * rng.choice([-1, 1]), "yscale": s * rng.choice([-1, 1]), "zscale": s})
    msp = doc.modelspace()
    for _ in range(200):
        msp.add_blockref(rng.choice("ABC"), (rng.uniform(-500, 500), rng.uniform(-500, 500)), dxfattribs={
            "layer": rng.choice(["red", "blue"]), "rotation": rng.uniform(-360, 360),
            "xscale": rng.choice([-1, 1]) * rng.uniform(0.2, 4), "yscale": rng.choice([-1, 1]) * rng.uniform(0.2, 4),
            "column_count": rng.choice([1, 1, 3]), "row_count": rng.choice([1, 1, 2]),
            "column_spacing": rng.uniform(-50, 50), "row_spacing": rng.uniform(-50, 50),
            "extrusion": rng.choice([(0, 0, 1), (0, 0, 1), (0, 0, -1)])})
    doc.saveas("ezdxf-random-blocks.dxf")
    write_expected(msp, "ezdxf-random-blocks.expected.txt")


def write_expected(msp, name):
    # What the library itself makes of the inserts: layer, area, bounding box of every polygon in world coordinates.
    with open(name, "w") as out:
        for layer, points in sorted(exploded(msp, None)):
            xs = [p[0] for p in points]
            ys = [p[1] for p in points]
            out.write(f"{layer} {abs(area(points)):.6f} {min(xs):.6f} {min(ys):.6f} {max(xs):.6f} {max(ys):.6f}\n")


def exploded(entities, inherited):
    for e in entities:
        layer = inherited if e.dxf.layer == "0" and inherited else e.dxf.layer
        if e.dxftype() == "INSERT":
            for one in (e.multi_insert() if e.mcount > 1 else [e]):
                yield from exploded(one.virtual_entities(), layer)
        elif e.dxftype() == "LWPOLYLINE":
            yield layer, [(v.x, v.y) for v in e.vertices_in_wcs()]


def area(points):
    return sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(points, points[1:] + points[:1])) / 2


def curves():
    """Ellipses, splines, hatches with islands, solids, points, tapered widths; unit 1 um. Also in binary form."""
    doc = ezdxf.new("R2010")
    doc.header["$INSUNITS"] = 13
    msp = doc.modelspace()
    # whole ellipse, half axes 6 and 3, turned
    msp.add_ellipse((0, 0), major_axis=(4.8, 3.6), ratio=0.5, dxfattribs={"layer": "ellipse"})
    # half ellipse, half axes 6 and 3, closed by a line
    msp.add_ellipse((20, 0), major_axis=(6, 0), ratio=0.5, start_param=0, end_param=math.pi, dxfattribs={"layer": "half"})
    msp.add_line((14, 0), (26, 0), dxfattribs={"layer": "half"})
    # circle of radius 5 as a rational spline of degree 2 with nine control points
    w = math.sqrt(0.5)
    corners = [(5, 0), (5, 5), (0, 5), (-5, 5), (-5, 0), (-5, -5), (0, -5), (5, -5), (5, 0)]
    spline = msp.add_rational_spline([(40 + x, y) for x, y in corners], [1, w, 1, w, 1, w, 1, w, 1], degree=2,
                                     knots=[0, 0, 0, 1, 1, 2, 2, 3, 3, 4, 4, 4], dxfattribs={"layer": "nurbs"})
    # open cubic through points of a straight line, and through points of a circle of radius 10
    msp.add_spline([(0, 30), (1, 31), (4, 34), (9, 39)], dxfattribs={"layer": "fit-line"})
    msp.add_spline([(40 + 10 * math.cos(t * math.pi / 32), 40 + 10 * math.sin(t * math.pi / 32)) for t in range(0, 33)],
                   dxfattribs={"layer": "fit-arc"})
    # hatch: square of 20 with a round island of radius 4, and a square of 2 within that
    hatch = msp.add_hatch(dxfattribs={"layer": "hatch"})
    hatch.paths.add_polyline_path([(60, 0), (80, 0), (80, 20), (60, 20)], is_closed=True, flags=1)
    edge = hatch.paths.add_edge_path(flags=0)
    edge.add_arc((70, 10), 4, 0, 360)
    hatch.paths.add_polyline_path([(69, 9), (71, 9), (71, 11), (69, 11)], is_closed=True, flags=0)
    # hatch: half disc of radius 3 by an arc (clockwise) and a line, half ellipse 6 x 3 by an ellipse and a line, and a spline
    hatch = msp.add_hatch(dxfattribs={"layer": "edges"})
    edge = hatch.paths.add_edge_path()
    edge.add_line((90, 0), (96, 0))
    edge.add_arc((93, 0), 3, 0, 180, ccw=False)
    edge = hatch.paths.add_edge_path()
    edge.add_ellipse((110, 0), (6, 0), 0.5, 0, 180)
    edge.add_line((104, 0), (116, 0))
    edge = hatch.paths.add_edge_path()
    edge.add_spline(control_points=[(120, 0), (122, 3), (124, 0)], degree=2, knot_values=[0, 0, 0, 1, 1, 1])
    edge.add_line((124, 0), (120, 0))
    # polyline boundary with bulges: disc of radius 2
    hatch = msp.add_hatch(dxfattribs={"layer": "bulged"})
    hatch.paths.add_polyline_path([(130, 0, 1), (134, 0, 1)], is_closed=True)
    msp.add_solid([(0, 60), (3, 60), (0, 62), (3, 62)], dxfattribs={"layer": "solid"})
    msp.add_trace([(10, 60), (13, 60), (10, 62), (13, 62)], dxfattribs={"layer": "solid"})
    msp.add_3dface([(20, 60), (23, 60), (23, 62), (20, 62)], dxfattribs={"layer": "solid"})
    msp.add_solid([(30, 60), (33, 60), (30, 62)], dxfattribs={"layer": "solid"})
    msp.add_point((50, 60), dxfattribs={"layer": "dots"})
    # track that widens from 1 to 3 over 10
    msp.add_lwpolyline([(0, 80, 1, 3), (10, 80, 0, 0)], format="xyse", dxfattribs={"layer": "taper"})
    # quarter ring: track of width 2 on an arc of radius 10
    msp.add_lwpolyline([(50, 80, 2, 2, math.tan(math.pi / 8)), (40, 90, 2, 2, 0)], format="xyseb", dxfattribs={"layer": "ring"})
    msp.add_text("IDE 12", dxfattribs={"layer": "text", "height": 5, "insert": (0, 100)})
    msp.add_mtext("{\\fArial|b0;line one}\\Pline two", dxfattribs={"layer": "text", "char_height": 5, "insert": (60, 100)})
    doc.saveas("ezdxf-curves.dxf")
    doc.saveas("ezdxf-curves-binary.dxf", fmt="bin")
    old = ezdxf.readfile("ezdxf-sensor-R12.dxf")
    old.saveas("ezdxf-sensor-R12-binary.dxf", fmt="bin")


def code_page():
    """A layer name outside ASCII, in the code page of its time and in UTF-8."""
    for version in ["R2000", "R2010"]:
        doc = ezdxf.new(version)
        doc.header["$INSUNITS"] = 13
        doc.modelspace().add_circle((0, 0), 1, dxfattribs={"layer": "Elektrode_µm_größer"})
        doc.saveas(f"ezdxf-names-{version}.dxf")


for v in VERSIONS:
    sensor(v)
blocks()
random_blocks()
curves()
code_page()
