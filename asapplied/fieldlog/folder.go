package fieldlog

import (
	"bufio"
	"bytes"
	"fmt"
	"math"
	"math/bits"
	"os"
	"path/filepath"
	"strings"

	"github.com/paulmach/orb"
)

// Folder says how a work is written as the files of one job.
type Folder struct {
	// Files is into how many files the log is cut; 0 is one.
	Files int
	// Zones is the number of zones along each side of a square grid of them, each
	// with a rate; 0 is no such grid.
	Zones int
	// Vertices makes the boundary a circle with a wave of 3 m and so many corners.
	Vertices int
}

// The jobs of a folder: the sums alone, and with patches and every other output.
const (
	SumsJob    = "none.yaml"
	PatchesJob = "all.yaml"
)

// Quads is the number of quads that the sections of the log's records cover.
func (w *Work) Quads() int {
	n := 0
	for i := range w.Records {
		s := w.Records[i].Sections
		n += bits.OnesCount64(s &^ (s << 1)) // where a run of sections begins
	}
	return n
}

// WriteFolder writes the boundary, the log, the zones and the jobs. Where the
// work varies and has no grid of zones, the whole field is one zone of 190 kg/ha.
func (w *Work) WriteFolder(dir string, f Folder) error {
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return err
	}
	if f.Vertices > 0 {
		w.Boundary = orb.Polygon{w.wavy(f.Vertices)}
	}
	var text bytes.Buffer
	if err := w.WriteBoundary(&text); err != nil {
		return err
	}
	if err := os.WriteFile(filepath.Join(dir, "boundary.geojson"), text.Bytes(), 0o666); err != nil {
		return err
	}
	text.Reset()
	if err := w.WriteCSV(&text); err != nil {
		return err
	}
	names, err := cut(text.Bytes(), dir, max(f.Files, 1))
	if err != nil {
		return err
	}
	if err := w.writeZones(dir, f.Zones); err != nil {
		return err
	}
	for name, patches := range map[string]string{SumsJob: "none", PatchesJob: "all"} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(w.job(names, f.Zones > 0, patches)), 0o666); err != nil {
			return err
		}
	}
	return nil
}

// cut writes the log in files that each begin with the header.
func cut(text []byte, dir string, files int) ([]string, error) {
	head, rows, _ := bytes.Cut(text, []byte("\n"))
	lines := bytes.SplitAfter(rows, []byte("\n"))
	var names []string
	for i := range files {
		name := "log.csv"
		if files > 1 {
			name = fmt.Sprintf("log-%04d.csv", i)
		}
		names = append(names, name)
		part := append(append([]byte{}, head...), '\n')
		part = append(part, bytes.Join(lines[len(lines)*i/files:len(lines)*(i+1)/files], nil)...)
		if err := os.WriteFile(filepath.Join(dir, name), part, 0o666); err != nil {
			return nil, err
		}
	}
	return names, nil
}

// wavy is a circle about the field with a wave of 3 m, 50 corners a wave.
func (w *Work) wavy(vertices int) orb.Ring {
	r := make(orb.Ring, 0, vertices+1)
	half := w.SideM / 2
	for i := range vertices {
		a := 2 * math.Pi * float64(i) / float64(vertices)
		d := half + 3*math.Sin(a*math.Round(float64(vertices)/50))
		r = append(r, orb.Point(w.Plane.Unproject(orb.Point{half + d*math.Cos(a), half + d*math.Sin(a)})))
	}
	return append(r, r[0])
}

// writeZones writes a grid of n by n zones with rates.
func (w *Work) writeZones(dir string, n int) error {
	if n == 0 {
		return nil
	}
	f, err := os.Create(filepath.Join(dir, "zones.geojson"))
	if err != nil {
		return err
	}
	b := bufio.NewWriter(f)
	fmt.Fprint(b, `{"type":"FeatureCollection","features":[`)
	corner := func(i, j int) orb.Point {
		p := w.Plane.Unproject(orb.Point{w.SideM * float64(i) / float64(n), w.SideM * float64(j) / float64(n)})
		return orb.Point(p)
	}
	for i := range n {
		for j := range n {
			if i+j > 0 {
				b.WriteByte(',')
			}
			fmt.Fprintf(b, `{"type":"Feature","properties":{"ID":"%d-%d","RATE":%d},"geometry":{"type":"Polygon","coordinates":[[`, i, j, 150+(i*7+j*13)%60)
			for k, c := range []orb.Point{corner(i, j), corner(i+1, j), corner(i+1, j+1), corner(i, j+1), corner(i, j)} {
				if k > 0 {
					b.WriteByte(',')
				}
				fmt.Fprintf(b, "[%.10f,%.10f]", c[0], c[1])
			}
			fmt.Fprint(b, `]]}}`)
		}
	}
	fmt.Fprint(b, `]}`)
	if err := b.Flush(); err != nil {
		return err
	}
	return f.Close()
}

// job is the job file of the log in files.
func (w *Work) job(files []string, grid bool, patches string) string {
	t := "reconcile: {patches: " + patches + "}\nfield: {name: Made up, boundary: boundary.geojson}\n"
	rate, columns, units := "", "", ""
	switch {
	case grid:
		t += "zones: {file: zones.geojson, id: ID}\n"
		rate = "    rate: {column: RATE, unit: kg/ha, of: nitrogen}\n    source: uan-32\n"
	case w.Spec.Vary:
		t += "zones: {file: boundary.geojson, id: name}\n"
		rate = "    rate: {table: {made up: 190}, unit: kg/ha, of: nitrogen}\n    source: uan-32\n"
	}
	if !w.Spec.CoverageOnly {
		columns, units = ", depth: depth_cm, rate: rate_kg_ha", ", depth: cm, rate: kg/ha"
	}
	return t + fmt.Sprintf(`machines:
  m: {width: %g m, sections: %d}
applications:
  - name: side
    machine: m
    shallow: 8 cm
%s    logs:
      - files: [%s]
        columns: {time: time, lon: lon, lat: lat, heading: heading_deg, speed: speed_mps, sections: sections%s}
        units: {speed: m/s%s}
        of: nitrogen
        max_gap: 3 s
`, WidthM, w.Spec.Sections, rate, strings.Join(files, ", "), columns, units)
}
