"""Covered and doubled ground of a log the way a person with a GIS stack does it:
quads between bars, a union of the quads of each pass, the union of the passes, and
the union of their pairwise overlaps. Prints the areas inside the boundary, m2.

usage: shapely_route.py DIR LON0 LAT0   (the origin of the plane)
"""

import csv
import json
import math
import subprocess
import sys

import numpy as np
from shapely.geometry import Polygon
from shapely.ops import unary_union
from shapely.strtree import STRtree

WIDTH, MAX_GAP = 18.0, 3.0


def project(lonlat, lon0, lat0):
    """Transverse Mercator of scale 1, by PROJ."""
    text = "\n".join("%.12f %.12f" % p for p in lonlat)
    out = subprocess.run(
        ["cs2cs", "-f", "%.9f", "+proj=longlat", "+ellps=WGS84", "+to", "+proj=tmerc",
         "+lat_0=%r" % lat0, "+lon_0=%r" % lon0, "+k=1", "+ellps=WGS84"],
        input=text, capture_output=True, text=True, check=True).stdout
    return [tuple(float(v) for v in line.split()[:2]) for line in out.splitlines()]


def main(folder, lon0, lat0):
    with open(folder + "/log.csv", newline="") as f:
        rows = list(csv.reader(f))
    head, rows = rows[0], rows[1:]
    at = {name: i for i, name in enumerate(head)}
    xy = project([(float(r[at["lon"]]), float(r[at["lat"]])) for r in rows], lon0, lat0)
    ring = json.load(open(folder + "/boundary.geojson"))["features"][0]["geometry"]["coordinates"][0]
    field = Polygon(project([tuple(p) for p in ring], lon0, lat0))
    convergence = [math.atan(math.tan(math.radians(float(r[at["lon"]]) - lon0)) * math.sin(math.radians(float(r[at["lat"]])))) for r in rows]

    def bar(i):
        h = math.radians(float(rows[i][at["heading_deg"]])) - convergence[i]
        c, s = math.cos(h), math.sin(h)
        return (xy[i][0] - c * WIDTH / 2, xy[i][1] + s * WIDTH / 2), (xy[i][0] + c * WIDTH / 2, xy[i][1] - s * WIDTH / 2)

    def point(b, f):
        return b[0][0] + f * (b[1][0] - b[0][0]), b[0][1] + f * (b[1][1] - b[0][1])

    passes, quads = [], []
    for i in range(len(rows) - 1):
        on = rows[i][at["sections"]]
        gap = float(rows[i + 1][at["time"]]) - float(rows[i][at["time"]]) > MAX_GAP
        if "1" not in on or gap:
            if quads:
                passes.append(unary_union(quads))
                quads = []
            continue
        a, b, n = bar(i), bar(i + 1), len(on)
        k = 0
        while k < n:
            if on[k] == "0":
                k += 1
                continue
            end = k
            while end < n and on[end] == "1":
                end += 1
            q = Polygon([point(a, k / n), point(a, end / n), point(b, end / n), point(b, k / n)])
            if q.is_valid and q.area > 0:
                quads.append(q)
            k = end
    if quads:
        passes.append(unary_union(quads))
    covered = unary_union(passes)
    tree, number = STRtree(passes), {id(p): i for i, p in enumerate(passes)}
    overlaps = []
    for i, p in enumerate(passes):
        for q in tree.query(p):
            if number[id(q)] > i:
                o = p.intersection(q)
                if o.area > 0:
                    overlaps.append(o)
    doubled = unary_union(overlaps)
    print(json.dumps({"field": field.area, "covered": covered.intersection(field).area, "doubled": doubled.intersection(field).area}))


if __name__ == "__main__":
    main(sys.argv[1], float(sys.argv[2]), float(sys.argv[3]))
