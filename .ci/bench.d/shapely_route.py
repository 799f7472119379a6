"""What a log covers, the way a person with a GIS stack works it out.

Quads between bars; a union of the quads of each pass, the union of the passes and
the union of their pairwise overlaps: covered and doubled. Where the log has a rate
and a depth, an overlay of all quads as well: their edges cut the field to faces,
and each face adds up the rates of the quads over it. The overlay finds doubled
ground a second time, by the number of passes over a face. The nitrogen in the field
is summed quad by quad, each cut by itself: of a face thinner than its rounding no
point is sure to lie within the quads over it.

usage: shapely_route.py DIR LON0 LAT0   (the origin of the plane)
Prints areas inside the boundary in m2, nitrogen in kg, and the seconds until the
areas were known and until all was.
"""

import csv
import json
import math
import sys
import time

import numpy as np
from pyproj import Proj
from shapely.geometry import Polygon
from shapely.ops import polygonize, unary_union
from shapely.prepared import prep
from shapely.strtree import STRtree

# As in the job of the folder.
WIDTH, MAX_GAP, RATE, TOLERANCE, SHALLOW_CM = 18.0, 3.0, 190.0, 0.1, 8.0


def read(folder, plane):
    """The log's rows as numbers, sections apart, and the boundary; in metres."""
    with open(folder + "/log.csv", newline="") as f:
        rows = list(csv.reader(f))
    head, rows = rows[0], rows[1:]
    log = {}
    for i, name in enumerate(head):
        log[name] = [r[i] for r in rows] if name == "sections" else np.array([float(r[i]) for r in rows])
    log["x"], log["y"] = plane(log["lon"], log["lat"])
    # A heading is from true north; the plane's y axis is turned away from it.
    log["turned"] = np.radians(log["heading_deg"] - plane.get_factors(log["lon"], log["lat"]).meridian_convergence)
    with open(folder + "/boundary.geojson") as f:
        ring = json.load(f)["features"][0]["geometry"]["coordinates"][0]
    return log, Polygon([plane(*p) for p in ring])


def quads_by_pass(log):
    """Lists of (quad, record), one list for each stretch without a lift."""
    dx, dy = np.cos(log["turned"]) * WIDTH / 2, -np.sin(log["turned"]) * WIDTH / 2
    left = np.column_stack([log["x"] - dx, log["y"] - dy])
    across = np.column_stack([2 * dx, 2 * dy])
    gap = np.diff(log["time"]) > MAX_GAP
    passes, quads = [], []
    for i, on in enumerate(log["sections"][:-1]):
        if "1" not in on or gap[i]:
            if quads:
                passes.append(quads)
                quads = []
            continue
        k, n = 0, len(on)
        while k < n:
            end = k
            while end < n and on[end] == on[k]:
                end += 1
            if on[k] == "1":
                a, b = k / n, end / n
                q = Polygon([left[i] + a * across[i], left[i] + b * across[i],
                             left[i + 1] + b * across[i + 1], left[i + 1] + a * across[i + 1]])
                if q.is_valid and q.area > 0:
                    quads.append((q, i))
            k = end
    return passes + [quads] if quads else passes


def areas(passes, field):
    """Covered, and covered by two passes or more."""
    unions = [unary_union([q for q, _ in quads]) for quads in passes]
    tree, number = STRtree(unions), {id(p): i for i, p in enumerate(unions)}
    overlaps = []
    for i, p in enumerate(unions):
        for q in tree.query(p):
            if number[id(q)] > i:
                o = p.intersection(q)
                if o.area > 0:
                    overlaps.append(o)
    return {"covered": unary_union(unions).intersection(field).area,
            "doubled": unary_union(overlaps).intersection(field).area}


def classes(log, passes, field):
    """Areas by class and nitrogen, face by face."""
    quads = [q for p in passes for q, _ in p]
    origin = {id(q): (n, i) for n, p in enumerate(passes) for q, i in p}
    tree, inside = STRtree(quads), prep(field)
    area = dict.fromkeys(["covered", "doubled", "as_prescribed", "light", "heavy", "shallow"], 0.0)
    kg = {"short": 0.0, "in_field": math.fsum(
        log["rate_kg_ha"][i] * (q if inside.contains(q) else q.intersection(field)).area / 1e4 for p in passes for q, i in p)}
    for face in polygonize(unary_union([q.exterior for q in quads] + [field.exterior])):
        p = face.representative_point()
        if not inside.contains(p):
            continue
        over = [origin[id(q)] for q in tree.query(p) if q.contains(p)]
        a = face.area
        rate = sum(log["rate_kg_ha"][i] for _, i in over)
        kg["short"] += max(RATE - rate, 0) * a / 1e4
        if not over:
            continue
        area["covered"] += a
        if len({n for n, _ in over}) > 1:
            area["doubled"] += a
        near = abs(rate - RATE) <= RATE * TOLERANCE * (1 + 1e-12)
        area["as_prescribed" if near else "heavy" if rate > RATE else "light"] += a
        if any(log["depth_cm"][i] < SHALLOW_CM for _, i in over):
            area["shallow"] += a
    kg["excess"] = kg["in_field"] - RATE * field.area / 1e4 + kg["short"]
    return area, kg


def main(folder, lon0, lat0):
    start = time.monotonic()
    plane = Proj(proj="tmerc", lat_0=lat0, lon_0=lon0, k=1, ellps="WGS84")
    log, field = read(folder, plane)
    passes = quads_by_pass(log)
    result = {"unions": {"area_m2": dict(areas(passes, field), field=field.area)}}
    result["areas_s"] = time.monotonic() - start
    if "rate_kg_ha" in log:
        area, kg = classes(log, passes, field)
        result["overlay"] = {"area_m2": dict(area, field=field.area), "nitrogen_kg": kg}
    result["all_s"] = time.monotonic() - start
    print(json.dumps(result))


if __name__ == "__main__":
    main(sys.argv[1], float(sys.argv[2]), float(sys.argv[3]))
