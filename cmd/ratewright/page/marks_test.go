package page

import (
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestRowsThatSayNothing(t *testing.T) {
	require.False(t, says([]Cell{{Text: "light"}, {Text: "-"}, {}, {Text: "-"}}))
	require.True(t, says([]Cell{{Text: "light"}, {Text: "-"}, {Text: "0.00"}}))
	require.True(t, says([]Cell{{Text: "a line"}}))
	require.True(t, says(nil))
}

func marked(sc scene) (marks []string, at []orb.Point) {
	for i := range sc.steps {
		if s := &sc.steps[i]; s.region == "letter" && s.text != "" && s.at[1] < sc.view.y1 {
			marks, at = append(marks, s.text), append(at, s.at)
		}
	}
	return marks, at
}

func TestMarksCountPatchesOfAKind(t *testing.T) {
	m := Map{Patches: []Patch{{Kind: "missed", AreaM2: 5}, {Kind: "heavy", AreaM2: 1}, {Kind: "missed", AreaM2: 9}, {Kind: "new", AreaM2: 2}, {Kind: "newer", AreaM2: 3}}}
	require.Equal(t, []string{"M2", "H1", "M1", "?2", "?1"}, marksOf(m))
	require.Empty(t, marksOf(Map{}))
}

// TestPartsOfAPatchHaveItsMark: two places that hang together by a millimetre are one
// entry of the list, with its whole area, and both are marked.
func TestPartsOfAPatchHaveItsMark(t *testing.T) {
	s := sample(0)
	p := moved(dumbbell(0), -1100, 500)
	s.Map.Patches = []Patch{{Kind: "missed", Title: "Missed", Polygons: orb.MultiPolygon{p}, AreaM2: 1400, Area: "0.35 ac"}}
	marks, at := marked(picture(s.lean()))
	require.Equal(t, []string{"M1", "M1"}, marks)
	require.Greater(t, at[0][0]-at[1][0], 100.0, "one on each")
	html := htmlOf(t, s)
	require.Equal(t, 1, strings.Count(html, "<li data-kind="))
	require.Contains(t, html, `<span class="letter">M1</span> <span class="title">Missed</span> <span class="area">0.35 ac</span> <span class="n">in 2 parts</span>`)
	require.Contains(t, html, `"mark":"M1"`)
}

// TestMarksOfAThinField stand on it, or beside it with a line to their patch.
func TestMarksOfAThinField(t *testing.T) {
	for name, turned := range map[string]bool{"lying": false, "upright": true} {
		strip := func(from, to, low, high float64) orb.MultiPolygon {
			if turned {
				return orb.MultiPolygon{box(low, from, high, to)}
			}
			return orb.MultiPolygon{box(from, low, to, high)}
		}
		s := Sheet{Kind: Reconciliation, Map: Map{Boundary: strip(0, 2000, 0, 20)}}
		for i := range 6 {
			x := float64(i) * 300
			s.Map.Patches = append(s.Map.Patches,
				Patch{Kind: "missed", Polygons: strip(x, x+200, 0, 12), AreaM2: 2400 - x},
				Patch{Kind: "light", Polygons: strip(x+20, x+180, 12, 20), AreaM2: 1280 - x/10})
		}
		sc := picture(s)
		marks, at := marked(sc)
		require.Len(t, marks, 12, name)
		field, _ := around(sc.steps[0].rings)
		ends := map[orb.Point]bool{}
		for i := range sc.steps {
			if s := &sc.steps[i]; s.region == "leader" {
				require.True(t, field.grown(0.2).overlaps(rect{s.lines[0][0][0], s.lines[0][0][1], s.lines[0][0][0] + 0.1, s.lines[0][0][1] + 0.1}), "a line ends on the field")
				ends[s.lines[0][1]] = true
			}
		}
		off := 0
		for _, p := range at {
			p[1] -= 0.36 * letterSize
			if p[0] < field.x0 || p[0] > field.x1 || p[1] < field.y0-0.1 || p[1] > field.y1+0.1 {
				off++
			}
		}
		assert.LessOrEqual(t, off, len(ends), "%s: a mark off the field has a line to it", name)
	}
}

// TestTitlesAreNotSaidTwice: a head that the title of a table says already is not.
func TestTitlesAreNotSaidTwice(t *testing.T) {
	require.False(t, ownHead(Table{Title: "Nitrogen", Head: []string{"nitrogen", "lb N"}}))
	require.False(t, ownHead(Table{Title: "By zone", Head: []string{"zone"}}))
	require.False(t, ownHead(Table{Title: "Ground", Head: []string{""}}))
	require.False(t, ownHead(Table{Title: "Ground"}))
	require.True(t, ownHead(Table{Title: "Key in at the controller", Head: []string{"where"}}))
	html := htmlOf(t, sample(0))
	require.NotContains(t, html, "<caption>By zone")
	require.Contains(t, html, `<thead><tr><th scope="col">By zone</th>`)
}
