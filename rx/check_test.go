package rx

import (
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"ratewright/geo/unit"
)

func hasFinding(fs []Finding, s Severity, rule, text string) bool {
	return slices.ContainsFunc(fs, func(f Finding) bool {
		return f.Severity == s && f.Rule == rule && (text == "" || f.Text == text)
	})
}

func TestCheckOfASoundMap(t *testing.T) {
	p, m := busyMap(t)
	o := DefaultCheckOptions()
	findings := CheckRateMap(m, p.Field, Limits{}, o)
	require.Empty(t, Refused(findings))
	require.Len(t, findings, 1)
	require.True(t, hasFinding(findings, Note, "zero rates", ""))
}

// Each case spoils a sound map in one way; the named finding must come of it.
func TestCheckFindsEachFault(t *testing.T) {
	nine := unit.Rate{Value: 50, Unit: unit.GallonsPerAcre}
	for _, c := range []struct {
		name     string
		spoil    func(*RateMap, *CheckOptions)
		severity Severity
		rule     string
	}{
		{"not a number", func(m *RateMap, _ *CheckOptions) { m.Features[0].Rate = math.NaN() }, Refuse, "rate"},
		{"infinite", func(m *RateMap, _ *CheckOptions) { m.Features[0].Rate = math.Inf(1) }, Refuse, "rate"},
		{"below zero", func(m *RateMap, _ *CheckOptions) { m.Features[0].Rate = -1 }, Refuse, "rate"},
		{"too wide", func(m *RateMap, _ *CheckOptions) { m.Features[0].Rate = 1234567.89 }, Refuse, "rate"},
		{"a unit mistaken", func(m *RateMap, _ *CheckOptions) { m.Features[0].NRate = unit.KgNPerHa(401) }, Note, "size of rate"},
		{"above the maximum", func(m *RateMap, _ *CheckOptions) { m.Features[0].Rate = 50.01 }, Note, "limits"},
		{"no unit", func(m *RateMap, _ *CheckOptions) { m.Unit = unit.RateUnit{} }, Refuse, "unit"},
		{"not said of what", func(m *RateMap, _ *CheckOptions) { m.Of = 0 }, Refuse, "unit"},
		{"letters beyond ASCII", func(m *RateMap, _ *CheckOptions) { m.Features[0].ZoneID = "Süd" }, Note, "text"},
		{"a long id", func(m *RateMap, _ *CheckOptions) { m.Features[0].ZoneID = string(make([]byte, 255)) }, Refuse, "text"},
		{"a path for a name", func(m *RateMap, _ *CheckOptions) { m.Name = "../A" }, Refuse, "file name"},
		{"a long name", func(m *RateMap, _ *CheckOptions) { m.Name = "NINECHARS" }, Refuse, "file name"},
		{"nothing in it", func(m *RateMap, _ *CheckOptions) { m.Features = nil }, Refuse, "empty map"},
		{"many rates", func(_ *RateMap, o *CheckOptions) { o.Rates = 2 }, Note, "number of rates"},
		{"many polygons", func(_ *RateMap, o *CheckOptions) { o.Polygons = 3 }, Note, "polygons"},
		{"many vertices", func(_ *RateMap, o *CheckOptions) { o.Vertices = 6 }, Note, "vertices"},
		{"no ring", func(m *RateMap, _ *CheckOptions) { m.Features[0].Polygon = nil }, Refuse, "rings"},
		{"not closed", func(m *RateMap, _ *CheckOptions) {
			r := m.Features[0].Polygon[0]
			m.Features[0].Polygon[0] = r[:len(r)-1]
		}, Refuse, "rings"},
		{"swapped", func(m *RateMap, _ *CheckOptions) {
			for i, q := range m.Features[0].Polygon[0] {
				m.Features[0].Polygon[0][i] = orb.Point{q[1], q[0]}
			}
		}, Refuse, "rings"},
		{"clockwise", func(m *RateMap, _ *CheckOptions) { slices.Reverse(m.Features[0].Polygon[0]) }, Refuse, "rings"},
		{"twice", func(m *RateMap, _ *CheckOptions) { m.Features = append(m.Features, m.Features[0]) }, Refuse, "rings"},
		{"overlapping", func(m *RateMap, _ *CheckOptions) { m.Features = append(m.Features, m.Features[0]) }, Refuse, "overlaps"},
		{"a gap", func(m *RateMap, _ *CheckOptions) { m.Features = m.Features[1:] }, Refuse, "coverage"},
		{"a vertex off the shared one", func(m *RateMap, _ *CheckOptions) {
			m.Features[0].Polygon[0] = withoutStraightVertex(m.Features[0].Polygon[0])
		}, Refuse, "shared vertices"},
		{"a rate on off-limits ground", func(m *RateMap, _ *CheckOptions) {
			for i := range m.Features {
				if m.Features[i].ZoneID == OffLimitsID {
					m.Features[i].Rate = 10
				}
			}
		}, Refuse, "off limits"},
		{"narrower than the machine", func(_ *RateMap, o *CheckOptions) { o.BarWidth = unit.Metres(120) }, Note, "narrow"},
	} {
		t.Run(c.name, func(t *testing.T) {
			p, m := busyMap(t)
			o := DefaultCheckOptions()
			c.spoil(&m, &o)
			findings := CheckRateMap(m, p.Field, Limits{Max: &nine, Of: unit.Product}, o)
			require.True(t, hasFinding(findings, c.severity, c.rule, ""), "%v", findings)
		})
	}
}

// withoutStraightVertex takes out the first vertex that lies on a straight edge.
func withoutStraightVertex(r orb.Ring) orb.Ring {
	for k := 1; k+1 < len(r); k++ {
		if _, d := alongEdge(r[k-1], r[k+1], r[k]); d < 1e-8 {
			return slices.Delete(r, k, k+1)
		}
	}
	return r
}

// A rate that only rounding to the map's last digit lifts above the maximum is
// no finding: 50.004 is written 50.00, 49.996 too.
func TestLimitsAllowForTheLastDigit(t *testing.T) {
	p, m := busyMap(t)
	most := unit.Rate{Value: 51.706, Unit: unit.GallonsPerAcre} // zone B is 51.7066, written 51.71
	findings := CheckRateMap(m, p.Field, Limits{Max: &most, Of: unit.Product}, DefaultCheckOptions())
	require.False(t, hasFinding(findings, Note, "limits", ""))
	most.Value = 51.70
	findings = CheckRateMap(m, p.Field, Limits{Max: &most, Of: unit.Product}, DefaultCheckOptions())
	require.True(t, hasFinding(findings, Note, "limits", "polygon 3 (zone B): the rate 51.71 gal/ac is above the maximum 51.7 gal/ac"), "%v", findings)
}

func TestMapBeyondTheBoundary(t *testing.T) {
	_, m := busyMap(t)
	f, err := NewField("F", rect(t, -200, -100, 0, 60), nil, nil)
	require.NoError(t, err)
	require.True(t, hasFinding(CheckRateMap(m, f, Limits{}, DefaultCheckOptions()), Refuse, "coverage", ""))
}

// Areas are told in the units of the job: of the 8 ha, a cut-out of 10 m by 20 m with a
// rate, and a strip of 1 m by 200 m beyond the boundary.
func TestFindingsAreInTheUnitsOfTheJob(t *testing.T) {
	f := wholeField(t)
	zones, _, err := NewZones(f, gridZones(t, 2), "ZONE", DefaultZoneOptions())
	require.NoError(t, err)
	p, err := Prescribe(f, zones, sidedress(t))
	require.NoError(t, err)
	m, err := p.RateMap()
	require.NoError(t, err)
	f.Boundary, err = f.Plane.Region(rect(t, -200, -100, 199, 100))
	require.NoError(t, err)
	f.OffLimits, err = f.Plane.Region(rect(t, -100, -50, -90, -30))
	require.NoError(t, err)
	for units, want := range map[unit.System][]string{
		unit.SI: {"200 m2 of the map lies outside the boundary", "200 m2 of it is off limits and has the rate"},
		unit.US: {"2153 sq ft of the map lies outside the boundary", "2153 sq ft of it is off limits and has the rate"},
	} {
		o := DefaultCheckOptions()
		o.Units = units
		var text strings.Builder
		for _, found := range CheckRateMap(m, f, Limits{}, o) {
			text.WriteString(found.Text + "\n")
		}
		for _, w := range want {
			require.Contains(t, text.String(), w)
		}
	}
}
