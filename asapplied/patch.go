package asapplied

import (
	"math"

	"github.com/paulmach/orb"

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

// PatchDecimals is the number of decimals of degrees in outlines of patches: a
// hundredth of a millimetre.
const PatchDecimals = 10

// degrees returns the outline of a patch on the grid of written degrees.
func degrees(p geo.Plane, mp orb.MultiPolygon) orb.MultiPolygon {
	const scale = 1e10
	out := make(orb.MultiPolygon, len(mp))
	for i, poly := range mp {
		out[i] = make(orb.Polygon, len(poly))
		for j, ring := range poly {
			r := make(orb.Ring, len(ring))
			for k, m := range ring {
				d := p.Unproject(m)
				r[k] = orb.Point{math.Round(d[0]*scale) / scale, math.Round(d[1]*scale) / scale}
			}
			out[i][j] = r
		}
	}
	return out
}

// patches turns the sweep's patches into those of the field.
func (r *Reconciliation) patches(f *field, res cover.Result) {
	r.PatchSums = make(map[Kind]PatchSums)
	for _, p := range res.Patches {
		k := Kind(p.Kind)
		q := Patch{
			Kind: k, Polygons: degrees(f.plane, p.Polygons), Area: unit.SquareMetres(p.AreaM2),
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
		s := r.PatchSums[Kind(k)]
		s.Small += small.Count
		s.SmallArea += unit.SquareMetres(small.AreaM2)
		r.PatchSums[Kind(k)] = s
	}
}
