package growth

import (
	"fmt"
	"math"
)

// Stage is a growth stage of corn on a scale of leaf collars: 0 is emergence (VE), 6
// is V6, 6.5 half way to V7. Tassel (VT) stands at 20 whatever the plant's last leaf,
// R1 to R6 follow in steps of 1. Below 0 the crop is not up.
type Stage float64

// Named stages. V-stages are numbers of their own: Stage(6) is V6.
const (
	VT Stage = finalLeaf + iota
	R1       // silking
	R2
	R3
	R4
	R5
	R6 // maturity
)

// Emergence is the stage VE.
func Emergence() Stage { return 0 }

// NotEmerged stands for any time before emergence.
func NotEmerged() Stage { return -1 }

// String is the stage that has been reached: "V6" from 6 until 7, "VE", "VT", "R1",
// "not emerged", "n/a" where it is no number.
func (s Stage) String() string {
	const rounding = 1e-9
	n := Stage(math.Floor(float64(s) + rounding))
	switch {
	case !finite(float64(s)):
		return "n/a"
	case n < 0:
		return "not emerged"
	case n < 1:
		return "VE"
	case n < VT:
		return fmt.Sprintf("V%d", int(n))
	case n < R1:
		return "VT"
	}
	return fmt.Sprintf("R%d", int(min(n, R6)-VT))
}

// stages puts a span of stages into words: "about V6", "V5 to V7", "not emerged".
func stages(low, high Stage) string {
	a, b := low.String(), high.String()
	switch {
	case a == b && low < 0:
		return a
	case a == b:
		return "about " + a
	}
	return a + " to " + b
}
