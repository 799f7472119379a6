package asapplied

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"ratewright/geo"
	"ratewright/geo/unit"
	"ratewright/rx"
)

// work is a field of four passes with faults of every kind: skips and overlaps
// between passes, sections off and on, rates and depths that change.
func work(t *testing.T, seed uint64) (Input, *pilot) {
	t.Helper()
	rng := rand.New(rand.NewPCG(seed, 3))
	p := newPilot(t, 12, 6, -30, -50, 0)
	p.step = 2
	p.last = nil
	for pass := range 4 {
		p.record()
		for range 5 {
			p.rate = 60 + 20*float64(rng.IntN(5))
			p.depth = 0.05 + 0.02*float64(rng.IntN(3))
			for i := range p.sections {
				p.sections[i] = rng.IntN(5) > 0
			}
			p.straight(20)
		}
		p.lift(2)
		p.x += 12 + rng.Float64()*3 - 1.5
		p.y = -50 + float64(pass)
		p.seconds += 60
		p.last, p.odo = nil, p.odo+1000
	}
	f := boxField(t, p.plane, 45, 52)
	f.OffLimits = region(t, p.plane, -10, -10, 5, 8)
	in := Input{
		Field: f, Drives: []Drive{p.drive("m")},
		Zones: []rx.Zone{{ID: "A", Region: region(t, p.plane, -45, -52, 0, 52)}, {ID: "B", Region: region(t, p.plane, 0, -52, 45, 20)}},
		Plan: []rx.RateZone{
			{ZoneID: "A", Region: region(t, p.plane, -45, -52, 0, 40), NRate: unit.KgNPerHa(100)},
			{ZoneID: "B", Region: region(t, p.plane, 0, -52, 45, 20), NRate: unit.KgNPerHa(0)},
		},
		Tolerance: 0.1, HasShallow: true, Shallow: unit.Metres(0.08),
	}
	return in, p
}

func region(t testing.TB, p geo.Plane, x0, y0, x1, y1 float64) geo.Region {
	t.Helper()
	r, err := geo.RegionFromPolygons(p, orb.MultiPolygon{{{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}, {x0, y0}}}})
	require.NoError(t, err)
	return r
}

func mustReconcile(t *testing.T, in Input) Reconciliation {
	t.Helper()
	r, err := Reconcile(in)
	require.NoError(t, err)
	checkIdentities(t, &r)
	return r
}

// checkIdentities holds the sums of a reconciliation against one another.
func checkIdentities(t *testing.T, r *Reconciliation) {
	t.Helper()
	a, n := r.Area, r.Nitrogen
	same := func(want, got float64, what string) {
		t.Helper()
		require.InDelta(t, want, got, 1e-9*(1+math.Abs(want)), what)
	}
	same(a.Field, a.Covered+a.Missed+a.NotPlanned, "field = covered + missed + not planned")
	same(a.Covered, a.Once+a.Doubled, "covered = once + doubled")
	require.LessOrEqual(t, a.Lapped, a.Once*(1+1e-12))
	if r.Known.Plan && r.Known.Nitrogen {
		same(a.Covered, a.AsPrescribed+a.Light+a.Heavy+a.Unprescribed, "covered by class")
		same(n.InField, n.Prescribed+n.Excess-n.Short, "in field = prescribed + excess - short")
		same(n.Short, n.ShortMissed+n.ShortLight+n.ShortWithin, "short = on missed + on light ground + within tolerance")
	}
	if r.Known.Nitrogen {
		same(n.Applied, n.InField+n.Outside+n.OffLimits+n.Standing, "applied = in field + outside + off limits + standing")
	}
	dropped := 0
	for _, c := range r.Records.Dropped {
		dropped += c
	}
	require.Equal(t, r.Records.Read, r.Records.Used+r.Records.NotWorking+dropped, "every record is used or counted")
	if len(r.Zones) > 0 {
		var s sums
		for i := range r.Zones {
			s.add(&sums{r.Zones[i].Area, r.Zones[i].Nitrogen})
		}
		for i, v := range s.area.fields() {
			same(*a.fields()[i], *v, "zone areas")
		}
		for i, v := range s.n.fields() {
			same(*n.fields()[i], *v, "zone nitrogen")
		}
	}
	byKind := make([]float64, kinds)
	for _, p := range r.Patches {
		byKind[p.Kind] += p.Area.SquareMetres()
	}
	for k, s := range r.PatchSums {
		byKind[k] += s.SmallArea.SquareMetres()
	}
	for k, want := range []float64{a.Missed, a.Doubled, a.Shallow, a.Light, a.Heavy, a.Unprescribed, a.Outside, a.OffLimits, a.Lapped} {
		if Kind(k) == Shallow && !r.Known.Shallow || (Kind(k) == Light || Kind(k) == Heavy) && !r.Known.Nitrogen {
			continue
		}
		same(want, byKind[k], "patches of "+Kind(k).String())
	}
	checkOutlines(t, r)
}

// checkOutlines holds the outlines of the patches: valid as they are written, and
// with the area that the patch says. That they lie apart within a kind is checked
// in the reference run.
func checkOutlines(t *testing.T, r *Reconciliation) {
	t.Helper()
	drawn, exact := make([]float64, kinds), make([]float64, kinds)
	for i, p := range r.Patches {
		require.NoError(t, outlineFault(p.Polygons), "patch %d, %s", i, p.Kind)
		exact[p.Kind] += p.Area.SquareMetres()
		for _, poly := range p.Polygons {
			for _, ring := range poly {
				for k := 1; k < len(ring); k++ {
					a, b := r.Plane.Project(geo.LonLat(ring[k-1])), r.Plane.Project(geo.LonLat(ring[k]))
					drawn[p.Kind] += (a[0]*b[1] - b[0]*a[1]) / 2
				}
			}
		}
	}
	for k := range drawn {
		require.InDelta(t, exact[k], drawn[k], 1e-6*r.Area.Field, "outlines of %s", Kind(k))
	}
}

// figures are all areas and masses of a reconciliation.
func figures(r *Reconciliation) []float64 {
	var v []float64
	for _, f := range r.Area.fields() {
		v = append(v, *f)
	}
	for _, f := range r.Nitrogen.fields() {
		v = append(v, *f)
	}
	return v
}

func TestTurnedAndMovedGroundMeasuresTheSame(t *testing.T) {
	in, p := work(t, 1)
	want := mustReconcile(t, in)
	require.Positive(t, want.Area.OffLimits)
	require.Positive(t, want.Area.Doubled)
	require.Positive(t, want.Area.NotPlanned)
	for _, deg := range []float64{17, 90, 180, 251.3} {
		turn := func(q orb.Point) orb.Point {
			s, c := math.Sincos(-deg * math.Pi / 180)
			return orb.Point{q[0]*c - q[1]*s + 31.7, q[0]*s + q[1]*c - 12.9}
		}
		moved := in
		moved.Drives = []Drive{in.Drives[0]}
		l := &moved.Drives[0].Log
		l.Lon, l.Lat, l.Heading = slices.Clone(l.Lon), slices.Clone(l.Lat), slices.Clone(l.Heading)
		for i := range l.Lon {
			old := geo.LonLat{l.Lon[i], l.Lat[i]}
			now := p.plane.Unproject(turn(p.plane.Project(old)))
			l.Lon[i], l.Lat[i] = now[0], now[1]
			l.Heading[i] = p.plane.GridAzimuth(old, l.Heading[i]) + deg - p.plane.GridAzimuth(now, 0)
		}
		turned := func(r geo.Region) geo.Region {
			mp := make(orb.MultiPolygon, 0)
			for _, poly := range r.Polygons() {
				q := orb.Polygon{}
				for _, ring := range poly {
					n := orb.Ring{}
					for _, v := range ring {
						n = append(n, turn(v))
					}
					q = append(q, n)
				}
				mp = append(mp, q)
			}
			out, err := geo.RegionFromPolygons(p.plane, mp)
			require.NoError(t, err)
			return out
		}
		moved.Field.Boundary, moved.Field.OffLimits = turned(in.Field.Boundary), turned(in.Field.OffLimits)
		moved.Zones, moved.Plan = slices.Clone(in.Zones), slices.Clone(in.Plan)
		for i := range moved.Zones {
			moved.Zones[i].Region = turned(in.Zones[i].Region)
		}
		for i := range moved.Plan {
			moved.Plan[i].Region = turned(in.Plan[i].Region)
		}
		got := mustReconcile(t, moved)
		// 1e-9 of the field; the way through degrees and back costs 1e-8 m of
		// place, which on 500 m of edges is 5e-6 m2.
		require.InDeltaSlice(t, figures(&want), figures(&got), 1e-9*want.Area.Field, "turned by %v", deg)
	}
}

// A prescription on the zones' own ground is swept with them; drawn again from the same
// vertices it is a division by itself. Figures and patches are the same.
func TestAPrescriptionOnTheZonesIsAsOneBesideThem(t *testing.T) {
	for seed := range uint64(4) {
		in, p := work(t, seed)
		in.MinPatch = unit.SquareMetres(1)
		in.Plan = slices.Clone(in.Plan)
		for i := range in.Plan {
			in.Plan[i].Region = in.Zones[i].Region
		}
		require.True(t, isOnZones(in.Plan, in.Zones))
		want := mustReconcile(t, in)
		require.Positive(t, want.Nitrogen.Prescribed)
		for i := range in.Plan {
			again, err := geo.RegionFromPolygons(p.plane, in.Zones[i].Region.Polygons())
			require.NoError(t, err)
			in.Plan[i].Region = again
		}
		require.False(t, isOnZones(in.Plan, in.Zones))
		got := mustReconcile(t, in)
		require.InDeltaSlice(t, figures(&want), figures(&got), 1e-12*want.Area.Field)
		require.Equal(t, len(want.Patches), len(got.Patches))
	}
}

func TestDrivenAgainADayLaterAllIsDoubled(t *testing.T) {
	in, _ := work(t, 2)
	once := mustReconcile(t, in)
	again := in.Drives[0]
	again.Log.TimeNS = slices.Clone(again.Log.TimeNS)
	for i := range again.Log.TimeNS {
		again.Log.TimeNS[i] += 86400e9
	}
	in.Drives = append(in.Drives, again)
	twice := mustReconcile(t, in)
	require.InDelta(t, once.Area.Covered, twice.Area.Doubled, 1e-6)
	require.InDelta(t, 0, twice.Area.Once, 1e-6)
	require.InDelta(t, 2*once.Nitrogen.Applied, twice.Nitrogen.Applied, 1e-6)
}

// part takes records of a log.
func part(l Log, keep []int) Log {
	out := Log{Files: l.Files, Sections: Bits{N: l.Sections.N}, Rate: Lanes{N: l.Rate.N}, Depth: Lanes{N: l.Depth.N}, Read: len(keep)}
	for _, i := range keep {
		out.File = append(out.File, l.File[i])
		out.Line = append(out.Line, l.Line[i])
		out.TimeNS = append(out.TimeNS, l.TimeNS[i])
		out.Lon, out.Lat = append(out.Lon, l.Lon[i]), append(out.Lat, l.Lat[i])
		out.Heading = append(out.Heading, l.Heading[i])
		out.Sections.Words = append(out.Sections.Words, l.Sections.Row(i)...)
		out.Rate.V = append(out.Rate.V, l.Rate.Row(i)...)
		out.Depth.V = append(out.Depth.V, l.Depth.Row(i)...)
	}
	return out
}

// TestSplitAndShuffledLogsGiveTheSameJSON cuts a log into several, and deals its
// records out among several, also where values belong to places of another part.
func TestSplitAndShuffledLogsGiveTheSameJSON(t *testing.T) {
	in, p := work(t, 3)
	n := p.log.Len()
	rng := rand.New(rand.NewPCG(9, 9))
	seen := make(map[string]bool)
	for _, lag := range []float64{0, 1.5, -2, 40} {
		drive := p.drive("m")
		drive.Machine.Lag = unit.Seconds(lag)
		asJSON := func(parts []Drive) string {
			in.Drives = parts
			r := mustReconcile(t, in)
			text, err := json.Marshal(r.JSON())
			require.NoError(t, err)
			return string(text)
		}
		want := asJSON([]Drive{drive})
		seen[want] = true
		for round := range 8 {
			var cuts []int
			for range 6 {
				cuts = append(cuts, rng.IntN(n))
			}
			cuts = append(cuts, 0, n)
			slices.Sort(cuts)
			records := make([][]int, len(cuts)-1)
			for i := range records {
				for k := cuts[i]; k < cuts[i+1]; k++ {
					to := i
					if round >= 5 {
						to = rng.IntN(len(records))
					}
					records[to] = append(records[to], k)
				}
			}
			var parts []Drive
			for _, keep := range records {
				d := drive
				d.Log = part(p.log, keep)
				parts = append(parts, d)
			}
			rng.Shuffle(len(parts), func(i, j int) { parts[i], parts[j] = parts[j], parts[i] })
			require.Equal(t, want, asJSON(parts), "lag of %v s, round %d", lag, round)
		}
	}
	require.Len(t, seen, 4, "each lag gives other figures")
}

func TestDroppedPassIsExactlyWhatOnlyItCovered(t *testing.T) {
	in, p := work(t, 4)
	all := mustReconcile(t, in)
	n := p.log.Len() / 4 // a pass has as many records as another
	for pass := range 4 {
		var rest, only []int
		for i := range p.log.Len() {
			if i/n == pass {
				only = append(only, i)
			} else {
				rest = append(rest, i)
			}
		}
		d := p.drive("m")
		d.Log = part(p.log, rest)
		in.Drives = []Drive{d}
		without := mustReconcile(t, in)
		d.Log = part(p.log, only)
		in.Drives = []Drive{d}
		alone := mustReconcile(t, in)
		// What the pass covered is either once in the whole (only this pass did)
		// or doubled; ground it shares stays covered.
		lost := without.Area.Missed - all.Area.Missed + without.Area.NotPlanned - all.Area.NotPlanned
		shared := alone.Area.Covered - lost
		require.InDelta(t, all.Area.Covered, without.Area.Covered+lost, 1e-6)
		require.Positive(t, lost)
		require.GreaterOrEqual(t, shared, -1e-6)
		require.InDelta(t, all.Area.Doubled-without.Area.Doubled, shared, 1e-6, "four passes overlap in pairs only")
	}
}

func TestRandomWorkKeepsEveryIdentity(t *testing.T) {
	for seed := range uint64(20) {
		in, _ := work(t, 100+seed)
		mustReconcile(t, in)
	}
}
