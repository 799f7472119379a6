"""Prints the table of ratios: see .ci/bench."""

import json
import os
import statistics
import subprocess
import sys
import tempfile
import time

TOOLS = sys.argv[1]
SIZES = [int(a) for a in sys.argv[2:]] or [66000, 282500, 1130000]
HERE = os.path.dirname(os.path.abspath(__file__))
RW, GEN, PARSE = TOOLS + "/ratewright", TOOLS + "/gen", TOOLS + "/parse"
MIB = 1 << 20


def measure(command, env=None):
    """Wall seconds, peak bytes and output of a command."""
    start = time.monotonic()
    p = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, env=dict(os.environ, **(env or {})))
    out = p.stdout.read()
    _, status, usage = os.wait4(p.pid, 0)
    wall = time.monotonic() - start
    if status not in (0,):
        raise SystemExit("failed: %s" % command)
    return wall, usage.ru_maxrss * 1024, out


def best(command, n=5, env=None):
    """Median wall seconds, least peak bytes and output of n runs."""
    runs = [measure(command, env) for _ in range(n)]
    return statistics.median(r[0] for r in runs), min(r[1] for r in runs), runs[0][2]


def made(folder, *flags):
    subprocess.run([GEN, *map(str, flags), folder], check=True)
    return folder


def reconcile(folder, patches, n=5, env=None):
    wall, peak, out = best([RW, "reconcile", "%s/%s.yaml" % (folder, patches), "-o", folder + "/out-" + patches, "--json"], n, env)
    return wall, peak, json.loads(out)


def row(*cells):
    print("| " + " | ".join(str(c) for c in cells) + " |", flush=True)


def shapely(folder, plane):
    wall, peak, out = measure(["/usr/bin/python3", HERE + "/shapely_route.py", folder, repr(plane["lon0"]), repr(plane["lat0"])])
    return wall, peak, json.loads(out)


def one_field(tmp):
    print("\n**One field, whole command from files to files** (medians; the shapely route is covered and doubled areas only)\n")
    row("records", "log", "wanted", "seconds", "shapely route", "times faster", "times the parse loop", "peak, bytes a quad above 100 MiB", "areas differ by")
    row(*["---"] * 9)
    kept = {}
    for n in SIZES:
        for kind, flags in [("coverage only", []), ("rate, depth and sections vary", ["-vary"])]:
            folder = made("%s/%d%s" % (tmp, n, "v" if flags else "c"), "-records", n, *flags)
            slow = None
            parse = best([PARSE, folder + "/log.csv"], 5)[0]
            for patches in ["none", "all"]:
                wall, peak, r = reconcile(folder, patches)
                if slow is None:
                    slow = shapely(folder, r["plane"])
                off = max(abs(slow[2][k] - r["area_m2"][k]) for k in ("covered", "doubled")) / r["area_m2"]["field"]
                quads = r["records"]["used"]
                kept[n, kind, patches] = wall, max(peak - 100 * MIB, 1), folder
                row(r["records"]["read"], kind, "sums" if patches == "none" else "sums and patches", "%.2f" % wall, "%.1f" % slow[0],
                    "%.0f" % (slow[0] / wall), "%.1f" % (wall / parse), "%.0f" % (max(peak - 100 * MIB, 0) / quads), "%.0e" % off)
    return kept


def growth(kept):
    if len(SIZES) < 2:
        return
    a, b = SIZES[-2], SIZES[-1]
    print("\n**From %d to %d records (%.2f times)**\n" % (a, b, b / a))
    row("log", "wanted", "times the time", "times the memory above 100 MiB")
    row(*["---"] * 4)
    for (n, kind, patches), (wall, peak, _) in kept.items():
        if n == a:
            other = kept[b, kind, patches]
            row(kind, patches, "%.2f" % (other[0] / wall), "%.2f" % (other[1] / peak) if peak > MIB else "below 100 MiB before")


def cores(kept):
    print("\n**Two processors against one, whole command**\n")
    row("records", "log", "wanted", "times faster")
    row(*["---"] * 4)
    for (n, kind, patches), (_, _, folder) in kept.items():
        if n == SIZES[-1]:
            two = reconcile(folder, patches, 3, {"GOMAXPROCS": "2"})[0]
            one = reconcile(folder, patches, 3, {"GOMAXPROCS": "1"})[0]
            row(n, kind, patches, "%.2f" % (one / two))


def worst(tmp):
    n = SIZES[0]
    print("\n**Worst cases, %d records: time a record against the clean log, sums only**\n" % n)
    row("case", "seconds", "times the clean log a record")
    row(*["---"] * 3)
    clean, _, r = reconcile(made(tmp + "/w-clean", "-records", n), "none", 3)
    per = clean / r["records"]["read"]
    for name, flags in [
        ("48 chattering sections", ["-sections", 48, "-chatter"]),
        ("heading jitter of 1.5 degrees", ["-jitter", 1.5]),
        ("nearly every quad folded", ["-jitter", 60]),
        ("5,000 records logged while standing", ["-standing", 5000, "-jitter", 1.5]),
        ("a log of 1,000 files", ["-files", 1000]),
        ("10,000 zones", ["-zones", 100]),
        ("a boundary of 100,000 vertices", ["-vertices", 100000]),
    ]:
        wall, _, r = reconcile(made(tmp + "/w-" + name.replace(" ", "-").replace(",", ""), "-records", n, *flags), "none", 3)
        row(name, "%.2f" % wall, "%.1f" % (wall / r["records"]["read"] / per))
    big = 444000
    wall, _, r = reconcile(made(tmp + "/w-big", "-records", big), "none", 3)
    row("a field of 2,000 ha (%d records)" % big, "%.2f" % wall, "%.1f" % (wall / r["records"]["read"] / per))


with tempfile.TemporaryDirectory() as tmp:
    kept = one_field(tmp)
    growth(kept)
    cores(kept)
    worst(tmp)
