//go:build browser

package main

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/page"
	cdp "github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// papers are the sheets of A4 and Letter, in inches.
var papers = map[string][2]float64{"A4": {8.27, 11.69}, "Letter": {8.5, 11}}

// sheets prints the page that is open and counts its sheets of paper.
func sheets(t *testing.T, ctx context.Context, paper string) (n int, pdf []byte) {
	t.Helper()
	do(t, ctx, cdp.ActionFunc(func(ctx context.Context) (err error) {
		pdf, _, err = page.PrintToPDF().WithPaperWidth(papers[paper][0]).WithPaperHeight(papers[paper][1]).WithPrintBackground(true).WithPreferCSSPageSize(false).Do(ctx)
		return err
	}))
	return bytes.Count(pdf, []byte("/Type /Page\n")), pdf
}

// manyZones is the made-up field cut into strips, with five strategies whose names are
// as long as people write them, and a supply for each of their products. Beside it
// stands own.yaml with the strategies that the field has.
func manyZones(t *testing.T, zones int) string {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "demo")
	quiet(t, "demo", dir)
	var b strings.Builder
	b.WriteString(`{"type":"FeatureCollection","features":[`)
	boundary, err := os.ReadFile(filepath.Join(dir, "boundary.geojson"))
	require.NoError(t, err)
	west, south, east, north := boundsOf(t, boundary)
	for i := range zones {
		if i > 0 {
			b.WriteString(",")
		}
		step := (east - west) / float64(zones)
		x0 := west + step*float64(i)
		x1 := west + step*float64(i+1)
		fmt.Fprintf(&b, `{"type":"Feature","properties":{"ZONE":"Strip %d of the east side","N_LB_AC":%d,"TEXTURE":"%s","RES_PCT":%d},"geometry":{"type":"Polygon","coordinates":[[[%.9f,%.9f],[%.9f,%.9f],[%.9f,%.9f],[%.9f,%.9f],[%.9f,%.9f]]]}}`,
			i+1, 120+i, []string{"loam", "sandy loam", "clay"}[i%3], 10*(i%7), x0, south, x1, south, x1, north, x0, north, x0, south)
	}
	b.WriteString("]}")
	require.NoError(t, os.WriteFile(filepath.Join(dir, "zones.geojson"), []byte(b.String()), 0o600))
	job := filepath.Join(dir, "job.yaml")
	text, err := os.ReadFile(job)
	require.NoError(t, err)
	text = bytes.Replace(text, []byte("zones.shp"), []byte("zones.geojson"), 1)
	require.NoError(t, os.WriteFile(filepath.Join(dir, "own.yaml"), text, 0o600))
	head, _, ok := strings.Cut(string(text), "strategies:\n")
	require.True(t, ok)
	head = strings.Replace(head, "applications:\n", "sources:\n  solution: {like: uan-32, label: 'Urea ammonium nitrate solution 32-0-0 from the elevator at the county road', grade: 32-0-0}\napplications:\n", 1)
	head = strings.Replace(head, "uan-32: 340 $/ton", "uan-32: 340 $/ton, solution: 340 $/ton", 1)
	b.Reset()
	b.WriteString(head + "strategies:\n")
	for i := range 5 {
		fmt.Fprintf(&b, "  - name: 'way %d, with the solution by the wide coulter bar between V4 and V6, if dry'\n    applications:\n"+
			"      - {name: first, source: solution, placement: dribbled, date: 2026-05-%02d, share: 40 %%, cost: %d $/ac, work: sprayer-%d}\n"+
			"      - {name: second, source: urea, placement: broadcast, date: 2026-06-0%d, share: 60 %%, cost: 9 $/ac}\n", i+1, 10+i, 4+i, i%2, i+1)
	}
	b.WriteString("supply:\n  solution: 12 ton\n  urea: 9 ton\nwork:\n")
	for i := range 2 {
		fmt.Fprintf(&b, "  sprayer-%d: {available: 1 day, rate: 20 ac/day}\n", i)
	}
	require.NoError(t, os.WriteFile(job, []byte(b.String()), 0o600))
	return job
}

// TestInBrowserManyZonesPrintToOneSheet: what there is no room for is counted there.
func TestInBrowserManyZonesPrintToOneSheet(t *testing.T) {
	job := manyZones(t, 60)
	out := filepath.Join(t.TempDir(), "out")
	for _, command := range []string{"plan", "loss", "prescribe", "reconcile"} {
		quiet(t, command, job, "-o", out)
	}
	ctx := browser(t)
	for _, name := range []string{"plan", "loss", "prescription", "reconcile"} {
		openStill(t, ctx, filepath.Join(out, name+".html"), "#picture")
		settle(t, ctx)
		for paper := range papers {
			n, pdf := sheets(t, ctx, paper)
			keep(t, "many-"+name+"-"+paper+".pdf", pdf)
			require.Equal(t, 1, n, "%s on %s", name, paper)
		}
		do(t, ctx, emulation.SetEmulatedMedia().WithMedia("print"))
		hidden := ask[int](t, ctx, `[...document.querySelectorAll("tbody tr.off")].filter(e => !e.closest("div.off") && !e.offsetParent).length`)
		list := ask[int](t, ctx, `[...document.querySelectorAll("#found li")].filter(e => !e.offsetParent).length`)
		words := ask[string](t, ctx, `document.querySelector("#found .paper")?.innerText ?? ""`)
		require.Equal(t, list > 0, words != "", name)
		if list > 0 {
			require.Contains(t, words, fmt.Sprintf("and %d more", list))
		}
		told := ask[[]string](t, ctx, `[...document.querySelectorAll("tr.paper")].filter(e => !e.closest("div.off") && e.offsetParent).map(e => e.innerText)`)
		sum := 0
		for _, words := range told {
			var more int
			_, err := fmt.Sscanf(words, "and %d more: see", &more)
			require.NoError(t, err, words)
			sum += more
		}
		require.Positive(t, sum, name)
		require.Equal(t, hidden, sum, "%s: what is not printed is counted", name)
		do(t, ctx, emulation.SetEmulatedMedia().WithMedia(""))
		do(t, ctx, emulation.SetDeviceMetricsOverride(360, 740, 2, true))
		require.LessOrEqual(t, ask[int](t, ctx, `document.documentElement.scrollWidth`), 360, "%s scrolls sideways", name)
		require.Zero(t, ask[int](t, ctx, `[...document.querySelectorAll("tr.paper")].filter(e => e.offsetParent).length`), "words for paper on a screen")
		do(t, ctx, emulation.ClearDeviceMetricsOverride())
	}
}

// TestInBrowserZonesOfAWarningAreCountedOnPaper: ammonia in coarse soil concerns every
// third zone of sixty, and the sheet stays one.
func TestInBrowserZonesOfAWarningAreCountedOnPaper(t *testing.T) {
	job := filepath.Join(filepath.Dir(manyZones(t, 60)), "own.yaml")
	quiet(t, "plan", job)
	ctx := browser(t)
	openStill(t, ctx, filepath.Join(filepath.Dir(job), "out", "plan.html"), "#picture")
	settle(t, ctx)
	require.Contains(t, ask[string](t, ctx, `document.getElementById("warnings").innerText`), "Strip 11 of the east side and 16 more")
	for paper := range papers {
		n, pdf := sheets(t, ctx, paper)
		keep(t, "own-plan-"+paper+".pdf", pdf)
		require.Equal(t, 1, n, paper)
	}
}

// TestInBrowserThePictureFillsTheSheet: what tables and notes leave of it is the map's.
func TestInBrowserThePictureFillsTheSheet(t *testing.T) {
	out := pages(t)
	ctx := browser(t)
	const inch, margins = 96, 2 * 11 / 25.4
	for _, name := range []string{"prescription", "reconcile"} {
		openStill(t, ctx, filepath.Join(out, name+".html"), "#picture")
		settle(t, ctx)
		for paper, size := range papers {
			w, h := (size[0]-margins)*inch, (size[1]-margins)*inch
			do(t, ctx, emulation.SetEmulatedMedia().WithMedia("print"), emulation.SetDeviceMetricsOverride(int64(w), int64(h), 1, false))
			foot := ask[float64](t, ctx, `document.querySelector("footer").getBoundingClientRect().bottom + scrollY`)
			require.InDelta(t, h, foot, 0.03*h, "%s on %s: the foot of the page stands at the foot of the sheet", name, paper)
			require.Greater(t, ask[float64](t, ctx, `document.getElementById("still").getBoundingClientRect().height`), 0.2*h, "%s on %s", name, paper)
			require.Zero(t, ask[int](t, ctx, `[...document.querySelectorAll("#found li")].filter(e => e.offsetParent && e.getBoundingClientRect().height > 24).length`), "%s on %s: a patch takes a line", name, paper)
			do(t, ctx, emulation.SetEmulatedMedia().WithMedia(""), emulation.ClearDeviceMetricsOverride())
		}
	}
}

// TestInBrowserAPlanTellsWhatIsChosen: the lead, the story of a zone and the layers speak
// of the choice and of what holds it back, and of nothing prescribed.
func TestInBrowserAPlanTellsWhatIsChosen(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "demo")
	quiet(t, "demo", dir)
	quiet(t, "plan", filepath.Join(dir, "job.yaml"))
	ctx := browser(t)
	open(t, ctx, filepath.Join(dir, "out", "plan.html"))
	lead := ask[string](t, ctx, `document.querySelector(".lead dd").dataset.key`)
	require.Equal(t, "fields.0.choice.return_usd_per_ha.mean", lead)
	do(t, ctx, cdp.Focus("#picture canvas", cdp.ByQuery), cdp.KeyEvent("\r"))
	settle(t, ctx)
	story := ask[string](t, ctx, `document.getElementById("spot").innerText`)
	t.Log(story)
	for _, words := range []string{"Planned", "Strategy", "Held back by", "UAN 32 (18.00 ton)", "Without limits", "Compared"} {
		require.Contains(t, story, words)
	}
	require.NotContains(t, ask[string](t, ctx, `document.body.innerText`), "Prescribed")
	layers := ask[[]string](t, ctx, `[...document.querySelectorAll("#layers input")].map(e => e.dataset.layer)`)
	require.Contains(t, layers, "choice")
	do(t, ctx, emulation.SetEmulatedMedia().WithMedia("print"))
	require.Contains(t, ask[string](t, ctx, `document.getElementById("still").textContent`), "starter, then UAN by coulter", "the key of the printed map")
	layersDraw(t, ctx, "plan")
}

// boundsOf is the box of all pairs of numbers of a GeoJSON.
func boundsOf(t *testing.T, data []byte) (west, south, east, north float64) {
	t.Helper()
	west, south, east, north = 180, 90, -180, -90
	for _, m := range pairs.FindAllStringSubmatch(string(data), -1) {
		var x, y float64
		_, err := fmt.Sscan(m[1], &x)
		require.NoError(t, err)
		_, err = fmt.Sscan(m[2], &y)
		require.NoError(t, err)
		west, east, south, north = min(west, x), max(east, x), min(south, y), max(north, y)
	}
	require.Less(t, west, east)
	return west, south, east, north
}

var pairs = regexp.MustCompile(`\[\s*(-?[0-9.]+),\s*(-?[0-9.]+)\s*\]`)

// TestInBrowserTheFormsOfASpringPrintToOneSheet: six zones, six strategies whose order
// nobody can tell, and five limits; what the plan cannot tell stands before its tables.
func TestInBrowserTheFormsOfASpringPrintToOneSheet(t *testing.T) {
	dir := filepath.Dir(manyZones(t, 6))
	text, err := os.ReadFile(filepath.Join(dir, "own.yaml"))
	require.NoError(t, err)
	head, _, ok := strings.Cut(string(text), "strategies:\n")
	require.True(t, ok)
	head = strings.Replace(head, "  setbacks:\n    - {around: well.geojson, distance: 100 ft}\n", "", 1)
	head = strings.Replace(head, "  most: 240 lb/ac", "  most: 240 lb/ac\n  field_most: 150 lb/ac", 1)
	job := filepath.Join(dir, "forms.yaml")
	require.NoError(t, os.WriteFile(job, []byte(head+`strategies:
  - {name: ammonia knifed in, applications: [{name: nh3, source: anhydrous-ammonia, placement: knife, depth: 7 in, date: 2026-04-20, share: 100 %, cost: 15 $/ac}]}
  - {name: UAN by coulter, applications: [{name: coulter, source: uan-32, placement: coulter, depth: 4 in, date: 2026-06-05, share: 100 %, cost: 13 $/ac, work: toolbar}]}
  - {name: UAN dribbled, applications: [{name: dribbled, source: uan-32, placement: dribbled, date: 2026-06-05, share: 100 %, cost: 8 $/ac}]}
  - {name: urea broadcast, applications: [{name: urea, source: urea, placement: broadcast, date: 2026-05-20, share: 100 %, cost: 8 $/ac, work: spreader}]}
  - {name: urea broadcast with urease inhibitor, applications: [{name: held, source: urea, placement: broadcast, date: 2026-05-20, inhibitor: urease, share: 100 %, cost: 8 $/ac, work: spreader}]}
  - {name: split UAN, applications: [{name: early, source: uan-32, placement: dribbled, date: 2026-04-28, rate: 40 lb/ac, cost: 8 $/ac}, {name: late, source: uan-32, placement: coulter, depth: 4 in, date: 2026-06-10, share: 100 %, cost: 13 $/ac, work: toolbar}]}
supply: {uan-32: 10 ton, anhydrous-ammonia: 3 ton}
work: {toolbar: {available: 2 days, rate: 40 ac/day}, spreader: {available: 2 days, rate: 40 ac/day}}
`), 0o600))
	quiet(t, "plan", job)
	ctx := browser(t)
	openStill(t, ctx, filepath.Join(dir, "out", "plan.html"), "#picture")
	settle(t, ctx)
	for paper := range papers {
		n, pdf := sheets(t, ctx, paper)
		keep(t, "forms-plan-"+paper+".pdf", pdf)
		require.Equal(t, 1, n, paper)
	}
	do(t, ctx, emulation.SetEmulatedMedia().WithMedia("print"))
	require.Contains(t, ask[string](t, ctx, `[...document.querySelectorAll(".says li")].filter(e => e.offsetParent).map(e => e.innerText).join("\n")`), "the plan cannot tell")
}
