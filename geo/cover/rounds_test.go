package cover

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
	"github.com/stretchr/testify/require"
)

// Three patches, in steps of the grid. The dent of the upper one reaches its lower side
// on the grid alone, so that it is given corners there in the first round. The lower
// one has that side, too, and is given them in the second; from the first it keeps the
// corner of the one to its left.
func TestCornersOfALaterRoundJoinThoseOfTheFirst(t *testing.T) {
	at := func(x, y float64) corner {
		return corner{step{int64(x), int64(y)}, orb.Point{x / metreSteps, y / metreSteps}}
	}
	dent := at(1000, 300)
	dent.at.y = -5
	patches := []Patch{
		{loops: [][]corner{{at(-500, -500), at(0, -500), at(0, 0), at(-500, 0)}}},
		{loops: [][]corner{{at(0, 0), at(2000, 0), at(2000, 1000), at(1500, 1000), dent, at(500, 1000), at(0, 1000)}}},
		{loops: [][]corner{{at(0, -1000), at(2000, -1000), at(2000, 0), at(0, 0)}}},
	}
	draw(patches, Options{Workers: 1})
	corners := func(p *Patch) map[[2]int]bool {
		all := make(map[[2]int]bool)
		for _, poly := range p.Polygons {
			for _, r := range poly {
				for _, q := range r {
					all[[2]int{int(math.Round(q[0] * metreSteps)), int(math.Round(q[1] * metreSteps))}] = true
				}
			}
		}
		return all
	}
	upper, lower := corners(&patches[1]), corners(&patches[2])
	require.Contains(t, upper, [2]int{1002, 0})
	require.Contains(t, upper, [2]int{998, 0})
	require.Equal(t, map[[2]int]bool{
		{0, -1000}: true, {2000, -1000}: true, {2000, 0}: true, {1002, 0}: true, {998, 0}: true, {0, 0}: true, {0, -500}: true,
	}, lower)
	require.Len(t, corners(&patches[0]), 4)
}
