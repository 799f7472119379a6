"""What GDAL and GEOS find in a file of polygons in degrees.

usage: written.py FILE LON0 LAT0 GROUP

GDAL's ogr2ogr reads FILE (a shapefile, GeoJSON, or /vsizip/ of one). Prints JSON:
every feature's attributes as text, whether GEOS calls its polygons valid, and
their area in m2 on the plane about LON0 LAT0 as PROJ projects it; and the
largest ground that two features with the same value of GROUP share ("": all
features together).
"""

import csv
import io
import json
import subprocess
import sys

from shapely import wkt
from shapely.ops import transform
from shapely.prepared import prep
from shapely.validation import explain_validity

csv.field_size_limit(1 << 30)


def run(command, text=None):
    done = subprocess.run(command, input=text, capture_output=True, text=True, check=True)
    if done.stderr.strip():
        sys.exit(f"{command[0]}: {done.stderr}")
    return done.stdout


def rows_of(path):
    text = run(["ogr2ogr", "-f", "CSV", "-lco", "GEOMETRY=AS_WKT", "/vsistdout/", path])
    return list(csv.DictReader(io.StringIO(text)))


def project(shapes, lon0, lat0):
    """The shapes on the plane, all their vertices through one run of cs2cs."""
    places = []
    for shape in shapes:
        transform(lambda x, y: (places.extend(zip(x, y)), (x, y))[1], shape)
    target = ["+proj=tmerc", f"+lat_0={lat0}", f"+lon_0={lon0}", "+k=1", "+ellps=WGS84", "+units=m"]
    command = ["cs2cs", "-f", "%.10f", "+proj=longlat", "+ellps=WGS84", "+to", *target]
    out = run(command, "".join(f"{x!r} {y!r}\n" for x, y in places)).splitlines()
    plane = dict(zip(places, (tuple(map(float, line.split()[:2])) for line in out)))
    return [transform(lambda x, y: tuple(zip(*(plane[p] for p in zip(x, y)))), shape) for shape in shapes]


def largest_overlap(shapes, groups):
    worst = [0.0, -1, -1]
    boxes = [shape.bounds for shape in shapes]
    valid = [shape.is_valid for shape in shapes]
    for i, (low_x, low_y, high_x, high_y) in enumerate(boxes):
        near = prep(shapes[i])
        for j, (x0, y0, x1, y1) in enumerate(boxes[:i]):
            if x1 < low_x or high_x < x0 or y1 < low_y or high_y < y0:
                continue
            if groups[i] == groups[j] and valid[i] and valid[j] and near.intersects(shapes[j]):
                worst = max(worst, [shapes[i].intersection(shapes[j]).area, j, i])
    return {"area_m2": worst[0], "features": worst[1:]}


def main(path, lon0, lat0, group):
    rows = rows_of(path)
    degrees = [wkt.loads(row.pop("WKT")) for row in rows]
    plane = project(degrees, lon0, lat0)
    features = [
        {
            "attributes": row,
            "geometry": shape.geom_type,
            "valid": explain_validity(shape),
            "area_m2": on_plane.area,
            "length_m": on_plane.length,
        }
        for row, shape, on_plane in zip(rows, degrees, plane)
    ]
    overlap = largest_overlap(plane, [row[group] if group else "" for row in rows])
    json.dump({"features": features, "largest_overlap": overlap}, sys.stdout)


if __name__ == "__main__":
    main(*sys.argv[1:])
