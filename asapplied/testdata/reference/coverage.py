"""What a machine log covers, measured a second time and by other means.

usage: coverage.py SCENE.json

The scene names a log (CSV), the field's boundary, cut-outs and rate zones
(GeoJSON), the bar, and the origin of the plane. Nothing is shared with the
program under test: positions are projected by PROJ's cs2cs, the direction of
north is taken from cs2cs too, the swaths are built here from the CSV, and GEOS
(shapely) cuts the plane into faces: all edges are noded, every face is asked
which swaths lie over it, and its visits are counted by the rule on the
odometer. Ground covered is measured a second time as a union of polygons.

Prints areas in m2 and masses of nitrogen in kg as JSON.
"""

import csv
import json
import math
import subprocess
import sys

import numpy
from shapely.geometry import LineString, MultiLineString, Point, Polygon
from shapely.ops import polygonize, unary_union
from shapely.prepared import prep

VISIT_WIDTHS = 1.6  # a visit ends where the machine has travelled this many widths


class Plane:
    """Transverse Mercator of scale 1 about an origin, as PROJ computes it."""

    def __init__(self, lon0, lat0):
        self.target = ["+proj=tmerc", f"+lat_0={lat0!r}", f"+lon_0={lon0!r}", "+k=1", "+ellps=WGS84", "+units=m"]

    def project(self, lonlats):
        command = ["cs2cs", "-f", "%.10f", "+proj=longlat", "+ellps=WGS84", "+to", *self.target]
        text = "".join(f"{lon:.17g} {lat:.17g}\n" for lon, lat in lonlats)
        done = subprocess.run(command, input=text, capture_output=True, text=True, check=True)
        places = [tuple(map(float, line.split()[:2])) for line in done.stdout.splitlines()]
        if len(places) != len(lonlats):
            sys.exit(f"cs2cs gave {len(places)} places for {len(lonlats)}: {done.stderr}")
        return places

    def north(self, lonlats, step=1e-4):
        """The direction of true north at places, radians clockwise from y."""
        ahead = self.project([(lon, lat + step) for lon, lat in lonlats])
        behind = self.project([(lon, lat - step) for lon, lat in lonlats])
        return [math.atan2(a[0] - b[0], a[1] - b[1]) for a, b in zip(ahead, behind)]

    def polygon(self, rings):
        rings = [self.project([tuple(p[:2]) for p in ring]) for ring in rings]
        return Polygon(rings[0], rings[1:])

    def features(self, path):
        """Properties and polygon of every feature of a GeoJSON file."""
        out = []
        with open(path, encoding="utf-8") as file:
            for feature in json.load(file)["features"]:
                geometry = feature["geometry"]
                parts = geometry["coordinates"] if geometry["type"] == "MultiPolygon" else [geometry["coordinates"]]
                shape = unary_union([self.polygon(rings) for rings in parts])
                out.append((feature["properties"], shape))
        return out


class Swath:
    """Ground between two bars with one rate and depth, and its stretch of road."""

    def __init__(self, corners, since, until, rate, depth):
        self.corners, self.since, self.until, self.rate, self.depth = corners, since, until, rate, depth

    def lobes(self):
        """Its ground as polygons that are valid: two where the quad is folded."""
        ring = LineString(self.corners + self.corners[:1])
        if ring.is_simple:
            return [Polygon(self.corners)]
        return list(polygonize(unary_union(ring)))

    def holds(self, x, y):
        """Whether a spot lies in some lobe: an odd number of edges to its right."""
        inside = False
        for (x1, y1), (x2, y2) in zip(self.corners, self.corners[1:] + self.corners[:1]):
            if (y1 > y) != (y2 > y) and x < x1 + (x2 - x1) * (y - y1) / (y2 - y1):
                inside = not inside
        return inside


class Record:
    def __init__(self, scene, row):
        columns = scene["columns"]
        self.seconds = float(row[columns["time"]])
        self.lonlat = float(row[columns["lon"]]), float(row[columns["lat"]])
        self.heading = math.radians(float(row[columns["heading"]]))
        self.sections = [c == "1" for c in row[columns["sections"]]]
        n = len(self.sections)
        rates = [float(row[c]) for c in columns["rate"]]
        depths = [float(row[c]) * scene["depth_unit_m"] for c in columns["depth"]]
        # What each section does: nothing (None), or a rate at a depth.
        self.does = [
            (rates[k * len(rates) // n], depths[k * len(depths) // n])
            if self.sections[k] and rates[k * len(rates) // n] > 0 else None
            for k in range(n)
        ]

    def works(self):
        return any(self.does)


def read_records(scene, plane):
    with open(scene["log"], newline="", encoding="utf-8") as file:
        records = [Record(scene, row) for row in csv.DictReader(file)]
    places = plane.project([r.lonlat for r in records])
    norths = plane.north([r.lonlat for r in records])
    for record, (x, y), north in zip(records, places, norths):
        course = north + record.heading
        half = scene["width_m"] / 2
        right = math.cos(course), -math.sin(course)
        record.middle = x, y
        record.left = x - half * right[0], y - half * right[1]
        record.right = x + half * right[0], y + half * right[1]
    return records


def on_bar(record, share):
    return (
        record.left[0] + share * (record.right[0] - record.left[0]),
        record.left[1] + share * (record.right[1] - record.left[1]),
    )


def drive(scene, records):
    """The swaths of a log in order of time. Longer waits than max_gap are gaps."""
    swaths, road = [], 0.0
    far = 10 * VISIT_WIDTHS * scene["width_m"]
    for here, there in zip(records, records[1:]):
        if not here.works() or there.seconds - here.seconds > scene["max_gap_s"]:
            road += far
            continue
        since, road = road, road + math.dist(here.middle, there.middle)
        n, k = len(here.does), 0
        while k < n:
            end = k + 1
            while end < n and here.does[end] == here.does[k]:
                end += 1
            if here.does[k]:
                corners = [on_bar(here, k / n), on_bar(here, end / n), on_bar(there, end / n), on_bar(there, k / n)]
                swaths.append(Swath(corners, since, road, *here.does[k]))
            k = end
    return swaths


def visits(swaths, apart):
    """How often the machine came by, from the swaths over one spot."""
    count, until = 0, -math.inf
    for swath in sorted(swaths, key=lambda s: s.since):
        if swath.since - until > apart:
            count += 1
        until = max(until, swath.until)
    return count


def edges_of(swaths, shapes):
    """Every different edge of the swaths and of the polygons' rings."""
    edges = set()
    for swath in swaths:
        c = swath.corners
        edges.update(tuple(sorted(pair)) for pair in zip(c, c[1:] + c[:1]) if pair[0] != pair[1])
    for shape in shapes:
        for part in getattr(shape, "geoms", [shape]):
            for ring in [part.exterior, *part.interiors]:
                c = list(ring.coords)
                edges.update(tuple(sorted(pair)) for pair in zip(c, c[1:]))
    return MultiLineString(sorted(edges))


class Field:
    def __init__(self, scene, plane):
        self.boundary = unary_union([shape for _, shape in plane.features(scene["boundary"])])
        self.cut_outs = [shape for path in scene["cut_outs"] for _, shape in plane.features(path)]
        self.zones = [(p[scene["rate_property"]], shape) for path in scene["zones"] for p, shape in plane.features(path)]
        self.planned = bool(scene["zones"])
        self.ground = self.boundary.difference(unary_union(self.cut_outs))
        self.in_boundary = prep(self.boundary)
        self.in_cut_out = prep(unary_union(self.cut_outs))
        self.in_zone = [(rate, prep(shape)) for rate, shape in self.zones]

    def shapes(self):
        return [self.boundary, *self.cut_outs, *(shape for _, shape in self.zones)]

    def target(self, spot):
        return next((rate for rate, zone in self.in_zone if zone.contains(spot)), 0.0)


def judge(scene, field, over, spot, area, area_m2, kg):
    """Adds one face to the sums."""
    put_down = sum(s.rate for s in over) * area / 1e4
    if not field.in_boundary.contains(spot):
        if over:
            area_m2["outside"] += area
            kg["outside"] += put_down
        return
    if field.in_cut_out.contains(spot):
        if over:
            area_m2["off_limits"] += area
            kg["off_limits"] += put_down
        return
    area_m2["field"] += area
    kg["in_field"] += put_down
    target = field.target(spot)
    if field.planned:
        wanted = target * area / 1e4
        kg["prescribed"] += wanted
        kg["short"] += max(0.0, wanted - put_down)
        kg["excess"] += max(0.0, put_down - wanted)
    if not over:
        area_m2["missed" if target > 0 or not field.planned else "not_planned"] += area
        return
    area_m2["covered"] += area
    if visits(over, VISIT_WIDTHS * scene["width_m"]) > 1:
        area_m2["doubled"] += area
    else:
        area_m2["once"] += area
        area_m2["lapped"] += area if len(over) > 1 else 0
    shallow = [s for s in over if s.depth < scene["shallow_m"]]
    if shallow:
        area_m2["shallow"] += area
        kg["shallow"] += sum(s.rate for s in shallow) * area / 1e4
    if field.planned:
        area_m2[against(sum(s.rate for s in over), target, scene["tolerance"])] += area


def against(rate, target, tolerance):
    if target <= 0:
        return "unprescribed"
    if rate < target * (1 - tolerance):
        return "light"
    return "heavy" if rate > target * (1 + tolerance) else "as_prescribed"


AREAS = [
    "field", "covered", "once", "doubled", "lapped", "missed", "not_planned", "outside", "off_limits",
    "as_prescribed", "light", "heavy", "unprescribed", "shallow",
]  # fmt: skip
MASSES = ["prescribed", "in_field", "outside", "off_limits", "short", "excess", "shallow"]


def measure(scene):
    plane = Plane(scene["lon0"], scene["lat0"])
    field = Field(scene, plane)
    swaths = drive(scene, read_records(scene, plane))
    corners = numpy.array([s.corners for s in swaths])
    low, high = corners.min(axis=1), corners.max(axis=1)
    area_m2, kg = dict.fromkeys(AREAS, 0.0), dict.fromkeys(MASSES, 0.0)
    faces = 0
    for face in polygonize(unary_union(edges_of(swaths, field.shapes()))):
        faces += 1
        spot = face.representative_point()
        x, y = spot.x, spot.y
        near = (low[:, 0] <= x) & (x <= high[:, 0]) & (low[:, 1] <= y) & (y <= high[:, 1])
        over = [swaths[i] for i in numpy.flatnonzero(near) if swaths[i].holds(x, y)]
        judge(scene, field, over, Point(x, y), face.area, area_m2, kg)
    union = unary_union([lobe for s in swaths for lobe in s.lobes()])
    return {
        "swaths": len(swaths),
        "faces": faces,
        "area_m2": area_m2,
        "nitrogen_kg": kg,
        "by_union_m2": {
            "field": field.ground.area,
            "covered": union.intersection(field.ground).area,
            "missed_or_not_planned": field.ground.difference(union).area,
            "outside": union.difference(field.boundary).area,
        },
    }


if __name__ == "__main__":
    with open(sys.argv[1], encoding="utf-8") as scene_file:
        json.dump(measure(json.load(scene_file)), sys.stdout, indent=1)
