package rx

import (
	"errors"
	"fmt"

	"ratewright/geo"
	"ratewright/geo/unit"
)

// Field is one boundary less its cut-outs and setbacks, in the plane centred on
// the boundary.
type Field struct {
	Name      string
	Plane     geo.Plane
	Boundary  geo.Region // as drawn; a hole in it is ground outside the field
	Ground    geo.Region // Boundary less OffLimits: what may be treated
	OffLimits geo.Region // cut-outs and setbacks within Boundary
	Notes     []string
}

// Setback is ground closer than Distance to Around: points, lines or areas such
// as a well, a stream or an inlet. Around itself belongs to it.
type Setback struct {
	Around   geo.Outline
	Distance unit.Length
	Label    string // names it in errors and notes, e.g. the file it came from
}

// CutOut is ground within the boundary that is not treated: a waterway, a
// building.
type CutOut struct {
	Area  geo.Outline
	Label string // names it in errors and notes
}

// NewField builds a field from its boundary polygons. Cut-outs and setbacks may
// reach beyond the boundary; only what lies within it counts. A hole drawn in
// the boundary is outside the field and not off limits, which a note says.
//
// Errors: a boundary without polygons or with an invalid ring, a cut-out that
// is not an area, a distance of zero or less, and cut-outs and setbacks that
// leave no ground.
func NewField(name string, boundary geo.Outline, cutOuts []CutOut, setbacks []Setback) (Field, error) {
	f := Field{Name: name}
	if len(boundary.Polygons()) == 0 {
		return Field{}, errors.New("boundary: no polygon in it; give the field's outline as a polygon")
	}
	var err error
	if f.Plane, err = geo.PlaneFor(boundary); err != nil {
		return Field{}, fmt.Errorf("boundary: %w", err)
	}
	if f.Boundary, err = f.Plane.Region(boundary); err != nil {
		return Field{}, fmt.Errorf("boundary: %w", err)
	}
	f.noteHoles()
	closed := make([]geo.Region, 0, len(cutOuts)+len(setbacks))
	for _, c := range cutOuts {
		r, err := f.cutOut(c)
		if err != nil {
			return Field{}, err
		}
		closed = append(closed, r)
	}
	for _, s := range setbacks {
		r, err := f.setback(s)
		if err != nil {
			return Field{}, err
		}
		closed = append(closed, r)
	}
	if err := f.close(closed); err != nil {
		return Field{}, err
	}
	return f, nil
}

// noteHoles says what holes in the boundary mean, because they are easily taken
// for cut-outs.
func (f *Field) noteHoles() {
	holes := 0
	for _, p := range f.Boundary.Polygons() {
		holes += len(p) - 1
	}
	if holes > 0 {
		f.Notes = append(f.Notes, fmt.Sprintf("the boundary has %s drawn in it: that ground is outside the field, not off limits; draw it as a cut-out (exclude) for explicit zero rates there", countOf(holes, "hole")))
	}
}

func (f *Field) cutOut(c CutOut) (geo.Region, error) {
	if len(c.Area.Polygons()) == 0 {
		return geo.Region{}, fmt.Errorf("%s: a cut-out must be an area and this holds no polygon; use setbacks for points and lines", c.Label)
	}
	r, err := f.Plane.Region(c.Area)
	if err != nil {
		return geo.Region{}, fmt.Errorf("%s: %w", c.Label, err)
	}
	return f.within(r, c.Label)
}

func (f *Field) setback(s Setback) (geo.Region, error) {
	if s.Distance <= 0 {
		return geo.Region{}, fmt.Errorf("%s: a setback of %g m; give a distance above zero", s.Label, s.Distance.Metres())
	}
	if s.Around.IsEmpty() {
		return geo.Region{}, fmt.Errorf("%s: nothing in it to keep a distance from; give points, lines or areas", s.Label)
	}
	r, err := f.Plane.Buffer(s.Around, s.Distance)
	if err != nil {
		return geo.Region{}, fmt.Errorf("%s: %w", s.Label, err)
	}
	return f.within(r, s.Label)
}

// within cuts r to the boundary and notes where nothing of it is left.
func (f *Field) within(r geo.Region, label string) (geo.Region, error) {
	in, err := r.Intersect(f.Boundary)
	if err != nil {
		return geo.Region{}, fmt.Errorf("%s: %w", label, err)
	}
	if in.IsEmpty() {
		f.Notes = append(f.Notes, label+": lies wholly outside the field's boundary and changes nothing")
	}
	return in, nil
}

// close takes the off-limits parts out of the boundary.
func (f *Field) close(parts []geo.Region) error {
	f.Ground = f.Boundary
	if len(parts) == 0 {
		return nil
	}
	var err error
	if f.OffLimits, err = geo.UnionAll(parts); err != nil {
		return fmt.Errorf("cut-outs and setbacks: %w", err)
	}
	if f.OffLimits.IsEmpty() {
		return nil
	}
	if f.Ground, err = f.Boundary.Subtract(f.OffLimits); err != nil {
		return fmt.Errorf("boundary less cut-outs and setbacks: %w", err)
	}
	if f.Ground.IsEmpty() {
		return errors.New("cut-outs and setbacks cover the whole boundary; no ground is left to treat")
	}
	return nil
}
