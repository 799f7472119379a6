"""Prints the tables of .ci/bench. Whatever is compared is measured in turns, so
that a busy moment of the machine falls on both sides; every figure is a median."""

import json
import os
import re
import shutil
import statistics
import subprocess
import sys
import tempfile
import threading
import time

TOOLS = sys.argv[1]
NAMES = [a for a in sys.argv[2:] if not a.isdigit()]
SIZES = [int(a) for a in sys.argv[2:] if a.isdigit()] or [66_000, 282_500, 1_130_000]
HERE = os.path.dirname(os.path.abspath(__file__))
ROOT = os.path.dirname(os.path.dirname(HERE))
MIB = 1 << 20
PATIENCE = 150  # seconds until a run of a worst case is given up
KINDS = [("coverage only", []), ("all varies", ["-vary"])]
WANTED = [("sums", "none"), ("sums and patches", "all")]


class Folder:
    """A made-up field and its log."""

    def __init__(self, path, *flags):
        self.path = path
        made = subprocess.run([TOOLS + "/gen", *map(str, flags), path], check=True, capture_output=True).stdout
        self.records, self.quads = (json.loads(made)[k] for k in ("records", "quads"))

    def reconcile(self, job, **env):
        return Side([TOOLS + "/ratewright", "reconcile", "%s/%s.yaml" % (self.path, job), "-o", self.path + "/out-" + job, "--json"], env)

    def parse(self):
        return Side([TOOLS + "/parse", self.path + "/log.csv"])

    def shapely(self, plane):
        return Side(["/usr/bin/python3", "-W", "ignore", HERE + "/shapely_route.py", self.path, repr(plane["lon0"]), repr(plane["lat0"])])


class Side:
    """One side of a comparison: a command and its runs."""

    def __init__(self, command, env=None):
        self.command, self.env = command, dict(os.environ, **(env or {}))
        self.walls, self.peaks, self.out = [], [], b""

    def run(self, patience=None):
        """Runs it once; False where it was given up."""
        start = time.monotonic()
        with tempfile.TemporaryFile() as err:
            p = subprocess.Popen(self.command, stdout=subprocess.PIPE, stderr=err, env=self.env)
            timer = threading.Timer(patience, p.kill) if patience else None
            if timer:
                timer.start()
            self.out = p.stdout.read()
            _, status, usage = os.wait4(p.pid, 0)
            p.returncode = status
            wall = time.monotonic() - start
            if timer:
                timer.cancel()
                if wall >= patience:
                    return False
            if status != 0:
                err.seek(0)
                raise SystemExit("failed: %s\n%s" % (" ".join(self.command), err.read().decode()))
        self.walls.append(wall)
        self.peaks.append(usage.ru_maxrss * 1024)
        return True

    @property
    def wall(self):
        return statistics.median(self.walls)

    @property
    def peak(self):
        return statistics.median(self.peaks)

    def above(self, f):
        """Bytes a quad above 100 MiB, as a cell."""
        return "%.0f" % (max(self.peak - 100 * MIB, 0) / f.quads)

    def json(self):
        return json.loads(self.out)


def in_turns(n, *sides):
    for _ in range(n):
        for s in sides:
            s.run()


def table(title, *head):
    print("\n**%s**\n" % title)
    row(*head)
    row(*["---"] * len(head))


def row(*cells):
    print("| " + " | ".join(str(c) for c in cells) + " |", flush=True)


def difference(ours, routes):
    """The largest difference of an area, as a part of the field's, or of a mass, as
    a part of what was put down, from the nearest of the routes that have it: GEOS
    3.11 makes the intersection of two passes that share edges some square metres too
    large now and then (A and B another area than B and A), so that of two ways to
    doubled ground one may be wrong. The overlay cuts every edge once."""
    worst = 0
    for group, whole in ("area_m2", "field"), ("nitrogen_kg", "in_field"):
        for k in {k for r in routes for k in r.get(group, {})}:
            worst = max(worst, min(abs(ours[group][k] - r[group][k]) / r[group][whole] for r in routes if k in r.get(group, {})))
    return worst


def one_field(tmp):
    table("One field, the whole command from files to files", "records", "log", "wanted", "seconds",
          "shapely: union per pass, s", "times faster", "shapely: classes and N too, s", "times faster",
          "times the parse loop", "bytes a quad above 100 MiB", "largest difference")
    agree = True
    for n in SIZES:
        for kind, flags in KINDS:
            f = Folder("%s/%d%s" % (tmp, n, "".join(flags)), "-records", n, *flags)
            ours = [f.reconcile(job) for _, job in WANTED]
            ours[0].run()
            slow, parse = f.shapely(ours[0].json()["plane"]), f.parse()
            ours[0].walls.clear()
            ours[0].peaks.clear()
            in_turns(2, *ours, parse)
            slow.run()
            in_turns(3, *ours, parse)
            theirs = slow.json()
            for (wanted, _), side in zip(WANTED, ours):
                off = difference(side.json(), [theirs[k] for k in ("unions", "overlay") if k in theirs])
                agree = agree and off < 1e-9
                unions = slow.wall - theirs["all_s"] + theirs["areas_s"]
                both = ["%.0f" % slow.wall, "%.0f" % (slow.wall / side.wall)] if flags else ["", ""]
                row(f.records, kind, wanted, "%.3f" % side.wall, "%.1f" % unions, "%.0f" % (unions / side.wall), *both,
                    "%.1f" % (side.wall / parse.wall), side.above(f), "%.0e" % off)
    return agree


def growth(tmp):
    n = SIZES[-1] // 4
    small = [(kind, Folder("%s/g%d%s" % (tmp, n, kind[:1]), "-records", n, *flags)) for kind, flags in KINDS]
    large = [Folder("%s/g%d%s" % (tmp, 4 * n, kind[:1]), "-records", 4 * n, *flags) for kind, flags in KINDS]
    tiny = Folder(tmp + "/tiny", "-records", 2000).reconcile("none")
    in_turns(5, tiny)
    table("From %d to %d records" % (small[0][1].records, large[0].records), "log", "wanted", "times the time", "times the memory",
          "times the memory above the %.0f MiB of a log of 2,000" % (tiny.peak / MIB))
    for (kind, a), b in zip(small, large):
        for wanted, job in WANTED:
            one, four = a.reconcile(job), b.reconcile(job)
            in_turns(5, one, four)
            above = [s.peak - tiny.peak for s in (one, four)]
            row(kind, wanted, "%.2f" % (four.wall / one.wall), "%.2f" % (four.peak / one.peak), "%.2f" % (above[1] / above[0]))
    table("Two processors against one, %d records" % large[0].records, "what", "log", "wanted", "times faster")
    for (kind, _), f in zip(small, large):
        for wanted, job in WANTED:
            two, one = f.reconcile(job, GOMAXPROCS="2"), f.reconcile(job, GOMAXPROCS="1")
            in_turns(5, two, one)
            row("whole command", kind, wanted, "%.2f" % (one.wall / two.wall))


WORST = [  # name, flags of gen
    ("48 chattering sections", ["-sections", 48, "-chatter"]),
    ("heading jitter of 1.5 degrees", ["-jitter", 1.5]),
    ("nearly every quad folded", ["-jitter", 60]),
    ("headings 60 degrees to one side and the other in turns", ["-alternate", 60]),
    ("the same, a record every 0.6 m", ["-alternate", 60, "-step", 0.6]),
    ("5,000 records logged while standing", ["-standing", 5000]),
    ("the same with heading jitter of 1.5 degrees", ["-standing", 5000, "-jitter", 1.5]),
    ("the same with heading jitter of 15 degrees", ["-standing", 5000, "-jitter", 15]),
    ("a slow turn on the spot over 800 records", ["-standing", 800, "-spin", 0.5]),
    ("a field of 2,000 ha", ["-records", 444_000]),
    ("a log of 1,000 files", ["-files", 1000]),
    ("10,000 zones", ["-zones", 100]),
    ("a boundary of 100,000 vertices", ["-vertices", 100_000]),
    ("the same over 10,000 zones", ["-vertices", 100_000, "-zones", 100]),
]


def worst(tmp):
    n = SIZES[0]
    table("Worst cases, about %d records" % n, "case", "seconds", "quads a record", "times the clean cost a quad", "bytes a quad above 100 MiB",
          "times the time with patches and every output", "bytes a quad then")
    clean = Folder(tmp + "/w-clean", "-records", n)
    fine = Folder(tmp + "/w-fine", "-records", n, "-step", 0.6)
    for i, (name, flags) in enumerate(WORST):
        f = Folder("%s/w%d" % (tmp, i), "-records", n, *flags)
        like = fine if "-step" in flags else clean
        side, every, plain = f.reconcile("none"), f.reconcile("all"), like.reconcile("none")
        if not side.run(PATIENCE) or not every.run(PATIENCE):
            row(name, "given up after %d" % PATIENCE, "", "", "", "", "")
            continue
        in_turns(3, plain, side, every)
        cost = (side.wall / f.quads) / (plain.wall / like.quads)
        row(name, "%.2f" % side.wall, "%.1f" % (f.quads / f.records), "%.1f" % cost, side.above(f),
            "%.1f" % (every.wall / side.wall), every.above(f))


def go_bench(package, pattern, times):
    """Medians of go test -bench: name to unit to value."""
    found = {}
    for _ in range(times):
        out = subprocess.run(["%s/%s.test" % (TOOLS, package.replace("/", "-")), "-test.run", "XXX", "-test.bench", pattern, "-test.benchtime", "5x"],
                             cwd=os.path.join(ROOT, package), check=True, capture_output=True, text=True).stdout
        for line in out.splitlines():
            m = re.match(r"Benchmark(\S+?)(?:-\d+)?\s+\d+\s+(.*)", line)
            if m:
                for value, unit in re.findall(r"([\d.e+]+) (\S+)", m[2]):
                    found.setdefault(m[1], {}).setdefault(unit, []).append(float(value))
    return {name: {unit: statistics.median(v) for unit, v in units.items()} for name, units in found.items()}


def steps():
    steps = go_bench("asapplied", "Steps", 5)
    table("The sweep by itself, 66,000 records (go test -bench Steps)", "log", "ns a record on one processor", "two processors against one", "times the time with patches")
    for kind, vary in ("coverage only", "false"), ("all varies", "true"):
        def at(workers, patches):
            return steps["Steps/sweep/vary=%s/workers=%d/patches=%s" % (vary, workers, patches)]["ns/op"]
        row(kind, "%.0f" % (at(1, "false") / 66_000), "%.2f" % (at(1, "false") / at(2, "false")), "%.2f" % (at(1, "true") / at(1, "false")))
    table("Reading (go test -bench)", "what", "MB/s")
    reads = dict(go_bench("asapplied", "Read", 5), **go_bench("geo/vector", "Points", 5))
    for name, units in reads.items():
        row(name, "%.0f" % units["MB/s"])


FIELDS, FIELD_RECORDS = 1000, 20_000


def season(tmp):
    """A season of many fields against its fields one by one, each on one processor."""
    table("A season of %d fields of about %d records in one run, every output" % (FIELDS, FIELD_RECORDS),
          "log", "records", "minutes", "records a second and processor", "times the rate of single fields on one processor", "peak MiB")
    processors = len(os.sched_getaffinity(0))
    for kind, flags in KINDS:
        f = Folder("%s/season%s" % (tmp, "".join(flags)), "-records", FIELD_RECORDS, "-fields", FIELDS, *flags)
        singles = [Side([TOOLS + "/ratewright", "reconcile", "%s/%04d/all.yaml" % (f.path, i), "-o", tmp + "/single", "--json"], {"GOMAXPROCS": "1"})
                   for i in range(1, FIELDS + 1, FIELDS // 20)]
        in_turns(1, *singles)
        whole = Side([TOOLS + "/ratewright", "season", "--fresh", f.path])
        whole.run()
        in_turns(1, *singles)
        single = sum(s.wall for s in singles) / len(singles)
        row(kind, f.records, "%.2f" % (whole.wall / 60), "%.0f" % (f.records / whole.wall / processors),
            "%.2f" % (single * FIELDS / (whole.wall * processors)), "%.0f" % (whole.peak / MIB))
        shutil.rmtree(f.path)


def page():
    table("The page of a log of about 287,000 records where all varies, in headless Chromium without a graphics card", "what", "figure")
    found = go_bench("cmd/ratewright", "InBrowser", 3)["InBrowserLargeLog"]
    for unit, name in [
        ("MB", "the file, MB"),
        ("ms-first-picture", "first picture, ms"),
        ("ms-all-data", "all data drawn, ms"),
        ("frames/s-whole-field", "frames a second with every layer on, the whole field"),
        ("frames/s-closer", "the same, 8 times as near"),
        ("frames/s-closest", "the same, 58 times as near"),
    ]:
        row(name, "%.3g" % found[unit])


PARTS = {
    "one-field": one_field,
    "growth": growth,
    "worst": worst,
    "season": season,
    "steps": lambda _: steps(),
    "page": lambda _: page(),
}

unknown = [n for n in NAMES if n not in PARTS]
if unknown:
    raise SystemExit("there is no part %s; the parts are %s" % (", ".join(unknown), ", ".join(PARTS)))
took, agree = [], True
with tempfile.TemporaryDirectory() as tmp:
    for name in PARTS:
        if not NAMES or name in NAMES:
            start = time.monotonic()
            agree = PARTS[name](tmp) is not False and agree
            took.append("%s %.0f s" % (name, time.monotonic() - start))
print("\nThe parts took: %s." % ", ".join(took))
if not agree:
    raise SystemExit("the areas differ from shapely's by more than 1e-9 of the field")
