package rx

import (
	"fmt"
	"math"
	"math/rand"
	"os"
	"strconv"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"

	"ratewright/geo"
	"ratewright/geo/crs"
	"ratewright/geo/vector"
)

// grid is a field cut into square zones, as a program that makes zones of pixels
// gives them: neighbours have their corners in common to the last bit, and cells
// of one zone touch at corners.
type grid struct {
	Seed           int64
	Nx, Ny         int
	Cell           float64 // m
	IDs            int
	Turned         float64 // degrees
	Lat, Lon       float64
	In             string // degrees, UTM, or UTM with the boundary in degrees
	Checkerboard   bool
	OneByOne       bool // each cell a feature of its own, else a zone one of many parts
	Left           float64
	Hole, CutOut   bool
	Margin         float64 // m by which the boundary lies within the grid
	BetweenCorners bool    // the boundary has a corner in the middle of a side
}

func drawGrid(seed int64) grid {
	r := rand.New(rand.NewSource(seed))
	g := grid{
		Seed: seed, Nx: 2 + r.Intn(31), Ny: 2 + r.Intn(15), Cell: 10 + 40*r.Float64(), IDs: 2 + r.Intn(5),
		Lat: []float64{42, 35.3, 46.8, -33.1, 55, -21}[r.Intn(6)], Lon: []float64{-93.1, 25.7, 150.1}[r.Intn(3)],
		In: []string{"degrees", "degrees", "UTM", "mixed"}[r.Intn(4)], Checkerboard: r.Intn(4) == 0,
		OneByOne: r.Intn(2) == 0, Hole: r.Intn(4) == 0, CutOut: r.Intn(3) == 0, BetweenCorners: r.Intn(4) == 0,
	}
	if r.Intn(2) == 0 {
		g.Cell = 25
	}
	if r.Intn(3) == 0 {
		g.Turned = 360 * r.Float64()
	}
	if r.Intn(3) == 0 {
		g.Left = 0.3 * r.Float64()
	}
	if r.Intn(3) == 0 {
		g.Margin = []float64{0.0005, 0.001, 0.002, 0.01, 3.3, -4}[r.Intn(6)]
	}
	return g
}

// at is the position of a place of the grid, in metres from its corner.
func (g grid) at(t testing.TB, in string) func(x, y float64) orb.Point {
	sin, cos := math.Sincos(g.Turned * math.Pi / 180)
	turned := func(x, y float64) (float64, float64) { return cos*x - sin*y, sin*x + cos*y }
	if in == "degrees" {
		east := 111320 * math.Cos(g.Lat*math.Pi/180)
		return func(x, y float64) orb.Point {
			x, y = turned(x, y)
			return orb.Point{g.Lon + x/east, g.Lat + y/110900}
		}
	}
	zone := int(math.Floor((g.Lon+180)/6)) + 1
	code := 32600 + zone
	if g.Lat < 0 {
		code += 100
	}
	c, err := crs.FromEPSG(code)
	require.NoError(t, err)
	e, n, err := c.FromDegrees(g.Lon, g.Lat)
	require.NoError(t, err)
	return func(x, y float64) orb.Point {
		x, y = turned(x, y)
		lon, lat, err := c.ToDegrees(e+x, n+y)
		require.NoError(t, err)
		return orb.Point{lon, lat}
	}
}

// scene draws the grid's field and the features of its zones.
func (g grid) scene(t testing.TB) (Field, []vector.Feature) {
	r := rand.New(rand.NewSource(-g.Seed - 1))
	zoneAt, edgeAt := g.at(t, g.In), g.at(t, map[string]string{"degrees": "degrees", "UTM": "UTM", "mixed": "degrees"}[g.In])
	box := func(at func(x, y float64) orb.Point, x0, y0, x1, y1 float64) orb.Ring {
		return orb.Ring{at(x0, y0), at(x1, y0), at(x1, y1), at(x0, y1), at(x0, y0)}
	}
	w, h := g.Cell*float64(g.Nx), g.Cell*float64(g.Ny)
	boundary := orb.Polygon{box(edgeAt, g.Margin, g.Margin, w-g.Margin, h-g.Margin)}
	if g.BetweenCorners {
		x := g.Cell * math.Floor(float64(g.Nx)/2)
		boundary[0] = append(boundary[0][:1:1], append(orb.Ring{edgeAt(x, g.Margin)}, boundary[0][1:]...)...)
	}
	if g.Hole {
		boundary = append(boundary, box(edgeAt, g.Cell, g.Cell, 1.5*g.Cell, 1.37*g.Cell))
	}
	var cuts []CutOut
	if g.CutOut {
		cuts = append(cuts, CutOut{outline(t, orb.Polygon{box(edgeAt, 0.4*w, 0.52*h, 0.47*w, 0.9*h)}), "cut-out"})
	}
	f, err := NewField("grid", outline(t, boundary), cuts, nil)
	require.NoError(t, err)
	parts := make([]orb.MultiPolygon, g.IDs)
	var features []vector.Feature
	add := func(id int, geometry orb.Geometry) {
		features = append(features, feature(len(features)+1, outline(t, geometry), "ZONE", fmt.Sprint("z", id), "N_LB_AC", 100+5*id))
	}
	for i := range g.Nx {
		for j := range g.Ny {
			id := r.Intn(g.IDs)
			if g.Checkerboard {
				id = (i + j) % g.IDs
			}
			if len(features)+len(parts[0]) > 0 && r.Float64() < g.Left {
				continue
			}
			x, y := g.Cell*float64(i), g.Cell*float64(j)
			cell := orb.Polygon{box(zoneAt, x, y, g.Cell*float64(i+1), g.Cell*float64(j+1))}
			if g.OneByOne {
				add(id, cell)
				continue
			}
			parts[id] = append(parts[id], cell)
		}
	}
	for id, mp := range parts {
		if len(mp) > 0 {
			add(id, mp)
		}
	}
	return f, features
}

// TestMapsOfGrids: whatever the grid of good zones, its map is taken. GRIDS=N
// tries so many, GRID=seed one alone.
func TestMapsOfGrids(t *testing.T) {
	first, count := int64(1), 24
	if n, err := strconv.Atoi(os.Getenv("GRIDS")); err == nil {
		count = n
	}
	if seed, err := strconv.ParseInt(os.Getenv("GRID"), 10, 64); err == nil {
		first, count = seed, 1
	}
	for seed := first; seed < first+int64(count); seed++ {
		g := drawGrid(seed)
		t.Run(fmt.Sprint("seed ", seed), func(t *testing.T) {
			t.Logf("%+v", g)
			f, features := g.scene(t)
			o := DefaultZoneOptions()
			o.Overlap = OverlapFirst
			zones, _, err := NewZones(f, features, "ZONE", o)
			require.NoError(t, err)
			p, err := Prescribe(f, zones, sidedress(t))
			require.NoError(t, err)
			require.InEpsilon(t, m2(f.Ground), p.ZoneArea().SquareMetres()+m2(p.Unzoned), 1e-9)
			m, err := p.RateMap()
			require.NoError(t, err)
			require.Empty(t, Refused(CheckRateMap(m, f, Limits{}, DefaultCheckOptions())))
			plainPolygons(t, m)
			oneLayer(t, m, f)
		})
	}
}

// oneLayer fails where polygons of a map overlap or leave a gap between them. Every
// edge has its like in the other direction to the last bit, but those along the
// boundary: so each spot within lies in as many polygons as its neighbours, and by
// their areas in one.
func oneLayer(t require.TestingT, m RateMap, f Field) {
	count := map[[2]orb.Point]int{}
	sum := 0.0
	for _, ft := range m.Features {
		for _, ring := range ft.Polygon {
			for k := 0; k+1 < len(ring); k++ {
				count[[2]orb.Point{ring[k], ring[k+1]}]++
			}
			sum += signedArea(m.Plane, ring)
		}
	}
	length, offM := 0.0, 0.0
	for e, n := range count {
		require.Equal(t, 1, n, "an edge of two polygons on one side at %v", e)
		if count[[2]orb.Point{e[1], e[0]}] > 0 {
			continue
		}
		a, b := m.Plane.Project(geo.LonLat(e[0])), m.Plane.Project(geo.LonLat(e[1]))
		length += math.Hypot(b[0]-a[0], b[1]-a[1])
		for _, q := range []orb.Point{a, b, {(a[0] + b[0]) / 2, (a[1] + b[1]) / 2}} {
			offM = max(offM, offBoundary(f, q))
		}
	}
	allowed := 0.004 + sagging(f)
	require.LessOrEqual(t, offM, allowed, "an edge within the field without a neighbour")
	require.InDelta(t, m2(f.Boundary), sum, allowed*length)
}

func signedArea(p geo.Plane, ring orb.Ring) float64 {
	twice := 0.0
	for k := 0; k+1 < len(ring); k++ {
		a, b := p.Project(geo.LonLat(ring[k])), p.Project(geo.LonLat(ring[k+1]))
		twice += a[0]*b[1] - a[1]*b[0]
	}
	return twice / 2
}

// offBoundary is how far a place is from the field's boundary.
func offBoundary(f Field, q orb.Point) float64 {
	least := math.Inf(1)
	for _, poly := range f.Boundary.Polygons() {
		for _, ring := range poly {
			for k := 0; k+1 < len(ring); k++ {
				s, off := alongEdge(ring[k], ring[k+1], q)
				d := math.Abs(off)
				if s < 0 {
					d = math.Hypot(q[0]-ring[k][0], q[1]-ring[k][1])
				} else if s > 1 {
					d = math.Hypot(q[0]-ring[k+1][0], q[1]-ring[k+1][1])
				}
				least = min(least, d)
			}
		}
	}
	return least
}

// sagging is how far the boundary's longest diagonal, drawn straight in degrees,
// can lie from the one straight in the plane, on a sphere of 6,371 km.
func sagging(f Field) float64 {
	b := f.Boundary.Bound()
	l2 := math.Pow(b.Max[0]-b.Min[0], 2) + math.Pow(b.Max[1]-b.Min[1], 2)
	lat := f.Plane.Unproject(b.Center()).Lat() * math.Pi / 180
	return l2 * math.Abs(math.Tan(lat)) / (8 * 6.371e6)
}
