package job

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/paulmach/orb"

	"ratewright/geo"
	"ratewright/geo/unit"
	"ratewright/geo/vector"
	"ratewright/rx"
	"ratewright/rx/layers"
)

// Ground is the field of a job with its zones, read from files.
type Ground struct {
	Field rx.Field
	Zones []rx.Zone // nil where the job has none
	Datum string    // of the boundary's file
	Notes []string
	// Inputs are the files that the job names, whichever step reads them, the job
	// file and siblings of shapefiles included: no output may overwrite one.
	Inputs []string
}

// opener reads inputs and gathers what is to be said of them.
type opener struct {
	notes []string
	// logNotes are about the files of a log, not about what they hold: they are
	// printed and not put into a result, which must not depend on how a log was
	// cut into files.
	logNotes []string
	ahead    *ahead // nil where no file is read ahead
}

// Open reads the boundary, cut-outs, setbacks and zones of the job.
func (j Job) Open() (Ground, error) {
	o := &opener{}
	if j.Zones != nil && j.Zones.File != "" {
		defer o.readAhead(j.Zones.File, j.Zones.CRS)()
	}
	g := Ground{Inputs: j.named(j.Applications)}
	var err error
	if g.Field, g.Datum, err = o.field(j); err != nil {
		return Ground{}, err
	}
	if j.Zones != nil {
		if g.Zones, err = o.zones(j, g); err != nil {
			return Ground{}, err
		}
	}
	g.Notes = o.notes
	return g, nil
}

// read reads a whole file of features and passes its notes on.
func (o *opener) read(path, crs string) (vector.Layer, error) {
	layer, err := o.layer(path, crs)
	if err != nil {
		return vector.Layer{}, err
	}
	for _, note := range layer.Notes {
		o.note(path, note)
	}
	for _, reason := range sortedKeys(layer.Skipped) {
		o.note(path, fmt.Sprintf("%d left out: %s", layer.Skipped[reason], reason))
	}
	return layer, nil
}

func (o *opener) note(path, text string) {
	name := filepath.Base(path)
	text = strings.ReplaceAll(text, filepath.Dir(path)+string(filepath.Separator), "")
	if !strings.HasPrefix(text, name) {
		text = name + ": " + text
	}
	o.notes = append(o.notes, text)
}

// withSiblings adds the other files of a shapefile, whatever the case of their
// letters.
func withSiblings(path string) []string {
	list := []string{path}
	if !strings.EqualFold(filepath.Ext(path), ".shp") {
		return list
	}
	entries, err := os.ReadDir(filepath.Dir(path))
	if err != nil {
		return list
	}
	stem := strings.TrimSuffix(filepath.Base(path), filepath.Ext(path))
	for _, e := range entries {
		name := e.Name()
		if strings.EqualFold(strings.TrimSuffix(name, filepath.Ext(name)), stem) && name != filepath.Base(path) {
			list = append(list, filepath.Join(filepath.Dir(path), name))
		}
	}
	return list
}

func (o *opener) field(j Job) (rx.Field, string, error) {
	spec := j.Field
	layer, err := o.read(spec.Boundary, spec.CRS)
	if err != nil {
		return rx.Field{}, "", err
	}
	features, err := spec.choose(layer)
	if err != nil {
		return rx.Field{}, "", err
	}
	boundary, err := polygons(spec.Boundary, features)
	if err != nil {
		return rx.Field{}, "", err
	}
	if err := spec.checkSize(boundary, layer); err != nil {
		return rx.Field{}, "", err
	}
	if len(features) > 1 && len(spec.Where) == 0 {
		o.note(spec.Boundary, fmt.Sprintf("all %d features are taken as parts of the field; `where:` chooses among them", len(features)))
	}
	cutOuts, err := o.cutOuts(spec)
	if err != nil {
		return rx.Field{}, "", err
	}
	setbacks, err := o.setbacks(spec)
	if err != nil {
		return rx.Field{}, "", err
	}
	field, err := rx.NewField(spec.Name, boundary, cutOuts, setbacks)
	if err != nil {
		if what, ok := strings.CutPrefix(err.Error(), "boundary: "); ok {
			return rx.Field{}, "", &vector.InputError{File: spec.Boundary, Place: "the boundary of " + spec.Name, What: what}
		}
		return rx.Field{}, "", fmt.Errorf("field %s: %w", spec.Name, err)
	}
	o.askSize(j, field)
	return field, layer.Datum, nil
}

// Fields have from some 1 ac to some 1,000 ac (common practice); an outline ten times
// as small or as large as that is asked about.
const (
	leastField = 0.1    // ac
	mostField  = 10_000 // ac
)

// askSize notes a field of a size that hardly any has.
func (o *opener) askSize(j Job, f rx.Field) {
	area := f.Boundary.Area()
	switch acres := area.Acres(); {
	case acres < leastField:
		o.note(j.Field.Boundary, fmt.Sprintf("the field has %s, and hardly any is as small: is this its outline, and its coordinate system right?", j.smallArea(area)))
	case acres > mostField:
		o.note(j.Field.Boundary, fmt.Sprintf("the field has %s, and hardly any is as large: is this its outline, and its coordinate system right?", j.Units.Area(area)))
	}
}

// smallArea words an area of which acres and hectares show little or nothing.
func (j Job) smallArea(a unit.Area) string {
	if j.Units == unit.US {
		return fmt.Sprintf("%.0f sq ft", a.SquareMetres()/(0.3048*0.3048))
	}
	return fmt.Sprintf("%.1f m²", a.SquareMetres())
}

// checkSize refuses a boundary too small for a field. Degrees that a file declares
// to be metres come out so: a field of 30 km is 0.3 degrees wide.
func (f FieldSpec) checkSize(boundary geo.Outline, layer vector.Layer) error {
	const least = 1e-5 // degrees: 1.1 m of latitude
	b, ok := boundary.Bounds()
	if !ok || b.Right()-b.Left() >= least || b.Top()-b.Bottom() >= least {
		return nil
	}
	return &vector.InputError{
		File: f.Boundary, Place: "the boundary of " + f.Name,
		What: fmt.Sprintf("is less than 2 m across, near longitude %.5f and latitude %.5f, when its coordinates are read as %s", b.Center().Lon(), b.Center().Lat(), layer.CRSName),
		Fix:  "if they are degrees, correct the coordinate system that the file declares to WGS 84 (EPSG:4326)",
	}
}

// choose keeps the features that `where:` names.
func (f FieldSpec) choose(layer vector.Layer) ([]vector.Feature, error) {
	features := layer.Features
	for _, w := range f.Where {
		kept, seen := []vector.Feature(nil), map[string]bool{}
		for _, feature := range features {
			v, ok := feature.Get(w.Column)
			if !ok {
				continue
			}
			seen[v.String()] = true
			if w.holds(v.String()) {
				kept = append(kept, feature)
			}
		}
		if len(kept) == 0 {
			return nil, f.noMatch(w, layer, sortedKeys(seen))
		}
		features = kept
	}
	if len(features) == 0 {
		return nil, &vector.InputError{File: f.Boundary, What: "holds no feature", Fix: "name a file with the field's outline"}
	}
	return features, nil
}

// holds compares as text, and by value where both are numbers: a table writes 7
// as 7.000000000000000.
func (w Equal) holds(text string) bool {
	if text == w.Text {
		return true
	}
	want, ok := rx.PlainNumber(w.Text)
	have, too := rx.PlainNumber(text)
	return ok && too && want == have
}

func (f FieldSpec) noMatch(w Equal, layer vector.Layer, seen []string) error {
	if len(seen) == 0 {
		names := make([]string, len(layer.Columns))
		for i, c := range layer.Columns {
			names[i] = c.Name
		}
		return &vector.InputError{
			File: f.Boundary, What: fmt.Sprintf("`where:` asks for column %q, which no feature has", w.Column),
			Fix: "its columns are " + strings.Join(names, ", "),
		}
	}
	const show = 12
	fix := "its values are " + strings.Join(seen[:min(show, len(seen))], ", ")
	if len(seen) > show {
		fix += fmt.Sprintf(" and %d more", len(seen)-show)
	}
	return &vector.InputError{File: f.Boundary, What: fmt.Sprintf("no feature has %s = %q", w.Column, w.Text), Fix: fix}
}

// polygons joins features that are areas into one outline.
func polygons(path string, features []vector.Feature) (geo.Outline, error) {
	var all orb.MultiPolygon
	for _, f := range features {
		mp := f.Outline.Polygons()
		if len(mp) == 0 {
			return geo.Outline{}, &vector.InputError{
				File: path, Place: fmt.Sprintf("record %d", f.At.Record), What: "is not an area",
				Fix: "draw it as a polygon",
			}
		}
		all = append(all, mp...)
	}
	return geo.NewOutline(all)
}

func (o *opener) cutOuts(spec FieldSpec) ([]rx.CutOut, error) {
	var list []rx.CutOut
	for _, path := range spec.Exclude {
		layer, err := o.read(path, spec.CRS)
		if err != nil {
			return nil, err
		}
		area, err := polygons(path, layer.Features)
		if err != nil {
			return nil, err
		}
		list = append(list, rx.CutOut{Area: area, Label: filepath.Base(path)})
	}
	return list, nil
}

func (o *opener) setbacks(spec FieldSpec) ([]rx.Setback, error) {
	var list []rx.Setback
	for _, s := range spec.Setbacks {
		layer, err := o.read(s.Around, spec.CRS)
		if err != nil {
			return nil, err
		}
		if len(layer.Features) == 0 {
			return nil, &vector.InputError{File: s.Around, What: "holds nothing to keep away from", Fix: "draw the well, inlet or stream in it, or leave the setback out"}
		}
		for _, f := range layer.Features {
			list = append(list, rx.Setback{Around: f.Outline, Distance: s.Distance, Label: filepath.Base(s.Around)})
		}
	}
	return list, nil
}

func (o *opener) zones(j Job, g Ground) ([]rx.Zone, error) {
	spec := j.Zones
	var zones []rx.Zone
	var err error
	if spec.Cluster != nil {
		made := *spec.Cluster
		made.Layers = j.takenFor(made.Layers)
		zones, err = o.clustered(&made, g.Field, j.Path)
	} else {
		zones, err = o.division(spec.LayerSpec, spec, g, j.Units)
	}
	if err != nil {
		return nil, err
	}
	if len(spec.Layers) > 0 {
		all := [][]rx.Zone{zones}
		for _, l := range spec.Layers {
			more, err := o.division(l, spec, g, j.Units)
			if err != nil {
				return nil, err
			}
			all = append(all, more)
		}
		var notes []string
		if zones, notes, err = layers.Intersect(g.Field.Ground, all, spec.MinPart, j.Units); err != nil {
			return nil, err
		}
		o.notes = append(o.notes, notes...)
	}
	if err := o.samples(j.takenFor(spec.Samples), g.Field, zones); err != nil {
		return nil, err
	}
	return zones, o.images(spec.Images, g, zones)
}

// division reads one division of the field into zones.
func (o *opener) division(spec LayerSpec, rules *ZonesSpec, g Ground, units unit.System) ([]rx.Zone, error) {
	layer, err := o.read(spec.File, spec.CRS)
	if err != nil {
		return nil, err
	}
	if len(layer.Features) == 0 {
		return nil, &vector.InputError{File: spec.File, What: "holds no zone: none of its records has a polygon", Fix: "name a file with the outlines of the zones, or export it again"}
	}
	if spec.Soil != nil {
		if err := o.soil(spec.Soil, g.Field, &layer); err != nil {
			return nil, err
		}
	}
	if err := spec.checkColumns(layer, rules.made()); err != nil {
		return nil, err
	}
	options := rx.DefaultZoneOptions()
	options.Units = units
	options.Overlap = map[string]rx.OverlapRule{"refuse": rx.OverlapRefuse, "first": rx.OverlapFirst, "last": rx.OverlapLast}[rules.Overlap]
	options.Gap = map[string]rx.GapRule{"unzoned": rx.GapUnzoned, "refuse": rx.GapRefuse, "fill": rx.GapFill}[rules.Gaps]
	if rules.Slivers != nil {
		options.SliverBelow = *rules.Slivers
	}
	if len(rules.Layers) > 0 {
		options.Unzoned = fmt.Sprintf("it is called %q in this layer, and has a rate by what the other layers and the job tell of it", layers.None)
	}
	zones, notes, err := rx.NewZones(g.Field, layer.Features, spec.ID, options)
	if err != nil {
		return nil, err
	}
	for _, n := range notes {
		if len(rules.Layers) > 0 {
			n = filepath.Base(spec.File) + ": " + n // which of the divisions
		}
		o.notes = append(o.notes, n)
	}
	if layer.Datum != "" && g.Datum != "" && layer.Datum != g.Datum {
		o.note(spec.File, fmt.Sprintf("its datum is %s, the boundary's %s: the two may lie a metre or two apart", layer.Datum, g.Datum))
	}
	return zones, nil
}

// made are the columns that the zones are given beside those of their file.
func (z ZonesSpec) made() []string {
	var names []string
	for _, s := range z.Samples {
		names = append(names, s.Name)
	}
	for _, i := range z.Images {
		names = append(names, i.Name)
	}
	return names
}

// checkColumns looks for the columns that the job names; made are still to come.
func (z LayerSpec) checkColumns(layer vector.Layer, made []string) error {
	var names []string
	for _, c := range layer.Columns {
		names = append(names, c.Name)
	}
	if len(names) == 0 {
		return &vector.InputError{
			File: z.File, What: "has no columns, so no zone has a name",
			Fix: "a shapefile keeps them in its .dbf, which belongs beside it under the same name",
		}
	}
	wanted := []string{z.ID}
	for _, role := range sortedKeys(z.Columns) {
		if !containsFold(made, z.Columns[role]) {
			wanted = append(wanted, z.Columns[role])
		}
	}
	for _, want := range wanted {
		if !containsFold(names, want) {
			return &vector.InputError{
				File: z.File, What: fmt.Sprintf("has no column %q, which the job names under zones", want),
				Fix: fmt.Sprintf("did you mean %q? its columns are %s", nearest(want, names), strings.Join(names, ", ")),
			}
		}
	}
	return nil
}

func containsFold(list []string, s string) bool {
	for _, have := range list {
		if strings.EqualFold(have, s) {
			return true
		}
	}
	return false
}
