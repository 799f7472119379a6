package page

import "github.com/paulmach/orb"

// tile is what a pattern repeats: strokes and dots on a square, in units. Whatever
// leaves it on one side comes in again on the other, because it is drawn there, too.
type tile struct {
	side    float64
	lines   []line
	width   float64
	dots    []orb.Point
	radius  float64
	hollow  bool // dots are rings of that width
	covered bool // all of it: no pattern
}

// tiles by the names that the script knows, too.
var tiles = map[string]tile{
	"solid": {side: 8, covered: true},
	"hatch": {side: 8, width: 1.6, lines: []line{{{-2, 2}, {2, -2}}, {{0, 8}, {8, 0}}, {{6, 10}, {10, 6}}}},
	"cross": {side: 9, width: 1.4, lines: []line{
		{{-2, 2}, {2, -2}},
		{{0, 9}, {9, 0}},
		{{7, 11}, {11, 7}},
		{{-2, 7}, {2, 11}},
		{{0, 0}, {9, 9}},
		{{7, -2}, {11, 2}},
	}},
	"bars": {side: 6, width: 2, lines: []line{{{-1, 3}, {7, 3}}}},
	"dots": {side: 6, radius: 1.5, dots: []orb.Point{{3, 3}}},
	"ring": {side: 9, radius: 2.6, width: 1.3, hollow: true, dots: []orb.Point{{4.5, 4.5}}},
	// Ground off limits: hatched the other way, wide.
	"limits": {side: 12, width: 1.2, lines: []line{{{-2, 10}, {2, 14}}, {{0, 0}, {12, 12}}, {{10, -2}, {14, 2}}}},
}

// patternParts returns the tile of a step's pattern, its ink and the ink below it.
func patternParts(pattern string) (t tile, ink, ground string) {
	if c, ok := choiceAt(pattern); ok {
		return tiles[c.Pattern], pattern, "patch"
	}
	if pattern == "limits" {
		return tiles[pattern], "limits", "limitsOn"
	}
	f, _ := findingOf(pattern)
	return tiles[f.Pattern], "k-" + f.Kind, "patch"
}
