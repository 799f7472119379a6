package asapplied

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/planar"

	"ratewright/geo"
	"ratewright/geo/cover"
	"ratewright/geo/unit"
)

// Kind is a kind of finding that has patches.
type Kind int

// The kinds, in the order in which patches are listed.
const (
	Missed Kind = iota
	Doubled
	Shallow
	Light
	Heavy
	Unprescribed
	Outside
	OffLimits
	Lapped
	kinds
)

// String is the kind's word in outputs.
func (k Kind) String() string {
	return [kinds]string{"missed", "doubled", "shallow", "light", "heavy", "unprescribed", "outside", "off_limits", "lapped"}[k]
}

// Kinds returns all kinds in their order.
func Kinds() []Kind {
	ks := make([]Kind, kinds)
	for i := range ks {
		ks[i] = Kind(i)
	}
	return ks
}

func bit(k Kind) uint32 { return 1 << k }

// Patch is a connected area of one kind. Patches of a kind do not overlap.
type Patch struct {
	Kind Kind
	// Polygons outline the patch in degrees with PatchDecimals decimals, shells
	// counter-clockwise; several only where parts meet in a point.
	Polygons orb.MultiPolygon
	Area     unit.Area // exact, from the faces
	N, Short unit.Mass // put down there, and below the prescription there
	HasN     bool
	HasShort bool
	// ZoneID is the zone that holds the largest part, "" where none does.
	ZoneID string
}

// PatchSums are the sums over the patches of one kind that are listed and of
// those too small to be.
type PatchSums struct {
	Listed, Small         int
	ListedArea, SmallArea unit.Area
}

// noSliversM2 is the area of slivers without an outline below which they are
// rounding and not worth a line.
const noSliversM2 = 1e-9

// PatchDecimals is the number of decimals of degrees in outlines of patches: a
// hundredth of a millimetre.
const PatchDecimals = 10

// degreeGrid is the grid of written degrees: steps of their last decimal.
type degreeGrid struct{ plane geo.Plane }

const degreeSteps = 1e10 // in a degree, as PatchDecimals says

// Steps returns the step nearest to a point of the plane.
func (g degreeGrid) Steps(m orb.Point) (x, y int64) {
	d := g.plane.Unproject(m)
	return int64(math.RoundToEven(d[0] * degreeSteps)), int64(math.RoundToEven(d[1] * degreeSteps))
}

// Point returns the degrees at a step.
func (degreeGrid) Point(x, y int64) orb.Point {
	return orb.Point{float64(x) / degreeSteps, float64(y) / degreeSteps}
}

// patches turns the sweep's patches into those of the field.
func (r *Reconciliation) patches(f *field, res cover.Result) {
	r.PatchSums = make(map[Kind]PatchSums)
	r.noteHeld(res)
	for _, p := range res.Patches {
		k := Kind(p.Kind)
		q := Patch{
			Kind: k, Polygons: p.Polygons, Area: unit.SquareMetres(p.AreaM2),
			// On missed ground nothing was put down, whatever the log knows.
			HasN:     r.Known.Nitrogen || k == Missed,
			HasShort: r.Known.Plan && (r.Known.Nitrogen || k == Missed),
		}
		if q.HasN {
			q.N = unit.Kilograms(p.Amounts[0])
		}
		if q.HasShort {
			q.Short = unit.Kilograms(p.Amounts[1])
		}
		if p.Label != cover.None {
			q.ZoneID = f.zones[p.Label].ID
		}
		r.Patches = append(r.Patches, q)
		s := r.PatchSums[k]
		s.Listed++
		s.ListedArea += q.Area
		r.PatchSums[k] = s
	}
	for k, small := range res.Small {
		if small.Count == 0 && small.AreaM2 < noSliversM2 {
			continue
		}
		s := r.PatchSums[Kind(k)]
		s.Small += small.Count
		s.SmallArea += unit.SquareMetres(small.AreaM2)
		r.PatchSums[Kind(k)] = s
	}
}

// noteHeld says how many outlines do not use the tolerance that was asked for.
func (r *Reconciliation) noteHeld(res cover.Result) {
	held := 0
	for i := range res.Patches {
		if res.Patches[i].Held {
			held++
		}
	}
	if held > 0 {
		r.Notes = append(r.Notes, fmt.Sprintf("%d of %d outlines of patches could not be thinned by the whole %v without crossing or losing their form, and were thinned by less.",
			held, len(res.Patches), r.Simplify))
	}
}

// Place is a point well inside the patch, in degrees: where its largest part is
// roomiest.
func (p Patch) Place() orb.Point {
	var largest orb.Polygon
	var most float64
	for _, part := range p.Polygons {
		if a := planar.Area(part); largest == nil || a > most {
			largest, most = part, a
		}
	}
	if len(largest) == 0 {
		return orb.Point{}
	}
	// A degree of longitude is shorter than one of latitude.
	narrow := math.Cos(largest[0][0].Lat() * math.Pi / 180)
	rings := make([]orb.Ring, len(largest))
	for i, r := range largest {
		rings[i] = make(orb.Ring, len(r))
		for k, q := range r {
			rings[i][k] = orb.Point{q[0] * narrow, q[1]}
		}
	}
	const metre = 9e-6 // degrees of latitude, about
	at, _ := geo.Roomiest(rings, metre, 400)
	return orb.Point{at[0] / narrow, at[1]}
}
