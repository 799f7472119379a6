package response

import (
	"math"
	"slices"
)

// poly is a polynomial, its coefficients from the constant on.
type poly []float64

func (p poly) at(x float64) float64 {
	v := 0.0
	for i := len(p) - 1; i >= 0; i-- {
		v = v*x + p[i]
	}
	return v
}

func (p poly) times(q poly) poly {
	out := make(poly, len(p)+len(q)-1)
	for i, a := range p {
		for j, b := range q {
			out[i+j] += a * b
		}
	}
	return out
}

// plus is p + k q.
func (p poly) plus(k float64, q poly) poly {
	out := make(poly, max(len(p), len(q)))
	copy(out, p)
	for i, b := range q {
		out[i] += k * b
	}
	return out
}

func (p poly) derivative() poly {
	if len(p) < 2 {
		return poly{0}
	}
	out := make(poly, len(p)-1)
	for i := range out {
		out[i] = float64(i+1) * p[i+1]
	}
	return out
}

// roots lists where p changes its sign within lo to hi, rising. Between the
// turning points, which are the roots of its derivative, p is monotone, so that
// none is missed.
func (p poly) roots(lo, hi float64) []float64 {
	if len(p) < 2 || !(lo < hi) {
		return nil
	}
	turns := slices.Concat([]float64{lo}, p.derivative().roots(lo, hi), []float64{hi})
	var out []float64
	for i := 1; i < len(turns); i++ {
		if x, ok := p.crossing(turns[i-1], turns[i]); ok && (len(out) == 0 || x > out[len(out)-1]) {
			out = append(out, x)
		}
	}
	return out
}

// crossing finds the change of sign of a monotone stretch: Newton's steps kept
// within a bracket that is halved wherever they would leave it.
func (p poly) crossing(lo, hi float64) (float64, bool) {
	a, b := p.at(lo), p.at(hi)
	switch {
	case a == 0:
		return lo, b != 0
	case b == 0:
		return hi, true
	case (a < 0) == (b < 0):
		return 0, false
	}
	d := p.derivative()
	x := lo + (hi-lo)/2
	for range 200 {
		v := p.at(x)
		if v == 0 {
			return x, true
		}
		if (v < 0) == (a < 0) {
			lo = x
		} else {
			hi = x
		}
		next := x - v/d.at(x)
		if !(next > lo && next < hi) {
			next = lo + (hi-lo)/2
		}
		if next == x || next <= lo || next >= hi || math.Abs(next-x) <= 1e-16*math.Abs(x) {
			return next, true
		}
		x = next
	}
	return x, true
}
