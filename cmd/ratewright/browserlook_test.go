//go:build browser

package main

import (
	"bytes"
	"context"
	"encoding/base64"
	"flag"
	"image"
	"image/png"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/stretchr/testify/require"
)

var redraw = flag.Bool("redraw", false, "write the pictures that tests compare with anew; look at them before they are committed")

// Two pictures are alike where cells of so many pixels have about the same colour:
// letters may sit a pixel elsewhere on another system.
const (
	lookCell    = 8
	cellMayDiff = 28.0 // of 255
	cellsMayBe  = 0.02 // share of cells that may differ by more
)

// TestInBrowserPicturesLookAsTheyDid compares the map on a small screen with
// pictures that were looked at.
func TestInBrowserPicturesLookAsTheyDid(t *testing.T) {
	out := pages(t)
	ctx := browser(t)
	for _, theme := range []string{"light", "dark"} {
		do(t, ctx, emulation.SetDeviceMetricsOverride(360, 740, 1, true),
			emulation.SetEmulatedMedia().WithFeatures([]*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: theme}}))
		for _, name := range []string{"prescription", "reconcile"} {
			open(t, ctx, filepath.Join(out, name+".html"))
			settle(t, ctx)
			path := filepath.Join("testdata", "looks", name+"-"+theme+".png")
			data := canvas(t, ctx)
			keep(t, name+"-"+theme+"-small.png", data)
			if *redraw {
				require.NoError(t, os.WriteFile(path, data, 0o600))
			}
			want, err := os.ReadFile(path)
			require.NoError(t, err)
			require.LessOrEqual(t, unlike(t, data, want), cellsMayBe, "%s is not as in %s; where that is meant, run with -redraw and look", name, path)
		}
	}
}

// TestInBrowserUnlikePicturesAreTold holds the measure to pictures that differ: the
// themes, and the two kinds of pages.
func TestInBrowserUnlikePicturesAreTold(t *testing.T) {
	read := func(name string) []byte {
		data, err := os.ReadFile(filepath.Join("testdata", "looks", name+".png"))
		require.NoError(t, err)
		return data
	}
	require.Zero(t, unlike(t, read("reconcile-light"), read("reconcile-light")))
	require.Greater(t, unlike(t, read("reconcile-light"), read("prescription-light")), 2*cellsMayBe)
	require.Greater(t, unlike(t, read("reconcile-light"), read("reconcile-dark")), 2*cellsMayBe)
}

// canvas is the map as PNG, on the colour of the page.
func canvas(t *testing.T, ctx context.Context) []byte {
	t.Helper()
	url := ask[string](t, ctx, `(c => { const d = document.createElement("canvas"); d.width = c.width; d.height = c.height;
		const g = d.getContext("2d"); g.fillStyle = getComputedStyle(document.body).backgroundColor; g.fillRect(0, 0, d.width, d.height);
		g.drawImage(c, 0, 0); return d.toDataURL() })(document.querySelector("#picture canvas"))`)
	_, text, found := strings.Cut(url, ",")
	require.True(t, found)
	data, err := base64.StdEncoding.DecodeString(text)
	require.NoError(t, err)
	return data
}

// unlike is the share of cells in which two pictures differ; 1 where they have not
// the same size.
func unlike(t *testing.T, a, b []byte) float64 {
	t.Helper()
	pa, err := png.Decode(bytes.NewReader(a))
	require.NoError(t, err)
	pb, err := png.Decode(bytes.NewReader(b))
	require.NoError(t, err)
	if pa.Bounds() != pb.Bounds() {
		return 1
	}
	cells, differ := 0, 0
	for y := pa.Bounds().Min.Y; y < pa.Bounds().Max.Y; y += lookCell {
		for x := pa.Bounds().Min.X; x < pa.Bounds().Max.X; x += lookCell {
			ca, cb := colour(pa, x, y), colour(pb, x, y)
			cells++
			for i := range ca {
				if math.Abs(ca[i]-cb[i]) > cellMayDiff {
					differ++
					break
				}
			}
		}
	}
	return float64(differ) / float64(cells)
}

// colour is the mean of a cell.
func colour(p image.Image, x0, y0 int) (c [3]float64) {
	cell := image.Rect(x0, y0, x0+lookCell, y0+lookCell).Intersect(p.Bounds())
	for y := cell.Min.Y; y < cell.Max.Y; y++ {
		for x := cell.Min.X; x < cell.Max.X; x++ {
			r, g, b, _ := p.At(x, y).RGBA()
			for i, v := range []uint32{r, g, b} {
				c[i] += float64(v) / 257 / float64(cell.Dx()*cell.Dy())
			}
		}
	}
	return c
}
