#!/usr/bin/python3
"""Reads a GDSII stream with gdspy (Debian package python3-gdspy) and prints the area of each layer as JSON, in square
micrometres; overlaps count twice."""

import json
import sys

import gdspy

library = gdspy.GdsLibrary()
library.read_gds(sys.argv[1], units="import")
(top,) = library.top_level()
print(json.dumps({
    "unit": library.unit,
    "precision": library.precision,
    "areas": {f"{layer}/{datatype}": area for (layer, datatype), area in top.area(by_spec=True).items()},
    "most_points": max(len(polygon) for polygon in top.get_polygons()),
}))
