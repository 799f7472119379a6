//go:build reference

package asapplied

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"ratewright/geo"
	"ratewright/geo/unit"
	"ratewright/geo/vector"
	"ratewright/rx"
)

// The reference is testdata/reference/coverage.py, which shares nothing with
// this package: it reads the same files, projects them with PROJ, builds swaths
// of its own and measures them with GEOS. Debian's python3-shapely and proj-bin
// must be there; without them these tests fail.

// referenceScene is what coverage.py is told.
type referenceScene struct {
	Log          string           `json:"log"`
	Boundary     string           `json:"boundary"`
	CutOuts      []string         `json:"cut_outs"`
	Zones        []string         `json:"zones"`
	RateProperty string           `json:"rate_property"`
	Columns      referenceColumns `json:"columns"`
	DepthUnitM   float64          `json:"depth_unit_m"`
	ShallowM     float64          `json:"shallow_m"`
	WidthM       float64          `json:"width_m"`
	Tolerance    float64          `json:"tolerance"`
	MaxGapS      float64          `json:"max_gap_s"`
	Lon0         float64          `json:"lon0"`
	Lat0         float64          `json:"lat0"`
}

type referenceColumns struct {
	Time     string   `json:"time"`
	Lon      string   `json:"lon"`
	Lat      string   `json:"lat"`
	Heading  string   `json:"heading"`
	Speed    string   `json:"-"`
	Sections string   `json:"sections"`
	Rate     []string `json:"rate"`
	Depth    []string `json:"depth"`
}

// referenceSums is what coverage.py says.
type referenceSums struct {
	Swaths   int                `json:"swaths"`
	Faces    int                `json:"faces"`
	Areas    map[string]float64 `json:"area_m2"`
	Nitrogen map[string]float64 `json:"nitrogen_kg"`
	ByUnion  map[string]float64 `json:"by_union_m2"`
}

func (s referenceScene) run(t *testing.T) referenceSums {
	t.Helper()
	b, err := json.Marshal(s)
	require.NoError(t, err)
	path := filepath.Join(t.TempDir(), "scene.json")
	require.NoError(t, os.WriteFile(path, b, 0o644))
	// Debian's python3-shapely belongs to Debian's own Python.
	cmd := exec.Command("/usr/bin/python3", filepath.Join("testdata", "reference", "coverage.py"), path)
	var stdout, stderr bytes.Buffer
	cmd.Stdout, cmd.Stderr = &stdout, &stderr
	require.NoErrorf(t, cmd.Run(), "the reference needs Debian's python3-shapely and proj-bin: %s", stderr.String())
	var sums referenceSums
	require.NoError(t, json.Unmarshal(stdout.Bytes(), &sums))
	return sums
}

// reconcile reads the scene's files with this project and lines them up.
func (s referenceScene) reconcile(t *testing.T) Reconciliation {
	t.Helper()
	log, err := ReadLog(LogSpec{
		Files: []string{s.Log},
		Columns: map[string][]string{
			RoleTime: {s.Columns.Time}, RoleLon: {s.Columns.Lon}, RoleLat: {s.Columns.Lat},
			RoleHeading: {s.Columns.Heading}, RoleSpeed: {s.Columns.Speed}, RoleSections: {s.Columns.Sections},
			RoleRate: s.Columns.Rate, RoleDepth: s.Columns.Depth,
		},
		Units: map[string]string{
			RoleSpeed: "m/s", RoleRate: "kg/ha",
			RoleDepth: map[float64]string{0.01: "cm", 1: "m"}[s.DepthUnitM],
		},
		Of: unit.Nitrogen, HasOf: true,
	})
	require.NoError(t, err)
	field := s.field(t)
	in := Input{
		Field:     field,
		Drives:    []Drive{{Log: log, Machine: Machine{Name: "m", Width: unit.Metres(s.WidthM)}, MaxGap: unit.Seconds(s.MaxGapS)}},
		Tolerance: s.Tolerance, Shallow: unit.Metres(s.ShallowM), HasShallow: true,
	}
	for _, path := range s.Zones {
		zones, _, err := rx.NewZones(field, readFeatures(t, path), "ID", rx.DefaultZoneOptions())
		require.NoError(t, err)
		for _, z := range zones {
			i := slices.IndexFunc(z.Attributes, func(a vector.Attribute) bool { return a.Name == s.RateProperty })
			rate, ok := z.Attributes[i].Value.Number()
			require.True(t, ok)
			in.Plan = append(in.Plan, rx.RateZone{ZoneID: z.ID, Region: z.Region, NRate: unit.KgNPerHa(rate)})
		}
		in.Zones = append(in.Zones, zones...)
	}
	return mustReconcile(t, in)
}

func (s referenceScene) field(t *testing.T) rx.Field {
	t.Helper()
	var cuts []rx.CutOut
	for _, path := range s.CutOuts {
		for _, f := range readFeatures(t, path) {
			cuts = append(cuts, rx.CutOut{Area: f.Outline})
		}
	}
	f, err := rx.NewField("reference", readFeatures(t, s.Boundary)[0].Outline, cuts, nil)
	require.NoError(t, err)
	return f
}

func readFeatures(t *testing.T, path string) []vector.Feature {
	t.Helper()
	layer, err := vector.Read(path, vector.Options{})
	require.NoError(t, err)
	return layer.Features
}

// agrees holds a reconciliation against the reference: areas to 1e-9 of the
// field's, masses to 1e-9 of what was put down.
func (s referenceScene) agrees(t *testing.T) {
	t.Helper()
	r := s.reconcile(t)
	s.Lon0, s.Lat0 = r.Plane.Origin().Lon(), r.Plane.Origin().Lat()
	ref := s.run(t)
	require.NotZero(t, ref.Swaths)
	j := r.JSON()
	ours, theirs := asMap(t, j.AreaM2), ref.Areas
	worst := 0.0
	compare := func(what string, got any, want, whole float64) {
		if got == nil { // not told without a plan; the reference then adds nothing up
			require.Zero(t, want, what)
			return
		}
		off := math.Abs(got.(float64)-want) / whole
		worst = max(worst, off)
		require.LessOrEqualf(t, off, 1e-9, "%s: %v, reference %v", what, got, want)
	}
	for key, want := range theirs {
		require.Contains(t, ours, key)
		compare(key, ours[key], want, r.Area.Field)
	}
	masses := asMap(t, j.NitrogenKg)
	for key, want := range ref.Nitrogen {
		require.Contains(t, masses, key)
		compare(key+" nitrogen", masses[key], want, r.Nitrogen.Applied)
	}
	compare("field by union", r.Area.Field, ref.ByUnion["field"], r.Area.Field)
	compare("covered by union", r.Area.Covered, ref.ByUnion["covered"], r.Area.Field)
	compare("missed by union", r.Area.Missed+r.Area.NotPlanned, ref.ByUnion["missed_or_not_planned"], r.Area.Field)
	compare("outside by union", r.Area.Outside, ref.ByUnion["outside"], r.Area.Field)
	t.Logf("%d swaths, %d faces: worst %.1e of the whole", ref.Swaths, ref.Faces, worst)
}

func asMap(t *testing.T, v any) map[string]any {
	t.Helper()
	b, err := json.Marshal(v)
	require.NoError(t, err)
	var m map[string]any
	require.NoError(t, json.Unmarshal(b, &m))
	return m
}

func TestPassesAgreeWithReference(t *testing.T) {
	for _, dir := range passSets(t) {
		t.Run(filepath.Base(dir), func(t *testing.T) {
			referenceScene{
				Log: filepath.Join(dir, "log.csv"), Boundary: filepath.Join(dir, "boundary.geojson"),
				Columns: referenceColumns{
					Time: "time", Lon: "lon", Lat: "lat", Heading: "heading_deg", Speed: "speed_mps", Sections: "sections",
					Rate: []string{"rate_kg_ha"}, Depth: []string{"depth_cm"},
				},
				CutOuts: []string{}, Zones: []string{},
				DepthUnitM: 0.01, ShallowM: 0.08, WidthM: 18, Tolerance: 0.1, MaxGapS: 3,
			}.agrees(t)
		})
	}
}

// A machine strays over a small field with a cut-out, three rate zones (one of
// them a prescribed zero) and ground in no zone. It turns tighter than its bar
// is wide, crosses its own way, lifts, waits too long; sections, rates and
// depths change all the time.
func TestStrayingAgreesWithReference(t *testing.T) {
	for seed := range uint64(6) {
		t.Run(fmt.Sprint(seed), func(t *testing.T) { strayingScene(t, seed).agrees(t) })
	}
}

func strayingScene(t *testing.T, seed uint64) referenceScene {
	dir := t.TempDir()
	at := func(name string) string { return filepath.Join(dir, name) }
	p := testPlane(t)
	writeRings(t, p, at("boundary.geojson"), ringOf{ring: orb.Ring{{-90, -60}, {85, -65}, {100, 70}, {-20, 80}, {-95, 55}}})
	writeRings(t, p, at("pond.geojson"), ringOf{ring: orb.Ring{{20, 5}, {45, 0}, {50, 25}, {30, 35}}})
	writeRings(t, p, at("zones.geojson"),
		ringOf{"A", 120, orb.Ring{{-120, -90}, {-10, -90}, {5, 100}, {-120, 100}}},
		ringOf{"B", 90, orb.Ring{{-10, -90}, {130, -90}, {130, -10}, {-3, -5}}},
		ringOf{"Z", 0, orb.Ring{{10, 45}, {130, 40}, {130, 110}, {15, 110}}})
	require.NoError(t, os.WriteFile(at("log.csv"), strayingLog(p, rand.New(rand.NewPCG(seed, 7))), 0o644))
	return referenceScene{
		Log: at("log.csv"), Boundary: at("boundary.geojson"),
		CutOuts: []string{at("pond.geojson")}, Zones: []string{at("zones.geojson")}, RateProperty: "RATE",
		Columns: referenceColumns{
			Time: "time", Lon: "lon", Lat: "lat", Heading: "heading", Speed: "speed", Sections: "sections",
			Rate: []string{"rate1", "rate2", "rate3", "rate4"}, Depth: []string{"depth1", "depth2"},
		},
		DepthUnitM: 1, ShallowM: 0.06, WidthM: 24, Tolerance: 0.1, MaxGapS: 3,
	}
}

// strayingLog drives 500 records with a bar of eight sections, four lanes of
// rate and two of depth.
func strayingLog(p geo.Plane, rng *rand.Rand) []byte {
	var b bytes.Buffer
	b.WriteString("time,lon,lat,heading,speed,sections,rate1,rate2,rate3,rate4,depth1,depth2\n")
	x, y, heading, turn := -70.0, -40.0, 0.5, 0.0
	clock := 1715000000.0
	sections := []byte("11111111")
	rates := []float64{120, 120, 120, 120}
	depths := []float64{0.1, 0.1}
	for i := range 500 {
		if i%40 == 0 {
			turn = 0.25 * (2*rng.Float64() - 1) // radians a record: radii from 8 m
		}
		if rng.IntN(6) == 0 {
			sections[rng.IntN(8)] ^= 1
			rates[rng.IntN(4)] = []float64{0, 60, 100, 121.5, 133.7, 150}[rng.IntN(6)]
			depths[rng.IntN(2)] = []float64{0.03, 0.05, 0.07, 0.11}[rng.IntN(4)]
		}
		clock++
		if i%150 == 149 {
			clock += 30
		}
		if math.Hypot(x, y) > 80 { // back towards the middle
			turn = 0.2
			if math.Sin(math.Atan2(-x, -y)-heading) < 0 {
				turn = -0.2
			}
		}
		heading += turn + 0.02*(2*rng.Float64()-1)
		x, y = x+2*math.Sin(heading), y+2*math.Cos(heading)
		written := string(sections)
		if i%90 > 80 {
			written = "00000000"
		}
		at := p.Unproject(orb.Point{x, y})
		degrees := math.Mod(heading*180/math.Pi+3600, 360)
		fmt.Fprintf(&b, "%.3f,%.10f,%.10f,%.5f,2.0,%s,%v,%v,%v,%v,%v,%v\n",
			clock, at.Lon(), at.Lat(), degrees, written, rates[0], rates[1], rates[2], rates[3], depths[0], depths[1])
	}
	return b.Bytes()
}

// ringOf is a polygon of plane metres with its attributes.
type ringOf struct {
	id   string
	rate float64
	ring orb.Ring
}

func writeRings(t *testing.T, p geo.Plane, path string, rings ...ringOf) {
	t.Helper()
	var features []string
	for _, r := range rings {
		var places []string
		for _, v := range append(r.ring, r.ring[0]) {
			at := p.Unproject(v)
			places = append(places, fmt.Sprintf("[%.12f,%.12f]", at.Lon(), at.Lat()))
		}
		features = append(features, fmt.Sprintf(
			`{"type":"Feature","properties":{"ID":%q,"RATE":%v},"geometry":{"type":"Polygon","coordinates":[[%s]]}}`,
			r.id, r.rate, strings.Join(places, ",")))
	}
	text := `{"type":"FeatureCollection","features":[` + strings.Join(features, ",") + `]}`
	require.NoError(t, os.WriteFile(path, []byte(text), 0o644))
}
