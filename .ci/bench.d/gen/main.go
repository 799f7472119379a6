// Command gen makes up a field, its log and its jobs in a folder, for .ci/bench,
// and prints how many records and quads the log has.
package main

import (
	"flag"
	"fmt"
	"log"

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
	flag.Parse()
	s.CoverageOnly = !s.Vary
	w, err := fieldlog.Make(s)
	if err == nil {
		err = w.WriteFolder(flag.Arg(0), f)
	}
	if err != nil {
		log.Fatal(err)
	}
	fmt.Printf(`{"records": %d, "quads": %d}`+"\n", len(w.Records), w.Quads())
}
