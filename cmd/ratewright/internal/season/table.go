package season

import (
	"crypto/sha256"
	"encoding/csv"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"

	"ratewright/cmd/ratewright/internal/outputs"
)

// Schema names the form of season.json.
const Schema = "ratewright/season/1"

// The names of the tables.
const (
	jsonName = "season.json"
	csvName  = "season.csv"
)

// Season is season.json.
type Season struct {
	Schema  string            `json:"schema"`
	Program string            `json:"program"` // SHA-256 of the executable
	Shard   *Shard            `json:"shard"`   // null for a whole season
	Jobs    int               `json:"jobs"`    // in all shards
	List    string            `json:"jobs_sha256"`
	Counts  Counts            `json:"counts"`
	Totals  Totals            `json:"totals"`
	Rows    []Row             `json:"rows"`
	Files   map[string]string `json:"files"` // name -> SHA-256
	Notes   []string          `json:"notes"`
}

// Counts counts rows. Beyond are those with a finding beyond what their job
// accepts, whether done or unchanged.
type Counts struct {
	Rows      int `json:"rows"`
	Done      int `json:"done"`
	Unchanged int `json:"unchanged"`
	Failed    int `json:"failed"`
	Beyond    int `json:"beyond"`
}

// newSeason makes the table of a run.
func newSeason(o Options, list List, rows []Row) Season {
	s := Season{Schema: Schema, Program: o.Program, Jobs: len(list.Jobs), List: listSum(list), Rows: rows, Notes: []string{}}
	if !o.Shard.whole() {
		s.Shard = &o.Shard
	}
	if n := len(list.NoJobs); n > 0 {
		what := "1 YAML file was passed over: it has no `field:` and is no job"
		if n > 1 {
			what = fmt.Sprintf("%d YAML files were passed over: they have no `field:` and are no jobs", n)
		}
		s.Notes = append(s.Notes, fmt.Sprintf("%s (%s)", what, someOf(list.NoJobs)))
	}
	s.Notes = append(s.Notes, list.Notes...)
	s.finish()
	return s
}

// listSum tells whether two shards were cut from the same list of jobs.
func listSum(list List) string {
	h := sha256.New()
	for _, f := range list.Jobs {
		fmt.Fprintf(h, "%q\n", f.Rel)
	}
	return hex.EncodeToString(h.Sum(nil))
}

// finish counts the rows and adds them up.
func (s *Season) finish() {
	s.Counts, s.Totals = Counts{Rows: len(s.Rows)}, totalsOf(s.Rows)
	if s.Rows == nil {
		s.Rows = []Row{}
	}
	for _, r := range s.Rows {
		switch r.State {
		case Done:
			s.Counts.Done++
		case Unchanged:
			s.Counts.Unchanged++
		case Failed:
			s.Counts.Failed++
		}
		if len(r.Findings) > 0 {
			s.Counts.Beyond++
		}
	}
}

// Set is the tables as files, and what else belongs to them.
func (s *Season) Set(more ...outputs.File) outputs.Set {
	files := append(more, outputs.File{Name: csvName, Write: s.writeCSV})
	return outputs.Set{Files: files, Summary: outputs.File{Name: jsonName, From: func(sums outputs.Sums) ([]byte, error) {
		doc := *s
		doc.Files = sums.Of(files)
		return encode(doc)
	}}}
}

// writeCSV writes a line for each row. What is not known is an empty cell.
func (s *Season) writeCSV(to io.Writer) error {
	head := []string{"number", "job", "field", "application", "state", "steps"}
	for _, k := range areaKeys {
		head = append(head, k+"_m2")
	}
	for _, k := range nitrogenKeys {
		head = append(head, "n_"+k+"_kg")
	}
	head = append(head, "product", "product_unit", "records_read", "records_used", "records_not_working", "records_dropped",
		"records_other_field", "findings", "notes", "seconds", "error")
	w := csv.NewWriter(to)
	if err := w.Write(head); err != nil {
		return err
	}
	for i := range s.Rows {
		if err := w.Write(s.Rows[i].cells()); err != nil {
			return err
		}
	}
	w.Flush()
	return w.Error()
}

// number writes all digits of v, as JSON does.
func number(v float64) string {
	form := byte('f')
	if a := math.Abs(v); a != 0 && (a < 1e-6 || a >= 1e21) {
		form = 'e'
	}
	return strconv.FormatFloat(v, form, -1, 64)
}

func known(v *float64) string {
	if v == nil {
		return ""
	}
	return number(*v)
}

func (r *Row) cells() []string {
	cells := []string{strconv.Itoa(r.Number), r.Job, r.Field, r.Application, string(r.State), strings.Join(r.Steps, " ")}
	for _, k := range areaKeys {
		cells = append(cells, known(r.AreaM2[k]))
	}
	for _, k := range nitrogenKeys {
		cells = append(cells, known(r.NitrogenKg[k]))
	}
	if r.Product != nil {
		cells = append(cells, number(r.Product.Value), r.Product.Unit)
	} else {
		cells = append(cells, "", "")
	}
	if c := r.Records; c != nil {
		for _, n := range []int{c.Read, c.Used, c.NotWorking, c.Dropped, c.OtherField} {
			cells = append(cells, strconv.Itoa(n))
		}
	} else {
		cells = append(cells, "", "", "", "", "")
	}
	return append(cells, strings.Join(r.Findings, "; "), strconv.Itoa(r.Notes), number(r.Seconds), r.Error)
}

// Failures lists the rows that failed, as job, application and reason.
func (s *Season) Failures() []string {
	var list []string
	for _, r := range s.Rows {
		if r.State == Failed {
			list = append(list, r.name()+": "+r.Error)
		}
	}
	return list
}

// Errors are those of the rows that failed in this run.
func (s *Season) Errors() []error {
	var list []error
	for _, r := range s.Rows {
		if r.err != nil {
			list = append(list, r.err)
		}
	}
	return list
}

// Beyond lists what passes what the jobs accept.
func (s *Season) Beyond() []string {
	var list []string
	for _, r := range s.Rows {
		for _, f := range r.Findings {
			list = append(list, r.name()+": "+f)
		}
	}
	return list
}

func (r *Row) name() string {
	if r.Application == "" {
		return r.Job
	}
	return r.Job + ", " + r.Application
}

// runAgain is what to do about a table that cannot be used.
const runAgain = "remove it and run the shard again"

// readSeason reads the season.json of a folder.
func readSeason(dir string) (Season, error) {
	path := filepath.Join(dir, jsonName)
	data, err := os.ReadFile(path)
	if err != nil {
		return Season{}, err
	}
	var s Season
	if err := json.Unmarshal(data, &s); err != nil {
		return Season{}, fmt.Errorf("%s: is not the table of a season: %w; the file is cut or was changed: %s", path, err, runAgain)
	}
	if s.Schema != Schema {
		return Season{}, fmt.Errorf("%s: is not the table of a season of this release (%q, not %q); %s", path, s.Schema, Schema, runAgain)
	}
	return s, nil
}

// refuseOtherShard keeps the shards of one season from writing over each other.
func refuseOtherShard(dir string, s Shard) error {
	if s.whole() {
		return nil
	}
	have, err := readSeason(dir)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil
	case err != nil:
		return err
	case have.Shard != nil && have.Shard.Of == s.Of && have.Shard.Index != s.Index:
		return fmt.Errorf("%s holds the table of shard %d/%d; give each shard a folder of its own with -o, such as %s",
			dir, have.Shard.Index, have.Shard.Of, filepath.Join(dir, s.folder()))
	}
	return nil
}
