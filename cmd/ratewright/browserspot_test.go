//go:build browser

package main

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	cdp "github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// spotLines are what the page tells of a spot, a name and what is said of it.
func spotLines(t *testing.T, text string) map[string]string {
	t.Helper()
	lines := map[string]string{}
	for _, l := range strings.Split(text, "\n") {
		if name, words, ok := strings.Cut(l, ": "); ok {
			lines[name] = words
		}
	}
	return lines
}

// TestInBrowserATapTellsTheStory: all that is known of a spot, and it stays when the
// pointer has gone.
func TestInBrowserATapTellsTheStory(t *testing.T) {
	out := pages(t)
	ctx := browser(t)
	for name, told := range map[string]map[string]string{
		"reconcile": {
			"Zone": `^\w+`, "Prescribed": `^[0-9.]+ lb N/ac$`, "Applied": `^[0-9.]+ .*lb N/ac$`, "Times covered": `^1$`,
			"Depth": `^[0-9.]+ in`, "When": `^\d+ [A-Z][a-z]+ \d{4} \d\d:\d\d:\d\d UTC$`,
		},
		"prescription": {"Zone": `^\w+`, "Prescribed": `^[0-9.]+ gal/ac$`, "Why this rate": `\w+ \w+`},
	} {
		open(t, ctx, filepath.Join(out, name+".html"))
		require.Empty(t, spotLines(t, ask[string](t, ctx, `document.getElementById("spot").innerText`)), "nothing is told before")
		box := ask[map[string]float64](t, ctx, `(r => ({x: r.x + r.width / 2, y: r.y + r.height / 2}))(document.querySelector("#picture canvas").getBoundingClientRect())`)
		do(t, ctx, emulation.SetTouchEmulationEnabled(true),
			input.DispatchTouchEvent(input.TouchStart, []*input.TouchPoint{{X: box["x"], Y: box["y"]}}),
			input.DispatchTouchEvent(input.TouchEnd, []*input.TouchPoint{}))
		settle(t, ctx)
		story := ask[string](t, ctx, `document.getElementById("spot").innerText`)
		t.Logf("%s: %q", name, story)
		lines := spotLines(t, story)
		for what, like := range told {
			require.Regexp(t, like, lines[what], "%s, %s: %s", name, what, story)
		}
	}
}

// TestInBrowserTheListIsInTwoOrders: by area, and by the nitrogen that is short.
func TestInBrowserTheListIsInTwoOrders(t *testing.T) {
	out := pages(t)
	ctx := browser(t)
	open(t, ctx, filepath.Join(out, "reconcile.html"))
	orders := map[string][]float64{}
	for _, words := range []string{"Most nitrogen short first", "Largest area first"} {
		do(t, ctx, cdp.Evaluate(fmt.Sprintf(`[...document.querySelectorAll(".sort button")].find(b => b.innerText === %q).click()`, words), nil))
		key := map[string]string{"Largest area first": "areaM2", "Most nitrogen short first": "shortKg"}[words]
		by := ask[[]float64](t, ctx, fmt.Sprintf(`[...document.querySelectorAll("#found ol > li")].map(li => +li.dataset.%s || 0)`, key))
		require.Greater(t, len(by), 5)
		require.IsDecreasing(t, distinctNumbers(by), words)
		orders[words] = ask[[]float64](t, ctx, `[...document.querySelectorAll("#found ol button")].map(b => +b.dataset.patch)`)
		require.Equal(t, words, ask[string](t, ctx, `document.querySelector('.sort button[aria-pressed="true"]').innerText`))
	}
	require.NotEqual(t, orders["Largest area first"], orders["Most nitrogen short first"])
}

// distinctNumbers leaves out those that equal the one before.
func distinctNumbers(list []float64) (out []float64) {
	for _, v := range list {
		if len(out) == 0 || v != out[len(out)-1] {
			out = append(out, v)
		}
	}
	return out
}

// TestInBrowserTheListLeadsToEachPatch: a patch that is small in the field comes to lie
// in the middle of the picture, and nearer than before.
func TestInBrowserTheListLeadsToEachPatch(t *testing.T) {
	out := pages(t)
	ctx := browser(t)
	open(t, ctx, filepath.Join(out, "reconcile.html"))
	var data struct {
		Patches []struct{ Polygons [][][]float64 }
	}
	require.NoError(t, json.Unmarshal([]byte(ask[string](t, ctx, `document.getElementById("map-data").textContent`)), &data))
	whole := viewOf(t, ctx)
	led := 0
	for _, button := range ask[[]int](t, ctx, `[...document.querySelectorAll("#found button[data-patch]")].map(b => +b.dataset.patch)`) {
		x0, y0, x1, y1 := extent(data.Patches[button].Polygons)
		if max(x1-x0, y1-y0) > 20_000 || led == 6 { // cm
			continue
		}
		led++
		do(t, ctx, cdp.Evaluate(fmt.Sprintf(`document.querySelector('#found button[data-patch="%d"]').click()`, button), nil))
		time.Sleep(600 * time.Millisecond) // the flight takes half of it
		at := viewOf(t, ctx)
		require.Greater(t, at[2], 1.5*whole[2], "patch %d is drawn larger", button)
		require.InDelta(t, (x0+x1)/2, at[0], 100, "patch %d", button)
		require.InDelta(t, (y0+y1)/2, at[1], 40/at[2], "patch %d, above the scale bar", button)
		require.Equal(t, strconv.Itoa(button), ask[string](t, ctx, `document.querySelector('#found [aria-current]').dataset.patch`))
	}
	require.Greater(t, led, 3)
}

// viewOf is what lies in the middle of the picture, in cm, and pixels a cm.
func viewOf(t *testing.T, ctx context.Context) (v [3]float64) {
	t.Helper()
	for i, s := range strings.Fields(ask[string](t, ctx, `document.querySelector("#picture canvas").dataset.view`)) {
		n, err := strconv.ParseFloat(s, 64)
		require.NoError(t, err)
		v[i] = n
	}
	return v
}

// extent is the box of polygons whose rings are a place and steps from there.
func extent(polygons [][][]float64) (x0, y0, x1, y1 float64) {
	x0, y0, x1, y1 = math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	for _, polygon := range polygons {
		for _, ring := range polygon {
			x, y := 0.0, 0.0
			for k := 0; k < len(ring); k += 2 {
				x, y = x+ring[k], y+ring[k+1]
				x0, y0, x1, y1 = min(x0, x), min(y0, y), max(x1, x), max(y1, y)
			}
		}
	}
	return x0, y0, x1, y1
}

// TestInBrowserThePictureStandsThereWithoutScript: drawn, with rates or marks on it, and
// the figures of the summary below.
func TestInBrowserThePictureStandsThereWithoutScript(t *testing.T) {
	out := pages(t)
	ctx := browser(t)
	do(t, ctx, emulation.SetScriptExecutionDisabled(true))
	for _, name := range []string{"rates", "plan", "prescription", "reconcile"} {
		do(t, ctx, cdp.Navigate(fileURL(filepath.Join(out, name+".html"))), cdp.WaitVisible("#still", cdp.ByQuery))
		require.Zero(t, ask[int](t, ctx, `document.querySelectorAll("canvas").length`), "no script ran")
		require.Greater(t, ask[int](t, ctx, `document.querySelectorAll("#still path").length`), 5, name)
		require.Greater(t, ask[int](t, ctx, `[...document.querySelectorAll("#still text")].filter(e => e.textContent.trim() !== "" && e.getBoundingClientRect().height > 4).length`), 3, name)
		require.Greater(t, ask[int](t, ctx, `[...document.querySelectorAll("#summary [data-key]")].filter(e => e.getBoundingClientRect().height > 0).length`), 3, name)
	}
}
