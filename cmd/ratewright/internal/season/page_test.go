package season

import (
	"errors"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"ratewright/cmd/ratewright/internal/outputs"
	"ratewright/cmd/ratewright/page"
)

func value(v float64) *float64 { return &v }

func TestWhatNeedsAttentionComesFirst(t *testing.T) {
	row := func(name string, short, missed float64) Row {
		r := newRow(1, Found{Rel: name})
		r.State = Done
		r.AreaM2["field"], r.AreaM2["missed"] = value(100), value(missed)
		if short >= 0 {
			r.NitrogenKg["prescribed"], r.NitrogenKg["short"] = value(1000), value(short)
		}
		return r
	}
	beyond := row("beyond", 1, 0)
	beyond.Findings = []string{"missed is much"}
	failed := row("failed", 500, 50)
	failed.fail(errors.New("no such file"))
	rows := []Row{row("fine", 0, 0), row("a little short", 10, 50), row("N unknown", -1, 2), row("much short", 300, 0), beyond, failed}
	var names []string
	for _, i := range byNeed(rows) {
		names = append(names, rows[i].Job)
	}
	require.Equal(t, []string{"failed", "beyond", "much short", "N unknown", "a little short", "fine"}, names)
	_, text := rows[2].need()
	require.Equal(t, "2.00 % of the field was missed", text)
	e := rows[5].entry(5, "")
	require.True(t, e.Alarm)
	require.Equal(t, []string{"no such file"}, e.Why)
	require.Equal(t, "failed, failed", e.About, "job and state")
}

func TestThePageOfASeasonLinksToThoseOfItsFields(t *testing.T) {
	root := someFields(t, 3)
	o := options(root)
	res := mustRun(t, o)
	save(t, res)
	first, err := os.ReadFile(filepath.Join(res.Dir, pageName))
	require.NoError(t, err)
	links := regexp.MustCompile(`<h3><a href="([^"]+)">`).FindAllStringSubmatch(string(first), -1)
	require.Len(t, links, 3)
	for _, l := range links {
		require.FileExists(t, filepath.Join(res.Dir, filepath.FromSlash(l[1])))
	}
	require.Equal(t, 3, strings.Count(string(first), `<svg class="small"`))
	require.Contains(t, string(first), `data-key="rows.0.area_m2.missed"`)
	require.NotContains(t, string(first), root)

	// Fields that are unchanged keep their pictures.
	again := mustRun(t, o)
	require.Equal(t, 3, again.Season.Counts.Unchanged)
	dir := t.TempDir()
	_, err = outputs.Write(dir, again.Set(), nil)
	require.NoError(t, err)
	second, err := os.ReadFile(filepath.Join(dir, pageName))
	require.NoError(t, err)
	body := func(html string) string {
		_, html, _ = strings.Cut(html, `<ol class="fields">`)
		return strings.ReplaceAll(html, ", unchanged<", ", done<")
	}
	require.Equal(t, body(string(first)), body(string(second)))
}

func TestACardThatWasChangedByHandDoesNoHarm(t *testing.T) {
	r := newRow(1, Found{Rel: "j.yaml"})
	r.State, r.dir, r.Field = Done, "x", "<script>alert(1)</script>"
	r.card = page.Card{
		Page:    "../../else.html",
		Picture: []page.Shape{{Fill: `r1"/><script>`, Path: "M0 0z"}, {Fill: "r1", Path: `M0 0z"/><script>`}, {Fill: "r1", Path: "M0 0l1 1z"}},
	}
	res := Result{Season: Season{Rows: []Row{r}}, Dir: "y"}
	html, err := res.sheet().HTML()
	require.NoError(t, err)
	require.NotContains(t, string(html), "<script")
	require.NotContains(t, string(html), "else.html")
	require.Contains(t, string(html), `d="M0 0l1 1z"`)
	require.Equal(t, 1, strings.Count(string(html), "<path"))
	r.card.Page = "a b#c?.html"
	require.Equal(t, "../x/a%20b%23c%3F.html", r.link("y"))
}
