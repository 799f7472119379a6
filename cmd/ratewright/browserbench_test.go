//go:build browser

package main

import (
	"context"
	"os"
	"testing"

	"github.com/chromedp/cdproto/page"
	cdp "github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// watched notes when a page has drawn all of its data.
const watched = `new MutationObserver((_, o) => {
	if (document.querySelector('canvas[data-ready="1"]')) { window.wholeAt = performance.now(); o.disconnect() }
}).observe(document, {subtree: true, childList: true, attributes: true})`

// BenchmarkInBrowserLargeLog opens the page of a log of 287,000 records in headless
// Chromium and drives over it with the keyboard: when the first picture is there and when all
// is, and how many frames are drawn in a second at three sizes.
func BenchmarkInBrowserLargeLog(b *testing.B) {
	path := large(b)
	st, err := os.Stat(path)
	require.NoError(b, err)
	ctx := browser(b)
	do(b, ctx, cdp.ActionFunc(func(ctx context.Context) error {
		_, err := page.AddScriptToEvaluateOnNewDocument(watched).Do(ctx)
		return err
	}))
	for b.Loop() {
		open(b, ctx, path)
	}
	b.ReportMetric(float64(st.Size())/1e6, "MB")
	b.ReportMetric(ask[float64](b, ctx, `performance.getEntriesByName("first-contentful-paint")[0].startTime`), "ms-first-picture")
	b.ReportMetric(ask[float64](b, ctx, `window.wholeAt`), "ms-all-data")
	do(b, ctx, cdp.Evaluate(`document.querySelectorAll("#layers input").forEach(e => { if (!e.checked) e.click() })`, nil))
	do(b, ctx, cdp.Focus("#picture canvas", cdp.ByQuery))
	for _, zoom := range []struct {
		steps int
		name  string
	}{{0, "frames/s-whole-field"}, {5, "frames/s-closer"}, {5, "frames/s-closest"}} {
		for range zoom.steps {
			do(b, ctx, cdp.KeyEvent("+"))
			settle(b, ctx)
		}
		var frames float64
		do(b, ctx, cdp.Evaluate(`new Promise(done => {
			const canvas = document.querySelector("#picture canvas"), keys = ["ArrowRight", "ArrowLeft"];
			const first = +canvas.dataset.frame, from = performance.now();
			let n = 0;
			const step = () => {
				if (performance.now() - from > 3000) return done(1000 * (+canvas.dataset.frame - first) / (performance.now() - from));
				canvas.dispatchEvent(new KeyboardEvent("keydown", {key: keys[n++ % 2], bubbles: true}));
				requestAnimationFrame(step);
			};
			requestAnimationFrame(step);
		})`, &frames, awaited))
		b.ReportMetric(frames, zoom.name)
	}
}
