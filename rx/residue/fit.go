package residue

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Options are the rules by which a line is accepted.
type Options struct {
	LeastPoints int     // fewest places, 3 or more
	Level       float64 // largest probability of the slope under none, 0 to 1
}

// DefaultOptions are 5 places and 0.05.
func DefaultOptions() Options { return Options{LeastPoints: leastPoints, Level: level} }

// Point is a place with what the image shows there and what was counted.
type Point struct {
	ID       string
	Index    float64
	CoverPct float64 // 0 to 100
}

// Calibration is the line, cover in percent = Intercept + Slope x index, and how far it can
// be trusted. Errors are in percent of the ground, as the cover is.
type Calibration struct {
	Intercept, Slope float64
	N                int     // places
	SE               float64 // standard error of the cover of a place, with N - 2 degrees of freedom
	R2               float64 // share of the variance of the cover, 0 to 1
	P                float64 // probability of such a slope, or a steeper one, where there is none
	LeaveOneOut      float64 // root mean square of what places are off by, each by the line of the others
	MeanOfOthers     float64 // the same where the mean of the others stands in for the line
	Low, High        float64 // range of the index seen
	Notes            []string

	meanIndex, spread float64 // mean of the index, and the sum of its squared differences from that
}

// Fit fits the line. Fewer places than asked for, numbers that are not finite, cover that
// is no percentage or looks like a share of one, an index or cover that is the same at all
// places, a slope that cannot be told from none, and a line that hangs on one place are
// errors that say so.
func Fit(points []Point, o Options) (Calibration, error) {
	if o.LeastPoints < 3 || !(o.Level > 0 && o.Level <= 1) {
		return Calibration{}, errors.New("a line takes 3 places or more, and a probability above 0")
	}
	if err := check(points, o); err != nil {
		return Calibration{}, err
	}
	c, err := line(points)
	if err != nil {
		return Calibration{}, err
	}
	if c.P > o.Level {
		return Calibration{}, fmt.Errorf("the cover counted at %d places does not follow the image: a slope like that of %.3g %% for 1 of the index, or a steeper one, comes by chance in %.0f of 100 such sets (accepted: %.0f); the image says nothing of residue here; take the counts alone, as samples", c.N, c.Slope, 100*c.P, 100*o.Level)
	}
	if c.LeaveOneOut >= c.MeanOfOthers {
		c.Notes = append(c.Notes, fmt.Sprintf("a place left out is off by %.1f %% by the line and %.1f %% by the mean of the others: the image adds nothing to the counts", c.LeaveOneOut, c.MeanOfOthers))
	}
	return c, nil
}

func check(points []Point, o Options) error {
	if len(points) < o.LeastPoints {
		return fmt.Errorf("%d places with a count and a pixel make no line; it takes %d (common practice); count more", len(points), o.LeastPoints)
	}
	most := 0.0
	for _, p := range points {
		if math.IsNaN(p.Index) || math.IsInf(p.Index, 0) {
			return fmt.Errorf("%s: its index is %v", p.ID, p.Index)
		}
		if !(p.CoverPct >= 0 && p.CoverPct <= 100) {
			return fmt.Errorf("%s: a cover of %g %% is none; it lies between 0 and 100", p.ID, p.CoverPct)
		}
		most = max(most, p.CoverPct)
	}
	if most > 0 && most <= 1 {
		return fmt.Errorf("no cover is above %g, which looks like shares and not like percent; write 45 for 45 %%", most)
	}
	return nil
}

// line fits by least squares, with the index scaled to 0 to 1 so that no number of an image
// is too great or too small.
func line(points []Point) (Calibration, error) {
	c := Calibration{N: len(points), Low: math.Inf(1), High: math.Inf(-1)}
	n := float64(c.N)
	meanY := 0.0
	for _, p := range points {
		c.Low, c.High = min(c.Low, p.Index), max(c.High, p.Index)
		meanY += p.CoverPct / n
	}
	span := c.High - c.Low
	if scale := max(math.Abs(c.Low), math.Abs(c.High)); !(span > 1e-9*scale) {
		return c, fmt.Errorf("the index is %.6g at every place; a line takes places from bare to well covered", c.Low)
	}
	scaled := func(p Point) float64 { return (p.Index - c.Low) / span }
	meanU := 0.0
	for _, p := range points {
		meanU += scaled(p) / n
	}
	var uu, uy, yy float64
	for _, p := range points {
		u, y := scaled(p)-meanU, p.CoverPct-meanY
		uu, uy, yy = uu+u*u, uy+u*y, yy+y*y
	}
	if yy == 0 {
		return c, fmt.Errorf("the cover is %g %% at every place; a line takes places from bare to well covered", meanY)
	}
	slope := uy / uu
	left := 0.0
	for _, p := range points {
		u := scaled(p) - meanU
		e := p.CoverPct - meanY - slope*u
		hold := 1/n + u*u/uu // how much of its own value a place has in the line
		if hold > 1-1e-9 {
			return c, fmt.Errorf("without %s the index is the same at every place: that one alone makes the line; count more well covered or bare places", p.ID)
		}
		left += e * e
		c.LeaveOneOut += e * e / ((1 - hold) * (1 - hold)) / n
	}
	c.LeaveOneOut, c.MeanOfOthers = math.Sqrt(c.LeaveOneOut), math.Sqrt(yy/n)*n/(n-1)
	c.SE, c.R2 = math.Sqrt(left/(n-2)), max(0, 1-left/yy)
	if left > 0 {
		t := math.Abs(slope) / (c.SE / math.Sqrt(uu))
		c.P = 2 * distuv.StudentsT{Sigma: 1, Nu: n - 2}.Survival(t)
	}
	c.Slope = slope / span
	c.meanIndex, c.spread = c.Low+meanU*span, uu*span*span
	c.Intercept = meanY - c.Slope*c.meanIndex
	for _, v := range []float64{c.Slope, c.Intercept, c.spread} {
		if math.IsNaN(v) || math.IsInf(v, 0) || c.spread == 0 {
			return c, fmt.Errorf("an index from %.3g to %.3g is beyond reckoning", c.Low, c.High)
		}
	}
	return c, nil
}

// At returns the cover in percent by the line, which may lie below 0 or above 100.
func (c Calibration) At(index float64) float64 { return c.Intercept + c.Slope*index }

// standardError is that of the line at a mean of the index.
func (c Calibration) standardError(index float64) float64 {
	d := index - c.meanIndex
	return c.SE * math.Sqrt(1/float64(c.N)+d*d/c.spread)
}

// Words is the line with what it was fitted to, as a sentence.
func (c Calibration) Words() string {
	return fmt.Sprintf("cover in %% = %.4g %+.4g x index, fitted to %d places: standard error %.1f %%, R2 %.2f; each place by the line of the others is off by %.1f %% (root mean square; by their mean: %.1f %%); index seen %.4g to %.4g",
		c.Intercept, c.Slope, c.N, c.SE, c.R2, c.LeaveOneOut, c.MeanOfOthers, c.Low, c.High)
}
