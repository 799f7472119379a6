package asapplied

import (
	"math"
	"slices"

	"github.com/paulmach/orb"
	"github.com/paulmach/orb/simplify"

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

// degrees returns the outline of a patch on the grid of written degrees. Rings
// that are thinner there than its step are left out.
func degrees(p geo.Plane, mp orb.MultiPolygon) orb.MultiPolygon {
	step := math.Pow10(-PatchDecimals)
	out := make(orb.MultiPolygon, 0, len(mp))
	for _, poly := range mp {
		q := make(orb.Polygon, 0, len(poly))
		for j, ring := range poly {
			r, width := writtenRing(p, ring)
			if j > 0 {
				width = -width
			}
			if width > step {
				q = append(q, r)
			} else if j == 0 {
				break
			}
		}
		if len(q) > 0 {
			out = append(out, q)
		}
	}
	return out
}

// writtenRing puts a ring on the grid of written degrees and returns its mean
// width in degrees, the area over half the length: positive for a ring that turns
// counter-clockwise.
func writtenRing(p geo.Plane, ring orb.Ring) (orb.Ring, float64) {
	const scale = 1e10
	r := make(orb.Ring, 0, len(ring))
	var area, length float64
	for _, m := range ring {
		d := p.Unproject(m)
		q := orb.Point{math.Round(d[0]*scale) / scale, math.Round(d[1]*scale) / scale}
		n := len(r)
		if n > 0 && r[n-1] == q {
			continue
		}
		if n > 0 {
			length += math.Abs(q[0]-r[n-1][0]) + math.Abs(q[1]-r[n-1][1])
			o := r[0]
			area += ((r[n-1][0]-o[0])*(q[1]-o[1]) - (q[0]-o[0])*(r[n-1][1]-o[1])) / 2
		}
		r = append(r, q)
	}
	if length == 0 {
		return r, 0
	}
	return r, area / (length / 2)
}

// simplified leaves out vertices by the rule of Douglas and Peucker (1973), so
// that no outline moves by more than the length given.
func simplified(mp orb.MultiPolygon, by unit.Length) orb.MultiPolygon {
	if by <= 0 {
		return mp
	}
	rule := simplify.DouglasPeucker(by.Metres())
	out := make(orb.MultiPolygon, 0, len(mp))
	for _, poly := range mp {
		q := make(orb.Polygon, 0, len(poly))
		for _, ring := range poly {
			if r := rule.Ring(slices.Clone(ring)); len(r) >= 4 {
				q = append(q, r)
			} else if len(q) == 0 {
				break
			}
		}
		if len(q) > 0 {
			out = append(out, q)
		}
	}
	return out
}

// patches turns the sweep's patches into those of the field.
func (r *Reconciliation) patches(f *field, res cover.Result, by unit.Length, workers int) {
	r.PatchSums = make(map[Kind]PatchSums)
	outlines := make([]orb.MultiPolygon, len(res.Patches))
	inTurn(len(outlines), workers, func(i int) {
		exact := res.Patches[i].Polygons
		if o, ok := geo.Mended(degrees(f.plane, simplified(exact, by)), PatchDecimals); ok && len(o) > 0 {
			outlines[i] = o
		} else if o, ok := geo.Mended(degrees(f.plane, exact), PatchDecimals); ok {
			outlines[i] = o
		}
	})
	for i, p := range res.Patches {
		k := Kind(p.Kind)
		outline := outlines[i]
		if len(outline) == 0 {
			s := r.PatchSums[k]
			s.Small++
			s.SmallArea += unit.SquareMetres(p.AreaM2)
			r.PatchSums[k] = s
			continue
		}
		q := Patch{
			Kind: k, Polygons: outline, Area: unit.SquareMetres(p.AreaM2),
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
