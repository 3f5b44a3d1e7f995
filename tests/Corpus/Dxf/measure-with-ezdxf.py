#!/usr/bin/python3
"""Reads a DXF drawing with ezdxf (Debian package python3-ezdxf) and prints what it is as JSON: its version, what the
library's audit finds, how many entities of each type there are, and the area that each layer covers, by closed forms.
Blocks are placed by the library. Areas are added up: overlaps count twice."""

import json
import math
import sys
from collections import Counter

import ezdxf
from ezdxf.math import bulge_radius

drawing = ezdxf.readfile(sys.argv[1])
audit = drawing.audit()
areas = Counter()
types = Counter()


def ring(corners):
    """Area within corners (x, y, bulge): the polygon's, and a segment of a circle for each bulge."""
    twice = 0.0
    segments = 0.0
    for (x, y, bulge), (u, v, _) in zip(corners, corners[1:] + corners[:1]):
        twice += x * v - u * y
        if bulge != 0:
            radius = bulge_radius((x, y), (u, v), bulge)
            angle = 4 * math.atan(abs(bulge))
            segments += math.copysign(radius * radius * (angle - math.sin(angle)) / 2, bulge)
    return abs(twice / 2 + segments)


def measure(entity):
    kind = entity.dxftype()
    layer = entity.dxf.layer
    if kind == "INSERT":
        for part in entity.multi_insert() if entity.mcount > 1 else [entity]:
            for inner in part.virtual_entities():
                measure(inner)
    elif kind == "LWPOLYLINE" and entity.dxf.const_width > 0:
        points = list(entity.get_points("xy"))
        points += points[:1] if entity.closed else []
        areas[layer] += entity.dxf.const_width * sum(math.dist(a, b) for a, b in zip(points, points[1:]))
    elif kind == "LWPOLYLINE" and entity.closed:
        areas[layer] += ring(list(entity.get_points("xyb")))
    elif kind == "HATCH":
        loops = [ring(list(path.vertices)) for path in entity.paths]
        areas[layer] += 2 * max(loops) - sum(loops)
    elif kind == "CIRCLE":
        areas[layer] += math.pi * entity.dxf.radius ** 2


for entity in drawing.modelspace():
    types[entity.dxftype()] += 1
    measure(entity)

print(json.dumps({
    "version": drawing.dxfversion,
    "units": drawing.units,
    "errors": [error.message for error in audit.errors],
    "fixes": [fix.message for fix in audit.fixes],
    "types": types,
    "areas": areas,
}, indent=1))
