package page

import (
	"encoding/xml"
	"errors"
	"io"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func courseSample() Course {
	c := Course{
		Title: "Zone <A>", X: "days", Y: "lb N/ac", Still: "still there, 120", Whole: 150,
		BandWords: "low and high", DrawWords: "draws", WorstWords: "worst",
		Ways: []Way{{"air", "ammonia, 20"}, {"held", "held & kept, 10"}},
	}
	for d := range 40 {
		f := float64(d) / 39
		c.Days = append(c.Days, CourseDay{
			Day: float64(d + 1), Still: 150 - 30*f, Low: 140 - 40*f, High: 150 - 10*f, DrawLow: 145 - 35*f, DrawUp: 150 - 15*f, Worst: 150 - 45*f,
			Parts: []float64{20 * f, 10 * f},
		})
	}
	return c
}

func TestCourseIsDrawnInWords(t *testing.T) {
	c := courseSample()
	svg := string(c.SVG())
	require.Contains(t, svg, `role="img"><title>Zone &lt;A&gt;</title><desc>still there, 120; low and high; draws; worst; held &amp; kept, 10; ammonia, 20</desc>`)
	require.NotContains(t, svg, "style=", "which the policy forbids")
	for _, ink := range []string{"still", "band", "draws", "worst", "air", "held"} {
		require.Equal(t, 1, strings.Count(svg, `class="c-`+ink+`"`), ink)
		require.Contains(t, courseStyles, "path.c-"+ink+"{")
		require.Contains(t, courseStyles, "span.c-"+ink+"{")
	}
	dec := xml.NewDecoder(strings.NewReader(svg))
	for {
		_, err := dec.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		require.NoError(t, err)
	}
	// What is not there is neither drawn nor named.
	c.DrawWords, c.WorstWords, c.BandWords, c.Ways = "", "", "", nil
	for i := range c.Days {
		c.Days[i].Parts = nil
	}
	svg = string(c.SVG())
	require.Contains(t, svg, "<desc>still there, 120</desc>")
	require.NotContains(t, svg, "c-draws")
}

// TestCourseStaysInItsPanels reads the last point of the line and the top of what is
// stacked.
func TestCourseStaysInItsPanels(t *testing.T) {
	c := courseSample()
	upper := panel{&c, courseTop, courseUpper, ceiling(c.Whole)}
	require.Equal(t, number(courseWidth-courseRight), upper.x(40))
	require.Equal(t, number(courseLeft), upper.x(1))
	require.Equal(t, number(courseTop), upper.y(150), "the whole is the top")
	require.Equal(t, number(courseTop+courseUpper), upper.y(0))
	lost, ok := c.most()
	require.True(t, ok)
	require.Equal(t, 30.0, lost)
	require.Contains(t, upper.line(func(d *CourseDay) float64 { return d.Still }), "L"+upper.x(40)+" "+upper.y(120))
	for v, want := range map[float64]float64{1: 1, 1.2: 1.5, 150: 150, 151: 200, 0.7: 0.8, 9: 10, 30: 30} {
		require.InDelta(t, want, ceiling(v), 1e-12)
	}
}

func TestCourseThatCannotBeDrawn(t *testing.T) {
	require.Empty(t, (*Course)(nil).SVG())
	for name, spoil := range map[string]func(*Course){
		"one day":    func(c *Course) { c.Days = c.Days[:1] },
		"no whole":   func(c *Course) { c.Whole = 0 },
		"infinite":   func(c *Course) { c.Whole = math.Inf(1) },
		"NaN":        func(c *Course) { c.Days[3].Low = math.NaN() },
		"days back":  func(c *Course) { c.Days[3].Day = 1 },
		"parts lack": func(c *Course) { c.Days[3].Parts = nil },
	} {
		c := courseSample()
		spoil(&c)
		require.Empty(t, c.SVG(), name)
	}
}

// TestPageOfLossesHasNoScript also holds its policy to forbid one.
func TestPageOfLossesHasNoScript(t *testing.T) {
	s := sample(0)
	s.Kind, s.Courses, s.Warnings = Losses, []Course{courseSample()}, []string{"warn: <b>look</b>"}
	s.Map.RateTitle, s.Map.Tracks, s.Map.Patches = "Still there", nil, nil
	html, err := s.HTML()
	require.NoError(t, err)
	text := string(html)
	require.NotContains(t, text, "<script")
	require.NotContains(t, text, "script-src")
	require.Contains(t, text, "default-src 'none'")
	require.Contains(t, text, "warn: &lt;b&gt;look&lt;/b&gt;")
	require.Contains(t, text, "Still there, ")
	require.NotContains(t, text, ">Prescribed, ")
	s.Map.Zones[0].Rate = math.Inf(1)
	_, err = s.HTML()
	require.Error(t, err)
}
