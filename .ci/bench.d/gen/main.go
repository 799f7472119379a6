// Command gen makes up a field, its log and its jobs in a folder, for .ci/bench,
// and prints how many records and quads the log has. With -fields it makes a season:
// a folder for each field, with the job of every output alone, and prints the sums.
package main

import (
	"flag"
	"fmt"
	"log"
	"os"
	"path/filepath"

	"ratewright/asapplied/fieldlog"
)

func main() {
	log.SetFlags(0)
	var s fieldlog.Spec
	var f fieldlog.Folder
	flag.IntVar(&s.Records, "records", 66_000, "about how many records")
	flag.BoolVar(&s.Vary, "vary", false, "rate and depth change at every record")
	flag.BoolVar(&s.Wild, "wild", false, "so much that every other record is beyond tolerance; with -vary")
	flag.BoolVar(&s.Chatter, "chatter", false, "every section switches at random")
	flag.Float64Var(&s.JitterDeg, "jitter", 0, "standard deviation of the heading, degrees")
	flag.Float64Var(&s.AlternateDeg, "alternate", 0, "degrees by which the heading turns to one side and the other in turns")
	flag.Float64Var(&s.Step, "step", fieldlog.StepM, "metres between two records")
	flag.Float64Var(&s.SpinDeg, "spin", 0, "degrees that a record turns further on the spot while standing")
	flag.IntVar(&s.Standing, "standing", 0, "records logged while standing")
	flag.IntVar(&s.Sections, "sections", fieldlog.Sections, "number of sections")
	flag.IntVar(&f.Files, "files", 1, "into how many files the log is cut")
	flag.IntVar(&f.Zones, "zones", 0, "zones along each side of a square grid")
	flag.IntVar(&f.Vertices, "vertices", 0, "vertices of the boundary")
	fields := flag.Int("fields", 0, "how many fields of a season")
	flag.Parse()
	s.CoverageOnly = !s.Vary
	records, quads := 0, 0
	for i := range max(*fields, 1) {
		folder := flag.Arg(0)
		if *fields > 0 {
			folder = filepath.Join(folder, fmt.Sprintf("%04d", i+1))
		}
		s.Seed = uint64(i)
		w, err := fieldlog.Make(s)
		if err == nil {
			err = w.WriteFolder(folder, f)
		}
		if err == nil && *fields > 0 {
			err = os.Remove(filepath.Join(folder, fieldlog.SumsJob))
		}
		if err != nil {
			log.Fatal(err)
		}
		records, quads = records+len(w.Records), quads+w.Quads()
	}
	fmt.Printf(`{"records": %d, "quads": %d}`+"\n", records, quads)
}
