package job

import (
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"sort"
	"strings"

	"github.com/paulmach/orb"

	"ratewright/asapplied"
	"ratewright/geo"
	"ratewright/geo/unit"
	"ratewright/geo/vector"
)

// Inspection says what is in one file, as far as it can be told.
type Inspection struct {
	File   string       `json:"file"`
	Kind   string       `json:"kind"` // "areas", "lines", "points", "log", or "unreadable"
	Layer  *LayerReport `json:"layer,omitempty"`
	Log    *LogReport   `json:"log,omitempty"`
	Faults []string     `json:"faults"`
	Notes  []string     `json:"notes"`
	err    error        // that kept the file from being read
	spec   []asapplied.ColumnUse
}

// LayerReport describes a file of features.
type LayerReport struct {
	Format   string         `json:"format"`
	CRS      string         `json:"crs"`
	Datum    string         `json:"datum"`
	Features int            `json:"features"`
	Skipped  map[string]int `json:"skipped"`
	Lon      [2]float64     `json:"lon"`
	Lat      [2]float64     `json:"lat"`
	AreaM2   *float64       `json:"area_m2"` // null where the outlines are no valid areas
	Columns  []ColumnReport `json:"columns"`
}

// ColumnReport describes a column by the values seen.
type ColumnReport struct {
	Name    string   `json:"name"`
	Numeric bool     `json:"numeric"`
	Values  int      `json:"values"`  // distinct, counted up to maxDistinct
	Samples []string `json:"samples"` // the first few
}

// LogReport describes a machine log.
type LogReport struct {
	Rows           int            `json:"rows"`
	Records        int            `json:"records"`
	Dropped        map[string]int `json:"dropped"`
	MedianInterval *float64       `json:"median_interval_s"` // null where the log has no time
	Start          string         `json:"start"`
	End            string         `json:"end"`
	Sections       int            `json:"sections"`
	Columns        []ColumnJSON   `json:"columns"`
}

// ColumnJSON is what one role of a log was taken from.
type ColumnJSON struct {
	Role    string   `json:"role"`
	Columns []string `json:"columns"`
	Unit    string   `json:"unit"`
	Of      string   `json:"of"`
	Why     string   `json:"why"`
}

const (
	maxDistinct = 1000
	maxSamples  = 5
)

// Report is what inspect found in several files.
type Report struct{ Files []Inspection }

// Inspect looks into files of any kind that a job can name.
func Inspect(paths []string) Report {
	var r Report
	for _, p := range paths {
		r.Files = append(r.Files, inspect(p))
	}
	return r
}

// Err joins the errors of files that could not be read.
func (r Report) Err() error {
	var errs []error
	for _, f := range r.Files {
		errs = append(errs, f.err)
	}
	return errors.Join(errs...)
}

// JSON is the summary of all files.
func (r Report) JSON() ([]byte, error) {
	return encodeJSON(struct {
		Schema string       `json:"schema"`
		Files  []Inspection `json:"files"`
	}{"ratewright/inspect/1", r.Files})
}

func inspect(path string) Inspection {
	in := Inspection{File: path, Kind: "unreadable", Faults: []string{}, Notes: []string{}}
	switch strings.ToLower(filepath.Ext(path)) {
	case ".geojson", ".json", ".shp", ".zip":
		if in.err = in.layer(path); in.err != nil {
			in.Faults = append(in.Faults, in.err.Error())
			return in
		}
		if in.Kind != "points" || in.Layer.Features < 3 {
			return in
		}
		if err := in.log(path); err != nil {
			in.Notes = append(in.Notes, "as a machine log: "+err.Error())
		}
	default:
		if in.err = in.log(path); in.err != nil {
			in.Faults = append(in.Faults, in.err.Error())
		}
	}
	return in
}

// layer reads the features one by one and keeps counts.
func (in *Inspection) layer(path string) (err error) {
	r, err := vector.Open(path, vector.Options{})
	if err != nil {
		return err
	}
	defer func() {
		if closeErr := r.Close(); err == nil {
			err = closeErr
		}
	}()
	seen := newColumns()
	kinds, count := map[string]int{}, 0
	var box orb.Bound
	var areas orb.MultiPolygon
	for {
		f, err := r.Read()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return err
		}
		if b, ok := f.Outline.Bounds(); ok && count == 0 {
			box = b
		} else if ok {
			box = box.Union(b)
		}
		count++
		kinds[kindOfOutline(f.Outline)]++
		areas = append(areas, f.Outline.Polygons()...)
		seen.add(f)
	}
	h := r.Header()
	in.Layer = &LayerReport{
		Format: h.Format, CRS: h.CRSName, Datum: h.Datum, Features: count, Skipped: h.Skipped,
		Lon: [2]float64{box.Min[0], box.Max[0]}, Lat: [2]float64{box.Min[1], box.Max[1]}, Columns: seen.reports(),
	}
	if in.Layer.Skipped == nil {
		in.Layer.Skipped = map[string]int{}
	}
	in.Notes = append(in.Notes, h.Notes...)
	in.Kind = mostly(kinds)
	if len(areas) > 0 {
		in.measure(areas)
	}
	return nil
}

func kindOfOutline(o geo.Outline) string {
	switch o.Geometry().(type) {
	case orb.Point, orb.MultiPoint:
		return "points"
	case orb.LineString, orb.MultiLineString:
		return "lines"
	default:
		return "areas"
	}
}

func mostly(kinds map[string]int) string {
	best := "unreadable"
	for _, k := range []string{"areas", "lines", "points"} {
		if kinds[k] > kinds[best] {
			best = k
		}
	}
	return best
}

// measure adds up the areas; what keeps an outline from being an area is a fault.
func (in *Inspection) measure(areas orb.MultiPolygon) {
	total := 0.0
	whole, err := geo.NewOutline(areas)
	if err != nil {
		in.Faults = append(in.Faults, err.Error())
		return
	}
	plane, err := geo.PlaneFor(whole)
	if err != nil {
		in.Faults = append(in.Faults, err.Error())
		return
	}
	for i, polygon := range areas {
		one, err := geo.NewOutline(polygon)
		if err == nil {
			var region geo.Region
			if region, err = plane.Region(one); err == nil {
				total += region.Area().SquareMetres()
				continue
			}
		}
		in.Faults = append(in.Faults, fmt.Sprintf("polygon %d: %v", i+1, err))
	}
	if len(in.Faults) == 0 {
		in.Layer.AreaM2 = &total
	}
}

// columns gathers what the values of each column look like.
type columns struct {
	order []string
	by    map[string]*ColumnReport
	seen  map[string]map[string]bool
}

func newColumns() *columns {
	return &columns{by: map[string]*ColumnReport{}, seen: map[string]map[string]bool{}}
}

func (c *columns) add(f vector.Feature) {
	for _, a := range f.Attributes {
		r := c.by[a.Name]
		if r == nil {
			r = &ColumnReport{Name: a.Name, Numeric: true, Samples: []string{}}
			c.by[a.Name], c.seen[a.Name] = r, map[string]bool{}
			c.order = append(c.order, a.Name)
		}
		text := a.Value.String()
		if _, ok := a.Value.Number(); !ok && !a.Value.IsNull() {
			r.Numeric = false
		}
		if a.Value.IsNull() || c.seen[a.Name][text] || r.Values == maxDistinct {
			continue
		}
		c.seen[a.Name][text] = true
		if r.Values++; len(r.Samples) < maxSamples {
			r.Samples = append(r.Samples, text)
		}
	}
}

func (c *columns) reports() []ColumnReport {
	out := []ColumnReport{}
	for _, name := range c.order {
		r := *c.by[name]
		r.Numeric = r.Numeric && r.Values > 0
		out = append(out, r)
	}
	return out
}

// log reads the file as a machine log. Where nothing says what its rates count,
// nitrogen is tried, and a note says that the job has to tell.
func (in *Inspection) log(path string) error {
	log, err := asapplied.ReadLog(asapplied.LogSpec{Files: []string{path}})
	if err != nil {
		again, err2 := asapplied.ReadLog(asapplied.LogSpec{Files: []string{path}, Of: unit.Nitrogen, HasOf: true})
		if err2 != nil {
			return err
		}
		log = again
		in.Notes = append(in.Notes, "nothing says whether its rates count nitrogen or product; nitrogen is shown, and the job must say it with `of:`")
	}
	in.Kind, in.spec = "log", log.Mapping
	r := &LogReport{Rows: log.Read, Records: log.Len(), Dropped: log.Dropped, Sections: log.Sections.N, Columns: []ColumnJSON{}}
	if r.Dropped == nil {
		r.Dropped = map[string]int{}
	}
	for _, u := range log.Mapping {
		r.Columns = append(r.Columns, ColumnJSON{u.Role, u.Columns, u.Unit, u.Of, u.Why})
	}
	r.times(log.TimeNS)
	in.Log, in.Notes = r, append(in.Notes, log.Notes...)
	return nil
}

// times tells the interval between records of the log in order of time.
func (r *LogReport) times(ns []int64) {
	if len(ns) == 0 {
		return
	}
	sorted := slices.Clone(ns)
	slices.Sort(sorted)
	r.Start, r.End = timeText(sorted[0]), timeText(sorted[len(sorted)-1])
	steps := make([]int64, 0, len(sorted))
	for i := 1; i < len(sorted); i++ {
		steps = append(steps, sorted[i]-sorted[i-1])
	}
	if len(steps) == 0 {
		return
	}
	sort.Slice(steps, func(i, j int) bool { return steps[i] < steps[j] })
	median := float64(steps[len(steps)/2]) / 1e9
	r.MedianInterval = &median
}
