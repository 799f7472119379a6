package allot

import (
	"fmt"
	"math"
)

// Worth is what more of a scarce thing would return, by solving again with the limit raised.
type Worth struct {
	Limit   Limit   // as it is
	More    float64 // by which it is raised, in its unit
	Dollars float64 // the value with more of it, less the value without
	// Low and High are proven: the best choice with more of it returns that much more than
	// the best without. They lie apart by what both searches left open.
	Low, High float64
	// Price is what the relaxation would pay for as much more, $.
	Price float64
	// Known says that Dollars is more than what both searches left open, or that they left
	// open less than a cent.
	Known bool
	// OnField says that it was chosen again on the field of the limit alone.
	OnField bool
	Result  Result // with the limit raised
}

// manyLimits is the number of limits up to which all fields are searched again for each.
const manyLimits = 40

// cent is the difference that is nothing to anybody.
const cent = 0.01

// Worth solves again with more of one limit and compares with a result of Solve for the same
// problem; with more than 40 limits over fields that share some, for a limit of one field on
// that field, to which the others give way where that loses least: Dollars may then be less
// than a search of all fields would find, and Low and High hold for all. The choice already made stays open, so that more is never worth less than nothing.
// Errors: an amount that is not above 0, an unknown limit, a result of another problem, and
// those of Solve.
func (p *Problem) Worth(r Result, limit int, more float64, o Options) (Worth, error) {
	if limit < 0 || limit >= len(p.limits) {
		return Worth{}, fmt.Errorf("there is no limit %d; there are %d", limit, len(p.limits))
	}
	l := p.limits[limit]
	if !(more > 0 && more <= most) || l.Amount+more > most {
		return Worth{}, fmt.Errorf("the worth of %g more of %s cannot be found; ask for an amount above 0 and up to %g", more, amountOf(l), most-l.Amount)
	}
	if err := p.made(r); err != nil {
		return Worth{}, err
	}
	if p.enough(limit) {
		return p.worthOf(r, r, limit, more), nil
	}
	if len(p.limits) > manyLimits {
		if w, ok, err := p.worthInField(r, limit, more, o); ok || err != nil {
			return w, err
		}
	}
	raised := *p
	raised.limits = append([]Limit(nil), p.limits...)
	raised.limits[limit].Amount += more
	again, err := raised.solve(o, r.Choice)
	if err != nil {
		return Worth{}, err
	}
	return p.worthOf(r, again, limit, more), nil
}

// enough says whether a limit holds for every choice.
func (p *Problem) enough(limit int) bool {
	sum := 0.0
	for g := range p.names {
		top := 0.0
		for k := p.start[g]; k < p.start[g+1]; k++ {
			for e := p.uses[k]; e < p.uses[k+1]; e++ {
				if p.row[e] == int32(limit) {
					top = max(top, p.amount[e])
				}
			}
		}
		sum += top
	}
	return sum <= p.limits[limit].Amount
}

// made says whether a result can be that of the problem.
func (p *Problem) made(r Result) error {
	wrong := fmt.Errorf("the result is not one of this problem; solve it first")
	if len(r.Choice) != len(p.names) || len(r.Price) != len(p.limits) || !(r.Bound >= r.Value) {
		return wrong
	}
	for g, c := range r.Choice {
		if c < 0 || c >= int(p.start[g+1]-p.start[g]) {
			return wrong
		}
	}
	if v, _ := p.used(r.Choice); math.Abs(v-r.Value) > 1e-9*max(1, math.Abs(v)) {
		return wrong
	}
	return nil
}

// String says it in words: "another 1 t of UAN 32 would be worth $212".
func (w Worth) String() string {
	what := fmt.Sprintf("another %s of %s", quantity(w.More, w.Limit.Unit), w.Limit.Name)
	switch {
	case !w.Known:
		return fmt.Sprintf("what %s would be worth is not known: between $%.2f and $%.2f, for the search left that much open", what, w.Low, w.High)
	case w.Dollars < cent:
		return what + " would be worth nothing"
	case w.High-w.Low < cent || w.Dollars >= 1000*(w.High-w.Low):
		return fmt.Sprintf("%s would be worth $%s", what, money(w.Dollars))
	}
	return fmt.Sprintf("%s would be worth $%s ($%s to $%s)", what, money(w.Dollars), money(w.Low), money(w.High))
}

// money is an amount with cents below $100.
func money(v float64) string {
	if v < 100 {
		return fmt.Sprintf("%.2f", v)
	}
	return fmt.Sprintf("%.0f", v)
}
