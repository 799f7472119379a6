package job

import (
	"fmt"
	"math"
	"strings"

	"github.com/paulmach/orb"

	"ratewright/geo"
	"ratewright/geo/unit"
	"ratewright/geo/vector"
	"ratewright/rx"
	"ratewright/rx/soil"
	"ratewright/rx/surface"
)

// SampleSpec is a file of point samples, such as soil tests, that gives the zones a column.
type SampleSpec struct {
	TableSpec
	Name string // of the column

	taken  *soil.Property // what a method takes it for; nil where none does
	factor float64        // of its numbers to the unit of that
}

// sampleReachM is how far beyond the boundary a sample still tells of the field.
const sampleReachM = 50

// samples gives the zones a column of each file of samples: the mean over the zone of
// the surface through them.
func (o *opener) samples(specs []SampleSpec, f rx.Field, zones []rx.Zone) error {
	for _, s := range specs {
		surf, err := o.surface(s, f)
		if err != nil {
			return err
		}
		var errors []string
		for i := range zones {
			value, se, err := surf.MeanOver(grid(zones[i].Region))
			if err != nil {
				return err
			}
			if err := give(&zones[i], s.File, s.Name, value); err != nil {
				return err
			}
			if !math.IsNaN(se) {
				errors = append(errors, fmt.Sprintf("%s %.3g", zones[i].ID, se))
			}
		}
		if len(errors) > 0 {
			o.note(s.File, "mean kriging standard error of a place by zone: "+strings.Join(errors, ", "))
		}
		o.limited(s, surf)
	}
	return nil
}

// limited tells of values that were held to their limits.
func (o *opener) limited(s SampleSpec, surf surface.Surface) {
	if n := surf.LimitNote(); n != "" {
		o.note(s.File, s.Name+": "+n)
	}
}

// give gives a zone a column; NaN leaves it empty.
func give(z *rx.Zone, file, name string, value float64) error {
	if _, there := (vector.Feature{Attributes: z.Attributes}).Get(name); there {
		return &vector.InputError{File: file, What: fmt.Sprintf("is to give the zones a column %q, which they have already", name), Fix: "give it another name in the job"}
	}
	z.Attributes = append(z.Attributes, vector.Attribute{Name: name, Value: vector.NewNumber(value)})
	return nil
}

// surface is the one through a file of samples.
func (o *opener) surface(s SampleSpec, f rx.Field) (surface.Surface, error) {
	samples, err := o.sampled(s, f)
	if err != nil {
		return surface.Surface{}, err
	}
	limits := s.span(samples)
	if err := s.check(samples, limits); err != nil {
		return surface.Surface{}, err
	}
	options := surface.DefaultOptions()
	options.Low, options.High = limits.low, limits.high
	surf, err := surface.Fit(samples, options)
	if err != nil {
		return surface.Surface{}, &vector.InputError{File: s.File, What: err.Error(), Fix: "take more samples, or name a column of the zones"}
	}
	o.note(s.File, s.Name+" from "+surf.Words())
	for _, n := range surf.Notes {
		o.note(s.File, n)
	}
	return surf, nil
}

// sampled reads samples and leaves out and counts those far from the field.
func (o *opener) sampled(s SampleSpec, f rx.Field) ([]surface.Sample, error) {
	values, err := o.valued(&s.TableSpec)
	if err != nil {
		return nil, err
	}
	var list []surface.Sample
	var far, beside []string
	for _, v := range values {
		if err := s.possible(v.place, v.value); err != nil {
			return nil, err
		}
		p := orb.Point{math.NaN(), math.NaN()}
		if f.Plane.Fits(v.at) {
			p = f.Plane.Project(v.at)
		}
		if !(f.Boundary.Contains(p) || f.Boundary.DistanceTo(p) <= unit.Metres(sampleReachM)) {
			far = append(far, v.place)
			continue
		}
		if !f.Boundary.Contains(p) {
			beside = append(beside, v.place)
		}
		list = append(list, surface.Sample{At: p, Value: v.value, ID: v.place})
	}
	if len(beside) > 0 {
		o.note(s.File, fmt.Sprintf("%s outside the field, within %d m of it, and %s used: %s; leave out what was not taken for this field", samplesThat(len(beside), "lies", "lie"), sampleReachM, isOrAre(len(beside)), some(beside)))
	}
	if len(far) > 0 {
		o.note(s.File, fmt.Sprintf("%s more than %d m from the field and %s left out: %s", samplesThat(len(far), "lies", "lie"), sampleReachM, isOrAre(len(far)), some(far)))
	}
	return list, nil
}

// valued is a row with a value and where it lies.
type valued struct {
	place string // in the file
	at    geo.LonLat
	value float64
}

// valued reads rows with values, or the cover of counts; those without are left out and
// counted.
func (o *opener) valued(t *TableSpec) ([]valued, error) {
	rows, err := o.plots(t)
	if err != nil {
		return nil, err
	}
	var list []valued
	var empty []string
	for _, row := range rows {
		v, ok, err := t.number(row, "value")
		if err != nil {
			return nil, err
		}
		if !ok {
			empty = append(empty, row.place)
			continue
		}
		if _, counted := t.Columns["marks"]; counted {
			if v, err = t.cover(row, v); err != nil {
				return nil, err
			}
		}
		at, err := t.place(row)
		if err != nil {
			return nil, err
		}
		list = append(list, valued{row.place, at, v})
	}
	if len(empty) > 0 {
		o.note(t.File, fmt.Sprintf("%s no value and %s left out: %s", samplesThat(len(empty), "has", "have"), isOrAre(len(empty)), some(empty)))
	}
	return list, nil
}

// cover is the share of the ground under residue, percent, of a line transect: of the marks
// of a tape stretched at 45 degrees across the rows, how many lie on residue. Source:
// extension guides of Missouri (G1570), Nebraska and Kansas, with 100 marks.
func (t *TableSpec) cover(row plot, hits float64) (float64, error) {
	bad := func(what, fix string) error {
		return &vector.InputError{File: t.File, Place: row.place, What: what, Fix: fix}
	}
	marks, ok, err := t.number(row, "marks")
	if err != nil {
		return 0, err
	}
	if !ok {
		return 0, bad("has a count and no number of marks", "write how many marks of the tape were read, such as 100")
	}
	if marks < 1 || marks != math.Trunc(marks) || hits < 0 || hits > marks || hits != math.Trunc(hits) {
		return 0, bad(fmt.Sprintf("counts %g of %g marks on residue", hits, marks), "write whole numbers: the marks that lie on residue, and all marks that were read")
	}
	return 100 * hits / marks, nil
}

func some(places []string) string {
	const show = 5
	if len(places) > show {
		return strings.Join(places[:show], ", ") + fmt.Sprintf(" and %d more", len(places)-show)
	}
	return strings.Join(places, ", ")
}

// place is where a row lies: its point, or its columns of longitude and latitude.
func (t *TableSpec) place(row plot) (geo.LonLat, error) {
	if row.outline != nil {
		if p, ok := row.outline.Geometry().(orb.Point); ok {
			return geo.LonLat(p), nil
		}
		return geo.LonLat{}, &vector.InputError{File: t.File, Place: row.place, What: "is not a point", Fix: "give samples as points"}
	}
	var at geo.LonLat
	for i, role := range []string{"lon", "lat"} {
		v, ok, err := t.number(row, role)
		if err != nil {
			return at, err
		}
		if limit := []float64{180, 90}[i]; !ok || math.Abs(v) > limit {
			return at, &vector.InputError{File: t.File, Place: row.place, What: "has no " + role + " in degrees", Fix: "name the columns of longitude and latitude in degrees"}
		}
		at[i] = v
	}
	return at, nil
}

// grid are places spread evenly over a region, some hundreds of them.
func grid(r geo.Region) []orb.Point {
	const wanted = 400
	step := math.Sqrt(r.Area().SquareMetres() / wanted)
	b := r.Bound()
	var places []orb.Point
	for x := b.Left() + step/2; x < b.Right(); x += step {
		for y := b.Bottom() + step/2; y < b.Top(); y += step {
			if p := (orb.Point{x, y}); r.Contains(p) {
				places = append(places, p)
			}
		}
	}
	if len(places) == 0 {
		for _, polygon := range r.Polygons() {
			places = append(places, polygon[0]...)
		}
	}
	return places
}
