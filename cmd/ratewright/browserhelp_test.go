//go:build browser

package main

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/runtime"
	cdp "github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"

	"ratewright/geo/unit"
)

type (
	cdpLog       = log.EventEntryAdded
	cdpException = runtime.EventExceptionThrown
)

// awaited waits for the promise that an expression gives.
func awaited(p *runtime.EvaluateParams) *runtime.EvaluateParams { return p.WithAwaitPromise(true) }

var _ cdp.EvaluateOption = awaited

// at returns the value of a path such as zones.0.area_m2.missed in a document.
func at(doc any, path string) (any, bool) {
	for _, key := range strings.Split(path, ".") {
		switch d := doc.(type) {
		case map[string]any:
			v, ok := d[key]
			if !ok {
				return nil, false
			}
			doc = v
		case []any:
			i, err := strconv.Atoi(key)
			if err != nil || i < 0 || i >= len(d) {
				return nil, false
			}
			doc = d[i]
		default:
			return nil, false
		}
	}
	return doc, true
}

var shownNumber = regexp.MustCompile(`^-?[0-9,]*\.?[0-9]+`)

// requireShows requires that a text of a page is a figure of the JSON, rounded as
// the text is, in one of the units that a job may have.
func requireShows(t *testing.T, doc any, key, text string) {
	t.Helper()
	v, ok := at(doc, key)
	require.True(t, ok, "the page shows %q for %s, which the JSON has not", text, key)
	text = strings.TrimSpace(text)
	if v == nil {
		require.Equal(t, notKnown, text, key)
		return
	}
	if s, ok := v.(string); ok {
		require.Equal(t, s, text, key)
		return
	}
	exact, ok := v.(float64)
	require.True(t, ok, "%s is no number: %v", key, v)
	digits := shownNumber.FindString(text)
	require.NotEmpty(t, digits, "%s: %q", key, text)
	shown, err := strconv.ParseFloat(strings.ReplaceAll(digits, ",", ""), 64)
	require.NoError(t, err)
	half := 0.5
	if _, decimals, ok := strings.Cut(digits, "."); ok {
		half = 0.5 * math.Pow(10, -float64(len(decimals)))
	}
	for _, per := range unitsOf(key) {
		if math.Abs(shown-exact/per) <= half*(1+1e-9) {
			return
		}
	}
	t.Errorf("%s: the page shows %q, the JSON says %v", key, text, exact)
}

// unitsOf are the units in which a page may show a figure of the JSON, in those of the
// JSON.
func unitsOf(key string) []float64 {
	perAcre := 1e4 / m2PerAcre
	switch {
	case strings.Contains(key, "usd_per_ha"):
		return []float64{1, perAcre}
	case strings.Contains(key, "yield_kg_ha"):
		return []float64{1000, unit.BushelsPerAcre(1).KgPerHa()}
	case strings.Contains(key, ".limits."):
		return []float64{1, 1000, unit.ShortTons(1).Kilograms(), kgPerPound}
	}
	return []float64{1, m2PerAcre, 1e4, kgPerPound, kgPerPound * perAcre}
}

var (
	m2PerAcre  = unit.Acres(1).SquareMetres()
	kgPerPound = unit.Pounds(1).Kilograms()
)
