package surface

import (
	"fmt"
	"math"
)

// slim is the width of samples over their length below which they lie along a line: what
// is left out lies on the line as well, so that nothing tells of the ground beside it.
const slim = 0.05

// lineNote says that samples lie along a line, and how far they stray from it; "" where
// they do not.
func lineNote(samples []Sample) string {
	var x, y, xx, yy, xy float64
	n := float64(len(samples))
	for _, s := range samples {
		x += s.At[0] / n
		y += s.At[1] / n
	}
	for _, s := range samples {
		dx, dy := s.At[0]-x, s.At[1]-y
		xx += dx * dx / n
		yy += dy * dy / n
		xy += dx * dy / n
	}
	// The variances along and across the line of the least squares of distances.
	middle, reach := (xx+yy)/2, math.Hypot((xx-yy)/2, xy)
	along, across := math.Sqrt(middle+reach), math.Sqrt(max(0, middle-reach))
	if across >= slim*along {
		return ""
	}
	return fmt.Sprintf("the samples lie along one line (%.1f m across it, %.0f m along it, as standard deviations): values beside the line are guessed from it, and how far they are off is known on the line alone", across, along)
}
