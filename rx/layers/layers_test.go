package layers

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"ratewright/geo"
	"ratewright/geo/unit"
	"ratewright/geo/vector"
	"ratewright/rx"
)

// square is a field of about 300 m a side.
func square(t *testing.T) rx.Field {
	t.Helper()
	o, err := geo.NewOutline(orb.Polygon{{{-93.6, 42}, {-93.5964, 42}, {-93.5964, 42.0027}, {-93.6, 42.0027}, {-93.6, 42}}})
	require.NoError(t, err)
	f, err := rx.NewField("made up", o, nil, nil)
	require.NoError(t, err)
	return f
}

// strip is a zone of the field between two x or y of its plane.
func strip(t *testing.T, f rx.Field, id string, across bool, from, to float64, columns ...vector.Attribute) rx.Zone {
	t.Helper()
	b := orb.Polygon{{{from, -1000}, {to, -1000}, {to, 1000}, {from, 1000}, {from, -1000}}}
	if across {
		for i, p := range b[0] {
			b[0][i] = orb.Point{p[1], p[0]}
		}
		for i, j := 0, len(b[0])-1; i < j; i, j = i+1, j-1 {
			b[0][i], b[0][j] = b[0][j], b[0][i]
		}
	}
	r, err := geo.RegionFromPolygons(f.Plane, orb.MultiPolygon{b})
	require.NoError(t, err)
	r, err = r.Intersect(f.Ground)
	require.NoError(t, err)
	return rx.Zone{ID: id, Region: r, Attributes: columns}
}

func areas(zones []rx.Zone) map[string]float64 {
	m := map[string]float64{}
	for _, z := range zones {
		m[z.ID] = z.Region.Area().SquareMetres()
	}
	return m
}

func TestEveryCombinationIsAZone(t *testing.T) {
	f := square(t)
	om := vector.Attribute{Name: "OM", Value: vector.NewNumber(3)}
	soil := []rx.Zone{strip(t, f, "L", false, -1000, 0, om), strip(t, f, "R", false, 0, 1000)}
	yield := []rx.Zone{strip(t, f, "N", true, 0, 1000, vector.Attribute{Name: "YG", Value: vector.NewNumber(200)}, vector.Attribute{Name: "om", Value: vector.NewNumber(9)}), strip(t, f, "S", true, -1000, 0)}
	zones, notes, err := Intersect(f.Ground, [][]rx.Zone{soil, yield}, 0, unit.SI)
	require.NoError(t, err)
	require.Equal(t, []string{"column om is in more than one layer; the first one's was kept"}, notes)
	a := areas(zones)
	require.Len(t, a, 4)
	for _, id := range []string{"L x N", "L x S", "R x N", "R x S"} {
		require.InDelta(t, f.Ground.Area().SquareMetres()/4, a[id], 0.02*a[id], id)
	}
	require.Equal(t, "OM", zones[0].Attributes[0].Name)
	require.Len(t, zones[0].Attributes, 2)

	// The order of layers changes names alone.
	turned, _, err := Intersect(f.Ground, [][]rx.Zone{yield, soil}, 0, unit.SI)
	require.NoError(t, err)
	for id, v := range areas(turned) {
		l, r, _ := strings.Cut(id, between)
		require.InDelta(t, a[r+between+l], v, 1e-6)
	}
	// One layer gives itself.
	one, _, err := Intersect(f.Ground, [][]rx.Zone{soil}, 0, unit.SI)
	require.NoError(t, err)
	require.Len(t, one, 2)
}

// made are the zones of features of a layer on a field.
func made(t *testing.T, f rx.Field, file string, features ...vector.Feature) []rx.Zone {
	t.Helper()
	for i := range features {
		features[i].At = vector.Position{File: file, Record: i + 1}
	}
	zones, _, err := rx.NewZones(f, features, "S", rx.DefaultZoneOptions())
	require.NoError(t, err)
	return zones
}

func feature(t *testing.T, from, to float64, id string, om any) vector.Feature {
	t.Helper()
	o, err := geo.NewOutline(orb.Polygon{{{from, 41.99}, {to, 41.99}, {to, 42.01}, {from, 42.01}, {from, 41.99}}})
	require.NoError(t, err)
	var v vector.Value
	if n, ok := om.(float64); ok {
		v = vector.NewNumber(n)
	}
	return vector.Feature{Outline: o, Attributes: []vector.Attribute{{Name: "S", Value: vector.NewText(id)}, {Name: "OM", Value: v}, {Name: "REMARK", Value: vector.NewText(fmt.Sprint(from))}}}
}

// Parts of one zone that differ in a column that is asked for are refused alike with layers
// and without; in columns that nobody asks for they may differ, and ground off the field
// does not count.
func TestPartsThatDifferAreRefusedWithLayersAsWithout(t *testing.T) {
	f := square(t)
	om := rx.ValueRule{What: "organic matter", Column: "OM"}
	for name, c := range map[string]struct {
		second any
		third  float64
		want   string
	}{
		"alike":    {2.0, 2, ""},
		"differ":   {3.0, 2, "soil.geojson: record 1 (zone %s): the parts of this zone differ in column OM: 2 in record 1, 3 in record 2; give the parts one value, or ids of their own"},
		"empty":    {nil, 2, "2 in record 1, empty in record 2"},
		"far away": {2.0, 9, ""},
	} {
		soil := made(t, f, "soil.geojson", feature(t, -93.61, -93.598, "s", 2.0), feature(t, -93.598, -93.59, "s", c.second), feature(t, -93.5, -93.4, "s", c.third))
		turned := made(t, f, "soil.geojson", feature(t, -93.5, -93.4, "s", 7.0), feature(t, -93.61, -93.59, "s", 2.0))
		v, _, err := om.Values(turned)
		require.NoError(t, err)
		require.Equal(t, []float64{2}, v, "of the part on the field")
		zones, _, err := Intersect(f.Ground, [][]rx.Zone{{strip(t, f, "A", true, -1000, 0), strip(t, f, "B", true, 0, 1000)}, soil}, 0, unit.SI)
		require.NoError(t, err)
		for id, list := range map[string][]rx.Zone{"s": soil, "A x s": zones} {
			_, _, err := om.Values(list)
			if c.want == "" {
				require.NoError(t, err, name)
				continue
			}
			want := c.want
			if strings.Contains(want, "%s") {
				want = fmt.Sprintf(want, id)
			}
			require.ErrorContains(t, err, want, name)
			require.Error(t, list[0].Differs("om"))
			require.Error(t, list[0].Differs("REMARK"))
			require.NoError(t, list[0].Differs("none"))
		}
	}
}

// A column that is missing, empty or text in a combination is a fault of the layer that it
// belongs to, not of the first.
func TestAColumnThatIsMissingNamesItsLayer(t *testing.T) {
	f := square(t)
	ground := made(t, f, "ground.geojson", feature(t, -93.61, -93.59, "g", 2.0))
	for i := range ground {
		ground[i].Attributes = ground[i].Attributes[:1]
	}
	om := rx.ValueRule{What: "organic matter", Column: "om"}
	soil := func(change func(second *vector.Feature)) []rx.Zone {
		list := []vector.Feature{feature(t, -93.61, -93.598, "s", 2.0), feature(t, -93.598, -93.59, "t", 3.0)}
		change(&list[1])
		return made(t, f, "soil.geojson", list...)
	}
	for name, c := range map[string]struct {
		soil []rx.Zone
		want string
	}{
		"empty":         {soil(func(second *vector.Feature) { second.Attributes[1].Value = vector.Value{} }), "soil.geojson: record 2 (zone g x t): has no organic matter: column om is empty"},
		"text":          {soil(func(second *vector.Feature) { second.Attributes[1].Value = vector.NewText("much") }), `soil.geojson: record 2 (zone g x t): column om holds "much"`},
		"missing":       {soil(func(second *vector.Feature) { second.Attributes = second.Attributes[:1] }), "soil.geojson: record 2 (zone g x t): has no "},
		"not all there": {soil(func(*vector.Feature) {})[:1], "soil.geojson: zone g x none: has no organic matter: the layer with column om does not cover it"},
	} {
		zones, _, err := Intersect(f.Ground, [][]rx.Zone{ground, c.soil}, 0, unit.SI)
		require.NoError(t, err, name)
		_, _, err = om.Values(zones)
		require.ErrorContains(t, err, c.want, name)
		if name == "missing" || name == "not all there" {
			for _, z := range zones {
				if z.ID != "g x s" {
					_, err = z.Text("OM")
					require.ErrorContains(t, err, "has no column OM here, as it has in other zones")
					require.ErrorContains(t, err, "soil.geojson: ")
				}
			}
		}
	}
}

func TestCombinationsThatReadAlikeAreRefused(t *testing.T) {
	f := square(t)
	_, _, err := Intersect(f.Ground, [][]rx.Zone{
		{strip(t, f, "a", true, -1000, 0), strip(t, f, "a x b", true, 0, 1000)},
		{strip(t, f, "b x c", true, -1000, 0), strip(t, f, "c", true, 0, 1000)},
	}, 0, unit.SI)
	require.ErrorContains(t, err, `both read "a x b x c"`)
}

func TestGroundThatALayerLacksIsLabelled(t *testing.T) {
	f := square(t)
	zones, notes, err := Intersect(f.Ground, [][]rx.Zone{{strip(t, f, "L", false, -1000, 0)}, {strip(t, f, "A", true, -1000, 1000)}}, 0, unit.SI)
	require.NoError(t, err)
	require.Len(t, zones, 2)
	require.Equal(t, "none x A", zones[1].ID)
	require.Contains(t, notes[0], "layer 1: ")
	require.Contains(t, notes[0], "labelled none")
}

func TestSmallPartsJoinWhatIsLikeThem(t *testing.T) {
	f := square(t)
	soil := []rx.Zone{strip(t, f, "L", false, -1000, 2), strip(t, f, "R", false, 2, 1000)}
	yield := []rx.Zone{strip(t, f, "W", false, -1000, 0), strip(t, f, "E", false, 0, 1000)}
	// L x E is a sliver 2 m wide: it differs from both neighbours in one label, and has the
	// same border with both but for the slant of the sides.
	zones, notes, err := Intersect(f.Ground, [][]rx.Zone{soil, yield}, unit.SquareMetres(2000), unit.SI)
	require.NoError(t, err)
	require.Len(t, zones, 2)
	require.Contains(t, notes[0], "1 part below 2000 m2")
	sum := 0.0
	for _, v := range areas(zones) {
		sum += v
	}
	require.InDelta(t, f.Ground.Area().SquareMetres(), sum, 1e-4)
}

func TestRandomLayersKeepTheGround(t *testing.T) {
	seed := rand.Uint64()
	t.Logf("seed %d", seed)
	rng := rand.New(rand.NewPCG(seed, 2))
	f := square(t)
	for range 8 {
		var layers [][]rx.Zone
		for range 2 + rng.IntN(2) {
			across := rng.IntN(2) == 0
			x := -150.0
			var zones []rx.Zone
			for x < 150 {
				next := x + 10 + 120*rng.Float64()
				if z := strip(t, f, string(rune('A'+len(zones))), across, math.Max(x, -1000), next); !z.Region.IsEmpty() {
					zones = append(zones, z)
				}
				x = next
			}
			layers = append(layers, zones)
		}
		zones, _, err := Intersect(f.Ground, layers, unit.SquareMetres(300), unit.SI)
		require.NoError(t, err) // which holds the areas to 1e-9
		for i := range zones {
			for j := range i {
				common, err := zones[i].Region.Intersect(zones[j].Region)
				require.NoError(t, err)
				require.Less(t, common.Area().SquareMetres(), 1e-3, "%s and %s overlap", zones[i].ID, zones[j].ID)
			}
		}
	}
	_, _, err := Intersect(f.Ground, nil, 0, unit.SI)
	require.Error(t, err)
}
