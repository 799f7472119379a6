//go:build browser

package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/page"
	cdp "github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ratewright/asapplied/fieldlog"
)

// The pages are opened here in Debian's Chromium, which must be there; without it
// these tests fail. The accessibility checker is axe-core, which .ci/run puts into
// .ci/page/node_modules.

// browser starts Chromium without a network for a test.
func browser(t testing.TB) context.Context {
	t.Helper()
	options := append(cdp.DefaultExecAllocatorOptions[:],
		cdp.ExecPath("chromium"), cdp.NoSandbox, cdp.DisableGPU, cdp.WindowSize(1280, 900),
		cdp.Flag("disable-quic", true), cdp.Flag("disable-component-update", true),
		cdp.Flag("allow-file-access-from-files", false))
	ctx, stop := cdp.NewExecAllocator(context.Background(), options...)
	t.Cleanup(stop)
	ctx, stop = cdp.NewContext(ctx)
	t.Cleanup(stop)
	ctx, stop = context.WithTimeout(ctx, 2*time.Minute)
	t.Cleanup(stop)
	return ctx
}

// seen is what a page did that it should not: requests but for itself, faults of
// its script and of its policy.
type seen struct {
	mu   sync.Mutex
	list []string
}

// opened are the addresses that tests have opened.
var opened sync.Map

func (s *seen) add(format string, args ...any) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.list = append(s.list, fmt.Sprintf(format, args...))
}

// open opens a file and waits for its first full picture. What the page does
// wrong fails the test at its end.
func open(t testing.TB, ctx context.Context, path string) {
	t.Helper()
	openStill(t, ctx, path, `canvas[data-ready="1"]`)
}

// openStill is open for a page that is there when an element is.
func openStill(t testing.TB, ctx context.Context, path, selector string) {
	t.Helper()
	address := fileURL(path)
	opened.Store(address, true)
	var bad seen
	cdp.ListenTarget(ctx, func(event any) {
		switch e := event.(type) {
		case *network.EventRequestWillBeSent:
			u := e.Request.URL
			if _, ours := opened.Load(u); !ours && !strings.HasPrefix(u, "data:") && !strings.HasPrefix(u, "blob:null") {
				bad.add("it asked for %s", u)
			}
		case *cdpLog:
			bad.add("%s", e.Entry.Text)
		case *cdpException:
			bad.add("%s", e.ExceptionDetails.Error())
		}
	})
	t.Cleanup(func() {
		bad.mu.Lock()
		defer bad.mu.Unlock()
		assert.Empty(t, bad.list, path)
	})
	do(t, ctx, network.Enable(), cdp.Navigate(address), cdp.WaitVisible(selector, cdp.ByQuery))
}

func fileURL(path string) string {
	return (&url.URL{Scheme: "file", Path: filepath.ToSlash(path)}).String()
}

func do(t testing.TB, ctx context.Context, actions ...cdp.Action) {
	t.Helper()
	require.NoError(t, cdp.Run(ctx, actions...))
}

// ask returns what an expression gives in the page.
func ask[T any](t testing.TB, ctx context.Context, expression string) T {
	t.Helper()
	var out T
	do(t, ctx, cdp.Evaluate(expression, &out))
	return out
}

// pages makes the pages of the made-up field.
func pages(t *testing.T) (dir string) {
	t.Helper()
	dir = filepath.Join(t.TempDir(), "demo")
	quiet(t, "demo", dir)
	quiet(t, "prescribe", filepath.Join(dir, "job.yaml"))
	quiet(t, "reconcile", filepath.Join(dir, "job.yaml"))
	quiet(t, "rates", filepath.Join("..", "..", "testdata", "trial", "job.yaml"), "-o", filepath.Join(dir, "out"))
	return filepath.Join(dir, "out")
}

// quiet runs a command that may find something but must not fail.
func quiet(t testing.TB, args ...string) {
	t.Helper()
	var stderr bytes.Buffer
	code := run(context.Background(), args, os.Stdin, io.Discard, &stderr)
	require.Contains(t, []int{exitDone, exitFinding}, code, stderr.String())
}

// large makes the page of a log of 287,000 records whose rate and depth vary.
func large(t testing.TB) string {
	t.Helper()
	dir := t.TempDir()
	w, err := fieldlog.Make(fieldlog.Spec{Records: 282_500, Vary: true})
	require.NoError(t, err)
	require.NoError(t, w.WriteFolder(dir, fieldlog.Folder{}))
	out := filepath.Join(dir, "out")
	quiet(t, "reconcile", filepath.Join(dir, fieldlog.PatchesJob), "-o", out)
	return filepath.Join(out, "reconcile.html")
}

const mostPrimitives = 15_000

func TestInBrowserPagesShowTheFiguresOfTheJSON(t *testing.T) {
	out := pages(t)
	ctx := browser(t)
	for _, name := range []string{"rates", "plan", "prescription", "reconcile"} {
		open(t, ctx, filepath.Join(out, name+".html"))
		data, err := os.ReadFile(filepath.Join(out, name+".json"))
		require.NoError(t, err)
		var doc any
		require.NoError(t, json.Unmarshal(data, &doc))
		figures := ask[[][2]string](t, ctx, `[...document.querySelectorAll("[data-key]")].map(e => [e.dataset.key, e.innerText])`)
		require.NotEmpty(t, figures, name)
		for _, f := range figures {
			requireShows(t, doc, f[0], f[1])
		}
	}
}

func TestInBrowserEveryLayerDrawsSomethingElse(t *testing.T) {
	out := pages(t)
	ctx := browser(t)
	for _, name := range []string{"rates", "plan", "prescription", "reconcile"} {
		open(t, ctx, filepath.Join(out, name+".html"))
		layersDraw(t, ctx, name)
	}
}

// layersDraw switches every layer of a page on and off by itself.
func layersDraw(t *testing.T, ctx context.Context, name string) {
	t.Helper()
	layers := ask[[]string](t, ctx, `[...document.querySelectorAll("#layers input")].map(e => e.dataset.layer)`)
	require.NotEmpty(t, layers)
	do(t, ctx, cdp.Evaluate(`document.querySelectorAll("#layers input").forEach(e => { if (e.checked) e.click() })`, nil))
	settle(t, ctx)
	empty := picture(t, ctx)
	for _, id := range layers {
		press := fmt.Sprintf(`document.querySelector('#layers input[data-layer=%q]').click()`, id)
		do(t, ctx, cdp.Evaluate(press, nil))
		settle(t, ctx)
		assert.NotEqual(t, empty, picture(t, ctx), "%s: layer %s", name, id)
		do(t, ctx, cdp.Evaluate(press, nil))
		settle(t, ctx)
		assert.Equal(t, empty, picture(t, ctx), "%s: layer %s switched off again", name, id)
	}
}

// settle waits for two frames of the browser.
func settle(t testing.TB, ctx context.Context) {
	t.Helper()
	do(t, ctx, cdp.Evaluate(`new Promise(done => requestAnimationFrame(() => requestAnimationFrame(() => setTimeout(done, 20))))`, nil, awaited))
}

func picture(t *testing.T, ctx context.Context) string {
	t.Helper()
	return ask[string](t, ctx, `document.querySelector("#picture canvas").toDataURL()`)
}

func TestInBrowserByKeyboardAlone(t *testing.T) {
	out := pages(t)
	ctx := browser(t)
	open(t, ctx, filepath.Join(out, "reconcile.html"))
	// Everything that can be pressed is reached by Tab, in the order of the page.
	all := ask[int](t, ctx, `document.querySelectorAll("button, input, canvas").length`)
	reached := map[int]bool{}
	for range all + 40 {
		do(t, ctx, cdp.KeyEvent("\t"))
		if i := ask[int](t, ctx, `[...document.querySelectorAll("button, input, canvas")].indexOf(document.activeElement)`); i >= 0 {
			reached[i] = true
			shown := ask[bool](t, ctx, `(e => { const s = getComputedStyle(e); return e.matches(":focus-visible") && s.outlineStyle === "solid" && parseFloat(s.outlineWidth) >= 2 })(document.activeElement)`)
			require.True(t, shown, "control %d shows no focus", i)
		}
	}
	hidden := ask[int](t, ctx, `[...document.querySelectorAll("button, input, canvas")].filter(e => e.offsetParent === null).length`)
	require.Len(t, reached, all-hidden)

	do(t, ctx, cdp.Focus("#picture canvas", cdp.ByQuery))
	// The picture itself changes with the cross-hair, too: what counts is the view.
	before := viewOf(t, ctx)
	do(t, ctx, cdp.KeyEvent("+"), cdp.KeyEvent("+"))
	settle(t, ctx)
	bigger := viewOf(t, ctx)
	require.Greater(t, bigger[2], 2*before[2], "bigger")
	do(t, ctx, cdp.KeyEvent(kb.ArrowRight), cdp.KeyEvent(kb.ArrowUp), cdp.KeyEvent("-"))
	settle(t, ctx)
	moved := viewOf(t, ctx)
	require.Greater(t, moved[0], bigger[0], "to the east")
	require.Greater(t, moved[1], bigger[1], "to the north")
	require.Less(t, moved[2], bigger[2], "smaller")
	do(t, ctx, cdp.KeyEvent("\r"))
	settle(t, ctx)
	require.NotEmpty(t, ask[string](t, ctx, `document.getElementById("spot").innerText`), "the story of the spot in the middle")
	do(t, ctx, cdp.KeyEvent("0"), cdp.KeyEvent("\x1b"))
	time.Sleep(time.Second) // the flight to the whole field
	whole := viewOf(t, ctx)
	require.InDeltaSlice(t, before[:], whole[:], 1e-3, "all of the field again")
	require.NotContains(t, ask[string](t, ctx, `document.getElementById("spot").innerText`), "Applied", "Escape takes the story away")

	do(t, ctx, cdp.Focus("#found button[data-patch]", cdp.ByQuery), cdp.KeyEvent("\r"))
	time.Sleep(time.Second) // the flight to the patch
	require.NotEqual(t, whole, viewOf(t, ctx), "jumped to the patch")
}

func TestInBrowserSmallScreenAndDark(t *testing.T) {
	out := pages(t)
	ctx := browser(t)
	for _, scheme := range []string{"light", "dark"} {
		do(t, ctx, emulation.SetDeviceMetricsOverride(360, 740, 2, true),
			emulation.SetEmulatedMedia().WithFeatures([]*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}}))
		for _, name := range []string{"rates", "plan", "prescription", "reconcile"} {
			open(t, ctx, filepath.Join(out, name+".html"))
			require.LessOrEqual(t, ask[int](t, ctx, `document.documentElement.scrollWidth`), 360, "%s scrolls sideways", name)
			small := ask[[]string](t, ctx, `[...document.querySelectorAll("#layers label, #picture button, #found button")].filter(e => e.offsetParent && e.getBoundingClientRect().height < 24).map(e => e.innerText)`)
			require.Empty(t, small, "too small to tap")
			checkAccess(t, ctx, name+" "+scheme)
		}
	}
}

// TestInBrowserSeason looks at the page of many fields: figures, small and large
// screens, both themes, paper, and the way to a field's own page.
func TestInBrowserSeason(t *testing.T) {
	root := t.TempDir()
	for _, name := range []string{"north", "south"} {
		quiet(t, "demo", filepath.Join(root, name))
		opened.Store(fileURL(filepath.Join(root, name, "out", "reconcile.html")), true) // by a link
	}
	quiet(t, "season", root)
	path := filepath.Join(root, "out", "season.html")
	data, err := os.ReadFile(filepath.Join(root, "out", "season.json"))
	require.NoError(t, err)
	var doc any
	require.NoError(t, json.Unmarshal(data, &doc))
	ctx := browser(t)
	for _, scheme := range []string{"light", "dark"} {
		do(t, ctx, emulation.SetDeviceMetricsOverride(360, 740, 2, true),
			emulation.SetEmulatedMedia().WithFeatures([]*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}}))
		openStill(t, ctx, path, ".fields h3 a")
		require.LessOrEqual(t, ask[int](t, ctx, `document.documentElement.scrollWidth`), 360, "scrolls sideways")
		checkAccess(t, ctx, "season "+scheme)
	}
	figures := ask[[][2]string](t, ctx, `[...document.querySelectorAll("[data-key]")].map(e => [e.dataset.key, e.innerText])`)
	require.Greater(t, len(figures), 8)
	for _, f := range figures {
		requireShows(t, doc, f[0], f[1])
	}
	for _, key := range []string{"fields_failed", "findings", "field_m2", "area_m2.missed", "nitrogen_kg.applied", "nitrogen_kg.short"} {
		require.Equal(t, 1, ask[int](t, ctx, fmt.Sprintf(`document.querySelectorAll("#totals [data-key='totals.%s']").length`, key)), key)
	}
	require.Equal(t, 2, ask[int](t, ctx, `document.querySelectorAll(".fields svg").length`))
	require.Zero(t, ask[int](t, ctx, `document.querySelectorAll("script").length`))
	do(t, ctx, cdp.KeyEvent("\t"), cdp.KeyEvent("\r"), cdp.WaitVisible(`canvas[data-ready="1"]`, cdp.ByQuery))
	require.True(t, strings.HasSuffix(ask[string](t, ctx, `location.pathname`), "/out/reconcile.html"), "the first link leads to a field")
}

// TestInBrowserLosses looks at the page of losses, which has no script: figures, a small
// screen, both themes, names of its drawings.
func TestInBrowserLosses(t *testing.T) {
	out := filepath.Join(t.TempDir(), "out")
	quiet(t, "loss", filepath.Join("..", "..", "testdata", "loss", "job.yaml"), "-o", out)
	data, err := os.ReadFile(filepath.Join(out, "loss.json"))
	require.NoError(t, err)
	var doc any
	require.NoError(t, json.Unmarshal(data, &doc))
	ctx := browser(t)
	for _, scheme := range []string{"light", "dark"} {
		do(t, ctx, emulation.SetDeviceMetricsOverride(360, 740, 2, true),
			emulation.SetEmulatedMedia().WithFeatures([]*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}}))
		openStill(t, ctx, filepath.Join(out, "loss.html"), ".course-plot")
		require.LessOrEqual(t, ask[int](t, ctx, `document.documentElement.scrollWidth`), 360, "scrolls sideways")
		checkAccess(t, ctx, "loss "+scheme)
	}
	figures := ask[[][2]string](t, ctx, `[...document.querySelectorAll("[data-key]")].map(e => [e.dataset.key, e.innerText])`)
	require.Greater(t, len(figures), 1000)
	for _, f := range figures {
		requireShows(t, doc, f[0], f[1])
	}
	require.Equal(t, 10, ask[int](t, ctx, `document.querySelectorAll(".course-plot > title").length`))
	least := ask[float64](t, ctx, `Math.min(...[...document.querySelectorAll(".course-plot text")].map(e => e.getBoundingClientRect().height))`)
	require.Greater(t, least, 10.0, "letters of a course on a phone")
	require.Zero(t, ask[int](t, ctx, `document.querySelectorAll("script").length`))
}

// TestInBrowserARealLog draws a log that says neither rate nor depth.
func TestInBrowserARealLog(t *testing.T) {
	t.Run("small", func(t *testing.T) { showsLittle(t, smallLog(t, "27B")) })
	t.Run("real", func(t *testing.T) { showsLittle(t, realLog(t)) })
}

// showsLittle looks at the page of a log that says neither rate nor depth.
func showsLittle(t *testing.T, path string) {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(filepath.Dir(path), "reconcile.json"))
	require.NoError(t, err)
	var doc any
	require.NoError(t, json.Unmarshal(text, &doc))

	ctx := browser(t)
	open(t, ctx, path)
	for _, f := range ask[[][2]string](t, ctx, `[...document.querySelectorAll("[data-key]")].map(e => [e.dataset.key, e.innerText])`) {
		requireShows(t, doc, f[0], f[1])
	}
	var shot []byte
	do(t, ctx, cdp.CaptureScreenshot(&shot))
	keep(t, "real-log.png", shot)
	layersDraw(t, ctx, "real log")
	checkAccess(t, ctx, "real log")
	do(t, ctx, emulation.SetDeviceMetricsOverride(360, 740, 1, true))
	require.LessOrEqual(t, ask[int](t, ctx, `document.documentElement.scrollWidth`), 360)
}

func TestInBrowserWithoutScript(t *testing.T) {
	out := pages(t)
	ctx := browser(t)
	do(t, ctx, emulation.SetScriptExecutionDisabled(true))
	for _, name := range []string{"rates", "plan", "prescription", "reconcile"} {
		var text string
		var shot []byte
		do(t, ctx, cdp.Navigate("file://"+filepath.Join(out, name+".html")), cdp.WaitVisible("#still", cdp.ByQuery),
			cdp.Text("body", &text, cdp.ByQuery), cdp.FullScreenshot(&shot, 100))
		require.Contains(t, text, "Summary")
		keep(t, name+"-without-script.png", shot)
	}
}

func TestInBrowserPrintsToOneSheet(t *testing.T) {
	out := pages(t)
	ctx := browser(t)
	for name, inches := range map[string][2]float64{"A4": {8.27, 11.69}, "Letter": {8.5, 11}} {
		for _, kind := range []string{"rates", "plan", "prescription", "reconcile"} {
			open(t, ctx, filepath.Join(out, kind+".html"))
			var sheet []byte
			do(t, ctx, cdp.ActionFunc(func(ctx context.Context) (err error) {
				sheet, _, err = page.PrintToPDF().WithPaperWidth(inches[0]).WithPaperHeight(inches[1]).WithPrintBackground(true).WithPreferCSSPageSize(false).Do(ctx)
				return err
			}))
			keep(t, kind+"-"+name+".pdf", sheet)
			require.Equal(t, 1, bytes.Count(sheet, []byte("/Type /Page\n")), "%s on %s", kind, name)
			keep(t, kind+"-"+name+".pdf", sheet)
		}
	}
}

func TestInBrowserALargeLogOnAPage(t *testing.T) {
	path := large(t)
	st, err := os.Stat(path)
	require.NoError(t, err)
	require.Less(t, st.Size(), int64(6_000_000))
	ctx := browser(t)
	open(t, ctx, path)
	t.Logf("%d bytes", st.Size())
	do(t, ctx, cdp.Evaluate(`document.querySelectorAll("#layers input").forEach(e => { if (!e.checked) e.click() })`, nil))
	do(t, ctx, cdp.Focus("#picture canvas", cdp.ByQuery))
	for step := range 16 {
		settle(t, ctx)
		n := ask[int](t, ctx, `+document.querySelector("#picture canvas").dataset.primitives`)
		require.Positive(t, n)
		require.LessOrEqual(t, n, mostPrimitives, "after %d steps in", step)
		do(t, ctx, cdp.KeyEvent("+"))
	}
}

func TestInBrowserHostileNamesAreText(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "demo")
	quiet(t, "demo", dir)
	job := filepath.Join(dir, "job.yaml")
	text, err := os.ReadFile(job)
	require.NoError(t, err)
	name := `</script><script>document.title="taken"</script><img src=x onerror=document.title="taken">` + strings.Repeat("long ", 2000)
	quoted, err := json.Marshal(name)
	require.NoError(t, err)
	lines := strings.Split(string(text), "\n")
	for i, l := range lines {
		if strings.HasPrefix(strings.TrimSpace(l), "name:") {
			lines[i] = l[:strings.Index(l, "name:")] + "name: " + string(quoted)
			break
		}
	}
	require.NoError(t, os.WriteFile(job, []byte(strings.Join(lines, "\n")), 0o600))
	quiet(t, "reconcile", job)
	ctx := browser(t)
	do(t, ctx, emulation.SetDeviceMetricsOverride(360, 740, 1, true))
	open(t, ctx, filepath.Join(dir, "out", "reconcile.html"))
	require.NotEqual(t, "taken", ask[string](t, ctx, `document.title`))
	require.Zero(t, ask[int](t, ctx, `document.querySelectorAll("img").length`))
	require.LessOrEqual(t, ask[int](t, ctx, `document.documentElement.scrollWidth`), 360)
}

// TestInBrowserHostileZonesAreText: names from files, as those of the job. Marks of
// writing direction are refused in both; letters from right to left are not.
func TestInBrowserHostileZonesAreText(t *testing.T) {
	const name = "\u05e9\u05d3\u05d4 <img src=x onerror=document.title='taken'>"
	path := smallLog(t, name+strings.Repeat(" long", 30))
	ctx := browser(t)
	do(t, ctx, emulation.SetDeviceMetricsOverride(360, 740, 1, true))
	open(t, ctx, path)
	do(t, ctx, cdp.Focus("#picture canvas", cdp.ByQuery), cdp.KeyEvent("\r"), cdp.KeyEvent("+"))
	settle(t, ctx)
	for _, where := range []string{"#spot", "#summary"} {
		require.Contains(t, ask[string](t, ctx, fmt.Sprintf(`document.querySelector(%q).innerText`, where)), name, where)
	}
	require.NotEqual(t, "taken", ask[string](t, ctx, `document.title`))
	require.Zero(t, ask[int](t, ctx, `document.querySelectorAll("img").length`))
	require.LessOrEqual(t, ask[int](t, ctx, `document.documentElement.scrollWidth`), 360)
}

func TestInBrowserHoverTellsTheSpot(t *testing.T) {
	out := pages(t)
	ctx := browser(t)
	open(t, ctx, filepath.Join(out, "reconcile.html"))
	box := ask[map[string]float64](t, ctx, `(r => ({x: r.x + r.width / 2, y: r.y + r.height / 2}))(document.querySelector("#picture canvas").getBoundingClientRect())`)
	do(t, ctx, input.DispatchMouseEvent(input.MouseMoved, box["x"], box["y"]))
	settle(t, ctx)
	story := ask[string](t, ctx, `document.getElementById("spot").innerText`)
	t.Log(story)
	require.Contains(t, strings.ToLower(story), "applied")
	var planned, applied, off float64
	parts := regexp.MustCompile(`(?s)Prescribed: ([0-9.]+).*Applied: ([0-9.]+).*(?:Short|Over) by: ([0-9.]+)`).FindStringSubmatch(story)
	require.NotNil(t, parts, story)
	_, err := fmt.Sscan(strings.Join(parts[1:], " "), &planned, &applied, &off)
	require.NoError(t, err)
	require.InDelta(t, math.Abs(planned-applied), off, 0.1001, "what is short is what the two figures differ by: %s", story)
}

// checkAccess fails where the accessibility checker finds a serious fault.
func checkAccess(t *testing.T, ctx context.Context, what string) {
	t.Helper()
	axe, err := os.ReadFile(filepath.Join("..", "..", ".ci", "page", "node_modules", "axe-core", "axe.min.js"))
	require.NoError(t, err, "npm --prefix .ci/page ci --ignore-scripts puts it there")
	do(t, ctx, cdp.Evaluate(string(axe), nil))
	var faults []string
	do(t, ctx, cdp.Evaluate(`axe.run().then(r => r.violations.filter(v => v.impact === "serious" || v.impact === "critical")
		.map(v => v.id + ": " + v.help + " " + v.nodes.slice(0, 3).map(n => n.target + " " + (n.any[0] ? n.any[0].message : "")).join("; ")))`, &faults, awaited))
	assert.Empty(t, faults, what)
}

// keep leaves a file for people to look at where RATEWRIGHT_KEEP names a folder.
func keep(t *testing.T, name string, data []byte) {
	t.Helper()
	if dir := os.Getenv("RATEWRIGHT_KEEP"); dir != "" {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), data, 0o600))
	}
}
