package response

import (
	"fmt"
	"math"
	"slices"

	"ratewright/geo/unit"
)

// Member is one curve of a mean.
type Member struct {
	Name   string
	Curve  Curve
	Weight float64 // above zero: 1 for trials that count alike, or an area
}

// Mean is the weighted mean of curves: the mean return over trials, or the yield
// of a field over its zones. Its return is a concave function made of parabolas
// that meet at the joins, so that optimum and ranges are solved, not searched.
// Source of the idea of a mean return over trials and of the rates near its
// maximum: Sawyer et al. 2006, Iowa State Univ. Extension PM 2015 (title seen,
// text not seen).
type Mean struct {
	Members []Member

	pieces []piece
	units  unit.System // of sentences: those of the first curve
}

// piece is the mean yield a + bN + cN² from lo to hi, kg/ha.
type piece struct{ lo, hi, a, b, c float64 }

func (p piece) yield(x float64) float64 { return p.a + x*(p.b+x*p.c) }
func (p piece) slope(x float64) float64 { return p.b + 2*p.c*x }

// NewMean makes a mean of curves; there must be one or more, each with a weight
// above zero.
func NewMean(members []Member) (Mean, error) {
	if len(members) == 0 {
		return Mean{}, refuse(NothingLeft, "there is no response curve to take a mean of")
	}
	sum := 0.0
	for i, m := range members {
		if err := m.Curve.check(); err != nil {
			return Mean{}, fmt.Errorf("curve %s: %w", m.name(i), err)
		}
		if !(m.Weight > 0 && m.Weight < 1e15) {
			return Mean{}, refuse(BadCurve, "curve %s has a weight of %s; give each a weight above zero", m.name(i), figure(m.Weight))
		}
		sum += m.Weight
	}
	out := Mean{Members: slices.Clone(members), units: members[0].Curve.Units}
	ends := out.joins()
	for i, lo := range ends {
		p := piece{lo: lo, hi: math.Inf(1)}
		if i+1 < len(ends) {
			p.hi = ends[i+1]
		}
		for _, m := range members {
			p.include(m.Curve, m.Weight/sum)
		}
		out.pieces = append(out.pieces, p)
	}
	return out, nil
}

func (m Member) name(i int) string {
	if m.Name != "" {
		return m.Name
	}
	return fmt.Sprint(i + 1)
}

// joins lists zero and every join, rising.
func (m Mean) joins() []float64 {
	ends := []float64{0}
	for _, e := range m.Members {
		if e.Curve.hasJoin() {
			ends = append(ends, e.Curve.Join.KgNPerHa())
		}
	}
	slices.Sort(ends)
	return slices.Compact(ends)
}

func (p *piece) include(c Curve, share float64) {
	if c.hasJoin() && c.Join.KgNPerHa() <= p.lo {
		y, _ := c.Plateau()
		p.a += share * y.KgPerHa()
		return
	}
	p.a += share * c.A
	p.b += share * c.B
	p.c += share * c.C
}

func (m Mean) at(x float64) piece {
	for i := len(m.pieces) - 1; i > 0; i-- {
		if x >= m.pieces[i].lo {
			return m.pieces[i]
		}
	}
	if len(m.pieces) == 0 {
		return piece{} // a mean of nothing, which every question refuses
	}
	return m.pieces[0]
}

// askable refuses a mean of nothing, and prices that are none.
func (m Mean) askable(p Prices) error {
	if len(m.pieces) == 0 {
		return refuse(NothingLeft, "there is no response curve to take a mean of")
	}
	return p.check()
}

// Yield is the mean yield at a rate of zero or more.
func (m Mean) Yield(n unit.NRate) unit.Yield {
	return unit.KgGrainPerHa(m.at(n.KgNPerHa()).yield(n.KgNPerHa()))
}

// Return is the return to a rate over no nitrogen.
func (m Mean) Return(n unit.NRate, p Prices) (unit.Return, error) {
	if err := m.askable(p); err != nil {
		return 0, err
	}
	if x := n.KgNPerHa(); !(x >= 0) || !finite(x) {
		return 0, refuse(BadPrice, "the return to a rate of %s kg N/ha is asked for; a rate is zero or more", figure(x))
	}
	return m.gain(n.KgNPerHa(), p), nil
}

func (m Mean) gain(x float64, p Prices) unit.Return {
	return p.returnOf(m.at(x).yield(x)-m.at(0).a, x)
}

// bestRate is the lowest rate of the largest return: where the slope has fallen
// to the price ratio.
func (m Mean) bestRate(ratio float64) float64 {
	for _, p := range m.pieces {
		if p.slope(p.lo) <= ratio {
			return p.lo
		}
		if p.c < 0 {
			if x := (ratio - p.b) / (2 * p.c); x <= p.hi {
				return max(x, p.lo)
			}
		}
	}
	last := m.pieces[len(m.pieces)-1]
	return last.lo // level there: its slope of zero is below every ratio, but for rounding
}

// Point is one point of the curve of returns.
type Point struct {
	Rate   unit.NRate
	Yield  unit.Yield
	Grain  unit.Return // what the grain beyond that of no nitrogen brings
	NCost  unit.Return // what the nitrogen costs
	Return unit.Return // Grain less NCost
}

// Points are evenly spaced points from no nitrogen to a rate above zero, for a
// chart or a table; count is 2 or more.
func (m Mean) Points(p Prices, to unit.NRate, count int) ([]Point, error) {
	if err := m.askable(p); err != nil {
		return nil, err
	}
	if x := to.KgNPerHa(); !(x > 0) || !finite(x) || count < 2 {
		return nil, refuse(BadPrice, "%d points up to %s kg N/ha are asked for; a chart needs two or more, up to a rate above zero", count, figure(x))
	}
	out := make([]Point, count)
	for i := range out {
		x := to.KgNPerHa() * float64(i) / float64(count-1)
		out[i] = m.point(x, p)
	}
	return out, nil
}

func (m Mean) point(x float64, p Prices) Point {
	return Point{
		Rate: unit.KgNPerHa(x), Yield: m.Yield(unit.KgNPerHa(x)), Return: m.gain(x, p),
		Grain: m.gain(x, p) + unit.Return(p.N.PerKg()*x), NCost: unit.Return(p.N.PerKg() * x),
	}
}
