package response

import "math"

// parabola is a quadratic fitted on orthogonal polynomials of u: 1, u - centre,
// and (u - centre)² - skew (u - centre) - level. The coefficients of the last
// two are uncorrelated, which keeps the fit stable and Fieller's set short.
// Source: Forsythe 1957, J. SIAM 5:74-88, from memory.
type parabola struct {
	centre, skew, level float64
	d1, d2              float64 // coefficients, kg/ha
	s1, s2              float64 // sums of squares of the polynomials
	sse                 float64
}

func fitParabola(t *trial) parabola {
	var q parabola
	n := float64(t.obs)
	for i, u := range t.u {
		q.centre += t.w[i] * u / n
	}
	cubes, squares := 0.0, 0.0
	for i, u := range t.u {
		v := u - q.centre
		squares += t.w[i] * v * v
		cubes += t.w[i] * v * v * v
	}
	q.s1, q.skew, q.level = squares, cubes/squares, squares/n
	for i, u := range t.u {
		v := u - q.centre
		p := q.second(v)
		q.d1 += t.w[i] * t.y[i] * v / q.s1
		q.s2 += t.w[i] * p * p
		q.d2 += t.w[i] * t.y[i] * p
	}
	q.d2 /= q.s2
	q.sse = t.residual(func(u float64) float64 {
		v := u - q.centre
		return q.d1*v + q.d2*q.second(v)
	})
	return q
}

func (q parabola) second(v float64) float64 { return v*v - q.skew*v - q.level }

// curve is the parabola in kg/ha.
func (q parabola) curve(t *trial) Curve {
	c := q.d2 / (t.span * t.span)
	slope := (q.d1 - q.d2*(2*q.centre+q.skew)) / t.span // at the lowest rate
	v := -q.centre
	low := t.mean + q.d1*v + q.d2*q.second(v)
	return Curve{
		Model: Quadratic, C: c, B: slope - 2*c*t.lowest,
		A: low - t.lowest*(slope-c*t.lowest),
	}
}

// bends tells a curve that bends downward by more than rounding.
func (q parabola) bends(t *trial) bool {
	return q.d2 < 0 && !t.tiny(q.d2*q.d2*q.s2)
}

// Where the slope of the parabola is ratio: d1 + d2 z = r with z = 2 (u -
// centre) - skew and r the ratio per unit of u.

func (q parabola) rate(t *trial, z float64) float64 {
	return t.lowest + t.span*(q.centre+(z+q.skew)/2)
}

// slopeVariance is the variance of d1 + d2 z over that of a plot.
func (q parabola) slopeVariance(z float64) float64 { return 1/q.s1 + z*z/q.s2 }

// standardError is that of the optimum by the delta method, in kg N/ha.
// Source: any text on the delta method; Hernandez & Mulla 2008, Agron. J. 100:1221-1229 use it.
func (q parabola) standardError(t *trial, z float64) float64 {
	sigma := math.Sqrt(q.sse / float64(t.df()))
	return t.span * sigma * math.Sqrt(q.slopeVariance(z)) / (2 * math.Abs(q.d2))
}
