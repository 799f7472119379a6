package season

import (
	"cmp"
	"fmt"
	"io"
	"net/url"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"ratewright/cmd/ratewright/internal/job"
	"ratewright/cmd/ratewright/internal/outputs"
	"ratewright/cmd/ratewright/page"
)

const pageName = "season.html"

// Set is the tables and the page as files.
func (res *Result) Set() outputs.Set {
	return res.Season.Set(outputs.File{Name: pageName, Write: func(w io.Writer) error {
		html, err := res.sheet().HTML()
		if err != nil {
			return err
		}
		_, err = w.Write(html)
		return err
	}})
}

// caution stands below the list; each field's own page has those of its products.
const caution = "These figures follow from the jobs and the logs given and are not a recommendation. The product label, the nutrient management plan, and state and local rules set what may be applied, when and by whom; each field's page has the cautions for its products."

// sheet is the page of the season: the fields in the order in which they need
// attention.
func (res *Result) sheet() page.Season {
	s := &res.Season
	out := page.Season{
		Title: plural(fields(s.Rows), "field"),
		Order: "First what failed, then what is beyond what its job accepts, then by the share of the prescribed nitrogen that is short or, where that is not known, of the field that was missed.",
		Lead: []page.Figure{
			{Name: "failed", Value: strconv.Itoa(s.Counts.Failed), Key: "counts.failed", Alarm: s.Counts.Failed > 0},
			{Name: "beyond what is accepted", Value: strconv.Itoa(s.Counts.Beyond), Key: "counts.beyond", Alarm: s.Counts.Beyond > 0},
			{Name: "done", Value: strconv.Itoa(s.Counts.Done), Key: "counts.done"},
			{Name: "unchanged", Value: strconv.Itoa(s.Counts.Unchanged), Key: "counts.unchanged"},
		},
		Totals: s.totalFigures(),
		Notes:  s.Notes, Cautions: []string{caution}, Program: "ratewright " + job.Version(),
	}
	if n := s.Counts.Rows; n > fields(s.Rows) {
		out.Title = plural(n, "application") + " of " + out.Title
	}
	if s.Shard != nil {
		out.Title += fmt.Sprintf(", shard %d of %d", s.Shard.Index, s.Shard.Of)
	}
	for _, i := range byNeed(s.Rows) {
		out.Fields = append(out.Fields, s.Rows[i].entry(i, res.Dir))
	}
	return out
}

// fields counts jobs by their numbers: names that are no UTF-8 can look alike in a
// table that was read back.
func fields(rows []Row) int {
	jobs := map[int]bool{}
	for i := range rows {
		jobs[rows[i].Number] = true
	}
	return len(jobs)
}

func plural(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// byNeed are the rows in the order in which they need attention.
func byNeed(rows []Row) []int {
	order := make([]int, len(rows))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int {
		ra, rb := &rows[a], &rows[b]
		needA, _ := ra.need()
		needB, _ := rb.need()
		return cmp.Or(cmp.Compare(ra.rank(), rb.rank()), -cmp.Compare(needA, needB))
	})
	return order
}

func (r *Row) rank() int {
	switch {
	case r.State == Failed:
		return 0
	case len(r.Findings) > 0:
		return 1
	default:
		return 2
	}
}

// need is the share of what was wanted that is not there, and that in words.
func (r *Row) need() (share float64, text string) {
	of := func(part, whole *float64) (float64, bool) {
		if part == nil || whole == nil || *whole <= 0 {
			return 0, false
		}
		return *part / *whole, true
	}
	if share, ok := of(r.NitrogenKg["short"], r.NitrogenKg["prescribed"]); ok {
		return share, fmt.Sprintf("%.2f %% of the prescribed nitrogen is short", 100*share)
	}
	if share, ok := of(r.AreaM2["missed"], r.AreaM2["field"]); ok {
		return share, fmt.Sprintf("%.2f %% of the field was missed", 100*share)
	}
	return 0, ""
}

// entry is the row on the page in a folder; i is its place in the table.
func (r *Row) entry(i int, dir string) page.SeasonField {
	about := []string{r.Job, string(r.State)}
	if r.Application != "" {
		about = append([]string{r.Application}, about...)
	}
	e := page.SeasonField{
		Field: cmp.Or(r.Field, r.Job), About: strings.Join(about, ", "), Alarm: r.rank() < 2,
		Card: r.card, Link: r.link(dir),
	}
	if r.Error != "" {
		e.Why = append(e.Why, r.Error)
	}
	e.Why = append(e.Why, r.Findings...)
	if _, text := r.need(); text != "" {
		e.Why = append(e.Why, text)
	}
	e.Card.Figures = slices.Clone(e.Card.Figures)
	for k := range e.Card.Figures {
		f := &e.Card.Figures[k]
		f.Key = rowKey(i, f.Key)
	}
	return e
}

// rowKey is where the table has a figure of a result; "" where it has not.
func rowKey(i int, key string) string {
	if key == "nitrogen_kg" { // of a prescription
		key = "nitrogen_kg.prescribed"
	}
	for _, group := range []string{"area_m2.", "nitrogen_kg.", "product."} {
		if strings.HasPrefix(key, group) {
			return fmt.Sprintf("rows.%d.%s", i, key)
		}
	}
	return ""
}

// link is the address of the page of the row from a page in a folder. A page that
// was put elsewhere since is not looked for.
func (r *Row) link(dir string) string {
	if r.dir == "" || r.card.Page == "" || filepath.Base(r.card.Page) != r.card.Page {
		return ""
	}
	rel, err := filepath.Rel(absolute(dir), absolute(filepath.Join(r.dir, r.card.Page)))
	if err != nil {
		return "" // on another drive
	}
	return (&url.URL{Path: filepath.ToSlash(rel)}).String()
}

// findResults looks for the results of the row where a season puts them, seen from
// the folder of a shard's tables: below it, or beside the jobs. The stamp there
// tells whether they are its own.
func (r *Row) findResults(tables string) {
	root := filepath.Dir(filepath.Dir(tables))
	found := Found{Path: filepath.Join(root, filepath.FromSlash(r.Job)), Rel: r.Job}
	for _, p := range []places{{out: tables}, {root: root, folders: map[string]jobsOf{}}} {
		dir := p.results(found)
		for _, name := range []string{"season-stamp.json", "season-stamp-" + r.Application + ".json"} {
			st, ok := readStamp(dir, name)
			if ok && st.Row.Job == r.Job && st.Row.Application == r.Application {
				r.dir, r.card = dir, st.Card
				return
			}
		}
	}
}
