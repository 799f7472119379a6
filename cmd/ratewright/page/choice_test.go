package page

import (
	"io"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestChoicesAreToldApart without colour: no two inks share a pattern, and lines are
// seen on their ground, in the key and on the map.
func TestChoicesAreToldApart(t *testing.T) {
	seen := map[string]bool{}
	for i, c := range choiceInks {
		require.Contains(t, tiles, c.Pattern)
		require.NotEqual(t, "solid", c.Pattern, "text stands on it")
		require.False(t, seen[c.Pattern], c.Pattern)
		seen[c.Pattern] = true
		for _, th := range []theme{light, dark} {
			assert.GreaterOrEqual(t, contrast(colour(choicePattern(i), th), colour("patch", th)), leastLine, c.Pattern)
			assert.GreaterOrEqual(t, contrast(colour("text", th), colour("patch", th)), leastText)
		}
	}
}

// TestAPlanShowsWhatEachZoneGets: a letter with the rate on each zone, a pattern for
// each choice, and a key of those that occur.
func TestAPlanShowsWhatEachZoneGets(t *testing.T) {
	s := sample(0)
	s.Kind, s.Map.Patches, s.Map.RateTitle = Plan, nil, "Planned"
	s.Map.Choices = []Choice{{"A", "ammonia <early>"}, {"B", "urea"}, {"C", "split"}}
	s.Map.Zones[0].Choice, s.Map.Zones[1].Choice = "A", "C"
	s.Map.Zones[2].Rate, s.Map.Zones[2].Label = math.NaN(), ""
	sc := picture(s)
	texts, patterns := map[string]bool{}, map[string]bool{}
	for _, st := range sc.steps {
		if st.text != "" {
			texts[st.text] = true
		}
		if st.region == "zones" {
			patterns[st.pattern] = true
		}
	}
	require.True(t, texts["A 150"] && texts["C 185"], texts)
	require.True(t, texts["A  ammonia <early>"] && texts["C  split"], texts)
	require.False(t, texts["B  urea"], "it occurs nowhere")
	require.Equal(t, map[string]bool{"c0": true, "c2": true, "": true}, patterns)
	html := htmlOf(t, s)
	require.Contains(t, html, `"rateTitle":"Planned"`)
	require.Contains(t, html, `"choices":[{"letter":"A"`)
	require.NotContains(t, markup(html), "ammonia <early>")
	require.NoError(t, s.PNG(io.Discard))
}

// TestTheKeyNamesNumbersThatStandThere: where zones are too narrow for a rate, the key
// explains none.
func TestTheKeyNamesNumbersThatStandThere(t *testing.T) {
	s := sample(0)
	s.Kind, s.Map.Patches, s.Map.RateTitle, s.Map.RateUnit = Plan, nil, "Planned", "lb N/ac"
	s.Map.Choices = []Choice{{"A", "ammonia"}}
	for i := range s.Map.Zones {
		s.Map.Zones[i].Choice = "A"
	}
	require.Contains(t, words(picture(s)), "Number on a zone: planned rate, lb N/ac")
	for i := range s.Map.Zones {
		s.Map.Zones[i].Label, s.Map.Zones[i].Choice = "", ""
	}
	require.NotContains(t, words(picture(s)), "Number on a zone")
}

// words are all that a scene writes, a line each.
func words(sc scene) string {
	var list []string
	for i := range sc.steps {
		if sc.steps[i].text != "" {
			list = append(list, sc.steps[i].text)
		}
	}
	return strings.Join(list, "\n")
}

// TestThePosterCutsNoSentence: what is said beside a figure and every caution stand
// there to their last word.
func TestThePosterCutsNoSentence(t *testing.T) {
	s := sample(0)
	more := "of 156.4 applied; 136.5 to 155.6 by the losses assumed"
	caution := strings.TrimSpace(strings.Repeat("Only trained people may handle it, with goggles. ", 12)) + " The law decides."
	s.Lead, s.Cautions = []Figure{{Name: "remaining on 4 July", Value: "152.9", Unit: "lb N/ac", More: more}}, []string{caution}
	text := strings.Join(strings.Fields(words(poster(s))), " ")
	require.Contains(t, text, more)
	require.Contains(t, text, caution)
	require.NotContains(t, text, "…")
	for n := 200; n < 800; n++ { // whatever the length of its last line
		s.Cautions = []string{strings.TrimSpace(strings.Repeat("iw ", n/3))}
		require.NotContains(t, words(poster(s)), "…", n)
	}
}
