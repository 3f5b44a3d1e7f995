# Writes the drawings whose names start with "ezdxf-", with the general-purpose Python library ezdxf (Debian package
# python3-ezdxf, version 0.18.1). Run in this folder: python3 make-with-ezdxf.py
import ezdxf
from ezdxf.math import Matrix44

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
    # What the library itself makes of the inserts: layer, area, bounding box of every polygon in world coordinates.
    with open("ezdxf-blocks.expected.txt", "w") as out:
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


for v in VERSIONS:
    sensor(v)
blocks()
