// Command gen makes up a field, its log and its job in a folder, for .ci/bench.
package main

import (
	"bufio"
	"bytes"
	"flag"
	"fmt"
	"log"
	"math"
	"os"
	"path/filepath"

	"github.com/paulmach/orb"

	"ratewright/asapplied/fieldlog"
)

func main() {
	log.SetFlags(0)
	var s fieldlog.Spec
	flag.IntVar(&s.Records, "records", 66_000, "about how many records")
	flag.BoolVar(&s.Vary, "vary", false, "rate and depth change at every record")
	flag.BoolVar(&s.Chatter, "chatter", false, "every section switches at random")
	flag.Float64Var(&s.JitterDeg, "jitter", 0, "standard deviation of the heading, degrees")
	flag.IntVar(&s.Standing, "standing", 0, "records logged while standing")
	flag.IntVar(&s.Sections, "sections", fieldlog.Sections, "number of sections")
	files := flag.Int("files", 1, "into how many files the log is cut")
	zones := flag.Int("zones", 0, "zones along each side of a square grid")
	vertices := flag.Int("vertices", 0, "vertices of the boundary")
	flag.Parse()
	s.CoverageOnly = !s.Vary
	if err := write(s, flag.Arg(0), *files, *zones, *vertices); err != nil {
		log.Fatal(err)
	}
}

func write(s fieldlog.Spec, dir string, files, zones, vertices int) error {
	w, err := fieldlog.Make(s)
	if err != nil {
		return err
	}
	if err := os.MkdirAll(dir, 0o777); err != nil {
		return err
	}
	var text bytes.Buffer
	if err := w.WriteCSV(&text); err != nil {
		return err
	}
	names, err := cut(text.Bytes(), dir, files)
	if err != nil {
		return err
	}
	if vertices > 0 {
		w.Boundary = orb.Polygon{wavy(&w, vertices)}
	}
	var outline bytes.Buffer
	if err := w.WriteBoundary(&outline); err != nil {
		return err
	}
	if err := os.WriteFile(filepath.Join(dir, "boundary.geojson"), outline.Bytes(), 0o666); err != nil {
		return err
	}
	if err := writeZones(&w, dir, zones); err != nil {
		return err
	}
	for _, patches := range []string{"none", "all"} {
		if err := os.WriteFile(filepath.Join(dir, patches+".yaml"), []byte(job(s, names, zones, patches)), 0o666); err != nil {
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

// wavy is the field's outline as a wave of 3 m around a circle.
func wavy(w *fieldlog.Work, vertices int) orb.Ring {
	r := make(orb.Ring, 0, vertices+1)
	half := w.SideM / 2
	for i := range vertices {
		a := 2 * math.Pi * float64(i) / float64(vertices)
		d := half + 3*math.Sin(a*float64(vertices)/50)
		r = append(r, orb.Point(w.Plane.Unproject(orb.Point{half + d*math.Cos(a), half + d*math.Sin(a)})))
	}
	return append(r, r[0])
}

// writeZones writes a grid of n by n zones with rates.
func writeZones(w *fieldlog.Work, dir string, n int) error {
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

func job(s fieldlog.Spec, files []string, zones int, patches string) string {
	t := "reconcile: {patches: " + patches + "}\nfield: {name: Made up, boundary: boundary.geojson}\n"
	rate := ""
	if zones > 0 {
		t += "zones: {file: zones.geojson, id: ID}\n"
		rate = "    rate: {column: RATE, unit: kg/ha, of: nitrogen}\n    source: uan-32\n"
	} else if s.Vary {
		t += "zones: {file: boundary.geojson, id: name}\n"
		rate = "    rate: {table: {made up: 190}, unit: kg/ha, of: nitrogen}\n    source: uan-32\n"
	}
	t += fmt.Sprintf("machines:\n  m: {width: 18 m, sections: %d}\napplications:\n  - name: side\n    machine: m\n    shallow: 8 cm\n%s    logs:\n      - files: [", s.Sections, rate)
	for i, f := range files {
		if i > 0 {
			t += ", "
		}
		t += f
	}
	columns, units := "", ""
	if s.Vary {
		columns, units = ", depth: depth_cm, rate: rate_kg_ha", ", depth: cm, rate: kg/ha"
	}
	return t + "]\n        columns: {time: time, lon: lon, lat: lat, heading: heading_deg, speed: speed_mps, sections: sections" + columns +
		"}\n        units: {speed: m/s" + units + "}\n        of: nitrogen\n        max_gap: 3 s\n"
}
