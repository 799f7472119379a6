package asapplied

import (
	"fmt"
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"ratewright/asapplied/fieldlog"
	"ratewright/geo"
	"ratewright/geo/cover"
	"ratewright/geo/unit"
	"ratewright/rx"
)

// madeUp is a made-up log as it would be read.
func madeUp(t testing.TB, s fieldlog.Spec) Input {
	t.Helper()
	w, err := fieldlog.Make(s)
	require.NoError(t, err)
	log := Log{Files: []string{"made up"}, Sections: Bits{N: w.Spec.Sections}, Read: len(w.Records)}
	if !s.CoverageOnly {
		log.Rate.N, log.Depth.N = 1, 1
	}
	for i := range w.Records {
		r := &w.Records[i]
		log.File = append(log.File, 0)
		log.Line = append(log.Line, int32(i+2))
		log.TimeNS = append(log.TimeNS, int64(math.Round(r.Seconds*1e9)))
		log.Lon, log.Lat = append(log.Lon, r.At[0]), append(log.Lat, r.At[1])
		log.Heading = append(log.Heading, r.Heading)
		log.Sections.Words = append(log.Sections.Words, r.Sections)
		if !s.CoverageOnly {
			log.Rate.V = append(log.Rate.V, r.RateKgHa)
			log.Depth.V = append(log.Depth.V, r.DepthCm/100)
		}
	}
	o, err := geo.NewOutline(orb.MultiPolygon{w.Boundary})
	require.NoError(t, err)
	f, err := rx.NewField("made up", o, nil, nil)
	require.NoError(t, err)
	in := Input{
		Field: f, Tolerance: 0.1, Shallow: unit.Metres(0.08), HasShallow: true, MinPatch: unit.Acres(0.01),
		Drives: []Drive{{Log: log, Machine: Machine{Name: "m", Width: unit.Metres(fieldlog.WidthM), SectionCount: w.Spec.Sections}}},
	}
	if s.Vary {
		in.Plan = []rx.RateZone{{ZoneID: "all", Region: f.Boundary, NRate: unit.KgNPerHa(190)}}
	}
	return in
}

// BenchmarkReconcile times one reconciliation without reading files.
func BenchmarkReconcile(b *testing.B) {
	for _, c := range []struct {
		name string
		spec fieldlog.Spec
	}{
		{"coverage", fieldlog.Spec{CoverageOnly: true}},
		{"varying", fieldlog.Spec{Vary: true}},
		{"jitter", fieldlog.Spec{CoverageOnly: true, JitterDeg: 1.5}},
		{"standing", fieldlog.Spec{CoverageOnly: true, JitterDeg: 15, Standing: 5000}},
		{"chatter", fieldlog.Spec{CoverageOnly: true, Chatter: true}},
	} {
		c.spec.Records = 66_000
		b.Run(fmt.Sprintf("%s-%d", c.name, c.spec.Records), func(b *testing.B) {
			in := madeUp(b, c.spec)
			n := in.Drives[0].Log.Len()
			for b.Loop() {
				_, err := Reconcile(in)
				require.NoError(b, err)
			}
			b.ReportMetric(float64(n)*float64(b.N)/b.Elapsed().Seconds(), "records/s")
		})
	}
}

// BenchmarkSteps times the steps of a reconciliation one by one.
func BenchmarkSteps(b *testing.B) {
	for _, vary := range []bool{false, true} {
		in := madeUp(b, fieldlog.Spec{Records: 66_000, CoverageOnly: !vary, Vary: vary})
		n := in.Drives[0].Log.Len()
		f := newField(&in)
		perRecord := func(b *testing.B) {
			b.ReportMetric(b.Elapsed().Seconds()/float64(b.N)/float64(n)*1e9, "ns/record")
		}
		ground, err := follow(&in, f, &counts{dropped: map[string]int{}})
		require.NoError(b, err)
		b.Run(fmt.Sprintf("swaths/vary=%v", vary), func(b *testing.B) {
			for b.Loop() {
				_, err := follow(&in, f, &counts{dropped: map[string]int{}})
				require.NoError(b, err)
			}
			perRecord(b)
		})
		std := standardOf(&in, ground)
		for _, o := range []cover.Options{{Workers: 1}, {Workers: 2}, {Workers: 1, Patches: true, MinPatchM2: 40}} {
			b.Run(fmt.Sprintf("sweep/vary=%v/workers=%d/patches=%v", vary, o.Workers, o.Patches), func(b *testing.B) {
				for b.Loop() {
					cover.Sweep(cover.Input{Swaths: ground.swaths, Shapes: ground.shapes, Layers: f.layers()}, std.newJudge, o)
				}
				perRecord(b)
			})
		}
	}
}
