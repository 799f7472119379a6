//go:build browser

package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/page"
	cdp "github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// TestInBrowserWideTablesScrollByThemselves on a small screen: reached by Tab, moved by
// the arrow keys, with a shade where there is more, and the first column not too wide.
func TestInBrowserWideTablesScrollByThemselves(t *testing.T) {
	out := pages(t)
	ctx := browser(t)
	do(t, ctx, emulation.SetDeviceMetricsOverride(360, 740, 1, true))
	for _, name := range []string{"prescription", "reconcile"} {
		open(t, ctx, filepath.Join(out, name+".html"))
		cut := ask[[]string](t, ctx, `[...document.querySelectorAll("table")].filter(e => e.getBoundingClientRect().right > innerWidth && !e.closest(".wide")).map(e => e.innerText)`)
		require.Empty(t, cut, "a table is cut")
		require.Positive(t, ask[int](t, ctx, `[...document.querySelectorAll(".wide")].filter(e => e.scrollWidth > e.clientWidth).length`), "no table is too wide to test")
		unseen := ask[[]string](t, ctx, `[...document.querySelectorAll(".wide")].filter(e => e.scrollWidth > e.clientWidth).filter(e => {
			const s = getComputedStyle(e);
			return e.tabIndex !== 0 || s.overflowX !== "auto" || !s.backgroundImage.includes("gradient") || !s.backgroundAttachment.includes("local");
		}).map(e => e.ariaLabel)`)
		require.Empty(t, unseen, "tables that do not tell that there is more, or that keys do not reach")
		moved := ask[bool](t, ctx, `(e => { e.focus(); e.scrollLeft = 40; return document.activeElement === e && e.scrollLeft === 40 })([...document.querySelectorAll(".wide")].find(e => e.scrollWidth > e.clientWidth + 40))`)
		require.True(t, moved)
		require.LessOrEqual(t, ask[float64](t, ctx, `Math.max(...[...document.querySelectorAll("#summary .wide")].filter(e => e.scrollWidth > e.clientWidth).map(e => e.querySelector("th").getBoundingClientRect().width))`), 112.0, "the first column leaves room for others")
	}
	for _, name := range []string{"prescription", "reconcile", "plan"} {
		open(t, ctx, filepath.Join(out, name+".html"))
		broken := ask[[]string](t, ctx, `[...document.querySelectorAll("#summary tbody :is(th, td):first-child")].flatMap(e => {
			const walk = document.createTreeWalker(e, NodeFilter.SHOW_TEXT), words = [];
			while (walk.nextNode()) for (const m of walk.currentNode.data.matchAll(/[^\s-]+/g)) {
				const r = document.createRange();
				r.setStart(walk.currentNode, m.index);
				r.setEnd(walk.currentNode, m.index + m[0].length);
				if (r.getClientRects().length > 1) words.push(m[0]);
			}
			return words;
		})`)
		require.Empty(t, broken, "%s: words broken in a first column", name)
	}
}

// TestInBrowserLongTextOpens at a tap and at a key, without widening the page.
func TestInBrowserLongTextOpens(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "demo")
	quiet(t, "demo", dir)
	job := filepath.Join(dir, "job.yaml")
	text, err := os.ReadFile(job)
	require.NoError(t, err)
	long := strings.Repeat("long ", 1999) + "end"
	quoted, err := json.Marshal(long)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(job, bytes.Replace(text, []byte("name: Heron Bend"), []byte("name: "+string(quoted)), 1), 0o600))
	quiet(t, "reconcile", job)
	ctx := browser(t)
	do(t, ctx, emulation.SetDeviceMetricsOverride(360, 740, 1, true))
	open(t, ctx, filepath.Join(dir, "out", "reconcile.html"))
	shows := func() bool {
		return ask[bool](t, ctx, `document.querySelector("h1").innerText.trimEnd().split("show less").join("").trimEnd().endsWith("end")`)
	}
	require.False(t, shows())
	do(t, ctx, cdp.Click("h1 summary", cdp.ByQuery))
	require.True(t, shows(), "tapped")
	do(t, ctx, cdp.Click("h1 summary", cdp.ByQuery))
	require.False(t, shows(), "tapped again")
	do(t, ctx, cdp.Focus("h1 summary", cdp.ByQuery), cdp.KeyEvent("\r"))
	require.True(t, shows(), "by a key")
	require.LessOrEqual(t, ask[int](t, ctx, `document.documentElement.scrollWidth`), 360)
	checkAccess(t, ctx, "long name")
}

// TestInBrowserButtonsLeaveTheFieldFree: the whole field in sight, no button lies on it,
// nor on the key below.
func TestInBrowserButtonsLeaveTheFieldFree(t *testing.T) {
	out := pages(t)
	ctx := browser(t)
	for _, size := range [][2]int64{{360, 740}, {1280, 900}} {
		do(t, ctx, emulation.SetDeviceMetricsOverride(size[0], size[1], 1, size[0] < 500))
		open(t, ctx, filepath.Join(out, "reconcile.html"))
		free := ask[float64](t, ctx, `document.querySelector(".views").getBoundingClientRect().top - document.querySelector("#picture canvas").getBoundingClientRect().bottom`)
		require.GreaterOrEqual(t, free, -54.0, "the buttons stand in the foot that View keeps free")
		require.LessOrEqual(t, ask[float64](t, ctx, `document.querySelector(".views").getBoundingClientRect().bottom - document.querySelector(".key").getBoundingClientRect().top`), 0.0)
	}
}

// TestInBrowserARealLogPrintsToOneSheet: with its many notes, and little that it knows.
func TestInBrowserARealLogPrintsToOneSheet(t *testing.T) {
	t.Run("small", func(t *testing.T) { printsToOneSheet(t, smallLog(t, "27B")) })
	t.Run("real", func(t *testing.T) { printsToOneSheet(t, realLog(t)) })
}

func printsToOneSheet(t *testing.T, path string) {
	t.Helper()
	ctx := browser(t)
	open(t, ctx, path)
	for name, inches := range map[string][2]float64{"A4": {8.27, 11.69}, "Letter": {8.5, 11}} {
		var sheet []byte
		do(t, ctx, cdp.ActionFunc(func(ctx context.Context) (err error) {
			sheet, _, err = page.PrintToPDF().WithPaperWidth(inches[0]).WithPaperHeight(inches[1]).WithPrintBackground(true).Do(ctx)
			return err
		}))
		keep(t, "real-log-"+name+".pdf", sheet)
		require.Equal(t, 1, bytes.Count(sheet, []byte("/Type /Page\n")), name)
	}
}

// realLog makes the page of the log of a machine on a real field, which says neither
// rate nor depth, over its soil map units (Gartner's corn of the University of Minnesota in the open
// package agridat, CC BY-SA 3.0; USDA-NRCS SSURGO, public domain).
func realLog(t *testing.T) string {
	t.Helper()
	data, err := filepath.Abs(filepath.Join("..", "..", "..", "shared", "data", "gartner"))
	require.NoError(t, err)
	if _, err := os.Stat(data); err != nil {
		t.Skipf("open data folder %s is not there; a small log of the same kind has been looked at", data)
	}
	return harvestPage(t, filepath.Join(data, "soilmu_a_aoi.shp"), filepath.Join(data, "gartner_corn_rawlog.csv"))
}

// smallLog makes the page of a made-up log of the same kind: 24 records with a gap, two
// of them out of order, over two zones, the larger of which is named.
func smallLog(t *testing.T, zone string) string {
	t.Helper()
	zones := filepath.Join(t.TempDir(), "zones.geojson")
	id, err := json.Marshal(zone)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(zones, fmt.Appendf(nil, `{"type": "FeatureCollection", "features": [
		{"type": "Feature", "properties": {"MUSYM": %s}, "geometry": {"type": "Polygon", "coordinates": [[[-93.6003, 42.0299], [-93.5997, 42.0299], [-93.5997, 42.0305], [-93.6003, 42.0305], [-93.6003, 42.0299]]]}},
		{"type": "Feature", "properties": {"MUSYM": "107"}, "geometry": {"type": "Polygon", "coordinates": [[[-93.6003, 42.0305], [-93.5997, 42.0305], [-93.5997, 42.0308], [-93.6003, 42.0308], [-93.6003, 42.0305]]]}}
	]}`, id), 0o600))
	log, err := filepath.Abs(filepath.Join("..", "..", "asapplied", "testdata", "harvest.csv"))
	require.NoError(t, err)
	return harvestPage(t, zones, log)
}

// harvestPage makes the page of a log without rate and depth over soil map units.
func harvestPage(t *testing.T, soils, log string) string {
	t.Helper()
	dir := t.TempDir()
	soils = filepath.ToSlash(soils)
	job := filepath.Join(dir, "job.yaml")
	require.NoError(t, os.WriteFile(job, fmt.Appendf(nil, `
field: {name: Real field, boundary: %q}
zones: {file: %q, id: MUSYM}
applications:
  - name: harvest
    logs:
      - files: [%q]
        columns: {time: Time, lon: Longitude, lat: Latitude, width: Swath}
        units: {width: in}
        max_gap: 5 s
`, soils, soils, filepath.ToSlash(log)), 0o600))
	quiet(t, "reconcile", job)
	return filepath.Join(dir, "out", "reconcile.html")
}

// TestInBrowserRatesAreNotPrescribed: rates that are worked out stand before limits and
// step, and what is prescribed differs from them.
func TestInBrowserRatesAreNotPrescribed(t *testing.T) {
	job, err := filepath.Abs(filepath.Join("..", "..", "testdata", "trial", "job.yaml"))
	require.NoError(t, err)
	out := t.TempDir()
	quiet(t, "rates", job, "-o", out)
	ctx := browser(t)
	open(t, ctx, filepath.Join(out, "rates.html"))
	do(t, ctx, cdp.Focus("#picture canvas", cdp.ByQuery), cdp.KeyEvent("\r"))
	settle(t, ctx)
	require.Contains(t, ask[string](t, ctx, `document.querySelector(".key").innerText`), "No rate", "ground in no zone has a colour of its own")
	story := ask[string](t, ctx, `document.getElementById("spot").innerText`)
	require.Contains(t, story, "Rate")
	require.Contains(t, story, "the optimum lies between", "the reasons to their end")
	require.NotContains(t, story, "\u2026")
	for _, words := range []string{"Prescribed", "what is prescribed there"} {
		require.NotContains(t, ask[string](t, ctx, `document.body.innerText + document.getElementById("still").textContent + document.getElementById("spot").dataset.hint`), words)
	}
}

// TestInBrowserASeasonOnPaper: half a dozen fields go on one sheet, and many on more,
// without a gap behind the sums.
func TestInBrowserASeasonOnPaper(t *testing.T) {
	root := t.TempDir()
	quiet(t, "demo", filepath.Join(root, "a"))
	for _, name := range []string{"b", "c", "d", "e", "f"} {
		require.NoError(t, os.CopyFS(filepath.Join(root, name), os.DirFS(filepath.Join(root, "a"))))
	}
	quiet(t, "season", root)
	ctx := browser(t)
	openStill(t, ctx, filepath.Join(root, "out", "season.html"), ".fields h3 a")
	require.Equal(t, 6, ask[int](t, ctx, `document.querySelectorAll(".fields > li").length`))
	for paper := range papers {
		n, pdf := sheets(t, ctx, paper)
		keep(t, "season-"+paper+".pdf", pdf)
		require.Equal(t, 1, n, paper)
	}
	do(t, ctx, emulation.SetEmulatedMedia().WithMedia("print"), emulation.SetDeviceMetricsOverride(700, 970, 1, false))
	gap := ask[float64](t, ctx, `document.querySelector("main > h2").getBoundingClientRect().top - Math.max(...[...document.querySelectorAll("#totals dd")].map(e => e.getBoundingClientRect().bottom))`)
	require.Less(t, gap, 40.0)
}
