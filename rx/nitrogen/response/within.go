package response

import (
	"fmt"
	"math"

	"ratewright/geo/unit"
)

// Range is the rates whose return is within a sum of the best.
type Range struct {
	Sum       unit.Return // as asked
	Low, High unit.NRate
	Beyond    bool // High is above the highest tested rate of every curve
	Notes     []string

	units unit.System
}

// Words is the range as a sentence.
func (r Range) Words() string {
	return fmt.Sprintf("from %s to %s the return is within %s of the best", r.units.NRate(r.Low), r.units.NRate(r.High), r.units.Return(r.Sum))
}

// Within is the range of rates whose return is within a sum (zero or more) of
// the best. For a quadratic with its optimum N* it is N* ± sqrt(sum / (P |C|)),
// cut at zero; beyond a plateau the return falls in a straight line.
func (c Curve) Within(p Prices, sum unit.Return) (Range, error) {
	m, err := single(c)
	if err != nil {
		return Range{}, err
	}
	return m.Within(p, sum)
}

// Within is that of a mean of curves, solved on each of its parabolas.
func (m Mean) Within(p Prices, sum unit.Return) (Range, error) {
	if err := checkSum(sum); err != nil {
		return Range{}, err
	}
	o, err := m.Optimum(p)
	if err != nil {
		return Range{}, err
	}
	least := (p.Grain.PerKg()*m.Yield(o.Rate).KgPerHa() - o.NCost.PerHa() - sum.PerHa()) / p.Grain.PerKg()
	best := o.Rate.KgNPerHa()
	out := Range{
		units: m.units,
		Sum:   sum,
		Low:   unit.KgNPerHa(m.low(best, least, p.Ratio())), High: unit.KgNPerHa(m.high(best, least, p.Ratio())),
	}
	if o.Rate < o.ByCurve { // held: the return rises on, by a curve that nobody tested there
		out.High = o.Rate
	}
	out.note(m)
	return out, nil
}

func (r *Range) note(m Mean) {
	highest, known := unit.NRate(0), true
	for _, e := range m.Members {
		highest, known = max(highest, e.Curve.Highest), known && e.Curve.Highest > 0
	}
	r.Beyond = known && r.High > highest
	if r.Beyond {
		r.Notes = append(r.Notes, fmt.Sprintf("the range runs over the highest tested rate of %s; what lies above is an extrapolation", m.units.NRate(highest)))
	}
}

// net is the parabola of the return, in kg of grain.
func (p piece) net(ratio float64) piece { p.b -= ratio; return p }

// low is the lowest rate with a net of at least least; the net rises up to best.
func (m Mean) low(best, least, ratio float64) float64 {
	for _, p := range m.pieces {
		q := p.net(ratio)
		end := min(p.hi, best)
		if q.yield(end) < least && end < best {
			continue
		}
		return min(max(q.solve(least, p.lo, false), p.lo), end)
	}
	return best
}

// high is the highest such rate; beyond the last join the net falls without end.
func (m Mean) high(best, least, ratio float64) float64 {
	for _, p := range m.pieces {
		q := p.net(ratio)
		if p.hi <= best || (!math.IsInf(p.hi, 1) && q.yield(p.hi) >= least) {
			continue
		}
		return max(min(q.solve(least, best, true), p.hi), p.lo, best)
	}
	return best
}

// solve is where the parabola has a value, on its rising or falling side, and
// other where it has it nowhere but for rounding.
func (p piece) solve(value, other float64, falling bool) float64 {
	if p.yield(p.lo) >= value && !falling {
		return p.lo
	}
	a := p.a - value
	d := p.b*p.b - 4*p.c*a
	if d < 0 {
		return p.top(other)
	}
	root := math.Sqrt(d)
	var x1, x2 float64
	switch q := -(p.b + math.Copysign(root, p.b)) / 2; {
	case p.b == 0 && p.c == 0:
		return other
	case p.c == 0:
		x1, x2 = -a/p.b, -a/p.b
	case q == 0:
		x1, x2 = p.top(other), p.top(other)
	default:
		x1, x2 = min(q/p.c, a/q), max(q/p.c, a/q)
	}
	if falling {
		return x2
	}
	return x1
}

func (p piece) top(other float64) float64 {
	if p.c == 0 {
		return other
	}
	return -p.b / (2 * p.c)
}
