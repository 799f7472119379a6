package water

import "math"

// Triangle is where a share u (0 to 1) of a triangular distribution lies below: from
// low over its top to high.
func Triangle(u, low, top, high float64) float64 {
	if high <= low {
		return top
	}
	if left := (top - low) / (high - low); u < left {
		return low + math.Sqrt(u*(high-low)*(top-low))
	}
	return high - math.Sqrt((1-u)*(high-low)*(high-top))
}
