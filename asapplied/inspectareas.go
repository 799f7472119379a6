package asapplied

import (
	"fmt"

	"github.com/paulmach/orb"

	"ratewright/geo"
)

// maxAreaFaults bounds the faults that one file of polygons can list.
const maxAreaFaults = 10

// areaTally adds up the polygons of a file, each in its own plane, and keeps
// what makes one of them no valid area.
type areaTally struct {
	count  int
	bounds orb.Bound
	areaM2 float64
	faults []string
	more   int
	keep   bool             // the polygons, for a file that is no log
	ground orb.MultiPolygon // them
}

func (t *areaTally) add(w *row) {
	if b, ok := w.outline.Bounds(); ok {
		if t.count == 0 {
			t.bounds = b
		}
		t.bounds = t.bounds.Union(b)
	}
	t.count++
	if t.keep {
		t.ground = append(t.ground, w.outline.Polygons()...)
	}
	err := func() error {
		plane, err := geo.PlaneFor(w.outline)
		if err != nil {
			return err
		}
		region, err := plane.Region(w.outline)
		if err == nil {
			t.areaM2 += region.Area().SquareMetres()
		}
		return err
	}()
	switch {
	case err == nil:
	case len(t.faults) < maxAreaFaults:
		t.faults = append(t.faults, fmt.Sprintf("record %d: %s", w.line, err))
	default:
		t.more++
	}
}

// finish hands over to the inspection.
func (t *areaTally) finish(in *Inspection) {
	in.Faults = append(in.Faults, t.faults...)
	if t.more > 0 {
		in.Faults = append(in.Faults, fmt.Sprintf("%d more records have faults of this kind", t.more))
	}
	if t.count > 0 {
		in.Bounds = &Bounds{t.bounds.Min[0], t.bounds.Min[1], t.bounds.Max[0], t.bounds.Max[1]}
	}
	if t.count > 0 && len(t.faults) == 0 {
		area := t.areaM2
		in.AreaM2 = &area
	}
}
