package plan

import (
	"cmp"
	"fmt"
	"math"
	"strings"
)

// Total is a strategy over the zones of a field, in sums and in means by area.
type Total struct {
	Strategy                                   int
	AreaHa, NKg                                float64
	RateKgHa                                   float64
	Lost                                       Lost // kg/ha
	Left, LeftLow, LeftHigh, LeftWorst         float64
	Cost                                       float64
	HasReturn                                  bool // every zone has a return
	Yield, YieldWorst                          float64
	Return, ReturnWorst, ReturnLow, ReturnHigh float64
	BestYears                                  int // in which it returns the most
	yearly                                     []float64
}

// Comparison is a field's.
type Comparison struct {
	Field  string
	Years  int
	Totals []Total // by strategy
	Best   int     // that returns the most on average; -1 without returns
	Words  []string
}

// Fields compares the strategies field by field, in the order in which the fields come.
func (r *Result) Fields() []Comparison {
	var list []Comparison
	at := map[string][]int{}
	var names []string
	for i := range r.Input.Zones {
		name := r.Input.Zones[i].Field
		if at[name] == nil {
			names = append(names, name)
		}
		at[name] = append(at[name], i)
	}
	for _, name := range names {
		list = append(list, r.field(name, at[name]))
	}
	return list
}

func (r *Result) field(name string, zones []int) Comparison {
	c := Comparison{Field: name, Best: -1, Years: len(r.Input.Stations[r.Input.Zones[zones[0]].Station].Years)}
	for s := range r.Input.Strategies {
		t := Total{Strategy: s, HasReturn: true, yearly: make([]float64, c.Years)}
		for _, i := range zones {
			t.add(&r.Outcomes[i][s], r.Input.Zones[i].AreaHa)
		}
		t.divide()
		c.Totals = append(c.Totals, t)
	}
	c.rank()
	if c.Words = c.words(r); c.Best < 0 {
		c.Words = r.unpriced(zones)
	}
	return c
}

// unpriced says why a field of which some zones have returns has none itself.
func (r *Result) unpriced(zones []int) []string {
	without, verb := 0, "has"
	for _, i := range zones {
		if len(r.Outcomes[i][0].Yearly) == 0 {
			without++
		}
	}
	if without == len(zones) {
		return nil
	}
	if without > 1 {
		verb = "have"
	}
	return []string{fmt.Sprintf("the strategies are not compared by return over the field, for %d of its %d zones %s none", without, len(zones), verb)}
}

// add puts a zone's outcome to the sums, weighed by its area.
func (t *Total) add(o *Outcome, ha float64) {
	t.AreaHa += ha
	t.NKg += ha * o.Rate.KgNPerHa()
	for _, f := range []struct {
		to   *float64
		from float64
	}{
		{&t.Lost.Ammonia, o.Lost.Ammonia},
		{&t.Lost.AtInjection, o.Lost.AtInjection},
		{&t.Lost.Denitrified, o.Lost.Denitrified},
		{&t.Lost.Leached, o.Lost.Leached},
		{&t.Lost.Held, o.Lost.Held},
		{&t.Left, o.Left},
		{&t.LeftLow, o.LeftLow},
		{&t.LeftHigh, o.LeftHigh},
		{&t.LeftWorst, o.LeftWorst},
		{&t.Cost, o.Cost},
		{&t.Yield, o.Yield.KgPerHa()},
		{&t.YieldWorst, o.YieldWorst.KgPerHa()},
		{&t.ReturnLow, o.ReturnLow},
		{&t.ReturnHigh, o.ReturnHigh},
	} {
		*f.to += ha * f.from
	}
	if len(o.Yearly) != len(t.yearly) {
		t.HasReturn = false
		return
	}
	for y, v := range o.Yearly {
		t.yearly[y] += ha * v
	}
}

// divide turns sums into means by area.
func (t *Total) divide() {
	t.RateKgHa = t.NKg / t.AreaHa
	for _, f := range []*float64{
		&t.Lost.Ammonia, &t.Lost.AtInjection, &t.Lost.Denitrified, &t.Lost.Leached, &t.Lost.Held,
		&t.Left, &t.LeftLow, &t.LeftHigh, &t.LeftWorst, &t.Cost, &t.Yield, &t.YieldWorst, &t.ReturnLow, &t.ReturnHigh,
	} {
		*f /= t.AreaHa
	}
	for y := range t.yearly {
		t.yearly[y] /= t.AreaHa
	}
	if t.HasReturn {
		// The field's own worst years, which need not be those of each zone.
		t.Return, t.ReturnWorst = mean(t.yearly), worstFifth(t.yearly)
	}
}

// rank finds the best strategy, and which one is best in each year; of equal ones the
// first listed.
func (c *Comparison) rank() {
	for s := range c.Totals {
		if c.Totals[s].HasReturn && (c.Best < 0 || order(c.Totals[s].Return, c.Totals[c.Best].Return) > 0) {
			c.Best = s
		}
	}
	if c.Best < 0 {
		return
	}
	for y := range c.Years {
		best := -1
		for s := range c.Totals {
			if c.Totals[s].HasReturn && (best < 0 || order(c.Totals[s].yearly[y], c.Totals[best].yearly[y]) > 0) {
				best = s
			}
		}
		c.Totals[best].BestYears++
	}
}

// order compares two returns, which are equal where rounding alone parts them.
func order(a, b float64) int {
	const rounding = 1e-9
	if math.Abs(a-b) <= rounding*max(1, math.Abs(a), math.Abs(b)) {
		return 0
	}
	return cmp.Compare(a, b)
}

// Apart tells whether a comparison can tell two strategies apart: the order of their
// mean returns is the same in the runs of low, middle and high losses, and one returns
// more in at least three years of four.
func (c *Comparison) Apart(a, b int) bool {
	x, y := &c.Totals[a], &c.Totals[b]
	if !x.HasReturn || !y.HasReturn {
		return false
	}
	first := order(x.Return, y.Return)
	if first == 0 || order(x.ReturnLow, y.ReturnLow) != first || order(x.ReturnHigh, y.ReturnHigh) != first {
		return false
	}
	more := 0
	for k := range x.yearly {
		if order(x.yearly[k], y.yearly[k]) == first {
			more++
		}
	}
	return 4*more >= 3*c.Years
}

// same tells whether two strategies return the same in every year.
func (c *Comparison) same(a, b int) bool {
	x, y := &c.Totals[a], &c.Totals[b]
	if order(x.ReturnLow, y.ReturnLow) != 0 || order(x.ReturnHigh, y.ReturnHigh) != 0 {
		return false
	}
	for k := range x.yearly {
		if order(x.yearly[k], y.yearly[k]) != 0 {
			return false
		}
	}
	return true
}

// words say which strategy is best how often, and what cannot be told apart from it.
func (c *Comparison) words(r *Result) []string {
	if c.Best < 0 {
		return nil
	}
	best := r.Input.Strategies[c.Best].Name
	list := []string{fmt.Sprintf("before limits %s returns the most on average, and in %d of %d years", best, c.Totals[c.Best].BestYears, c.Years)}
	var near, equal []string
	for s := range c.Totals {
		switch name := r.Input.Strategies[s].Name; {
		case s == c.Best || !c.Totals[s].HasReturn || c.Apart(c.Best, s):
		case c.same(c.Best, s):
			equal = append(equal, name)
		default:
			near = append(near, name)
		}
	}
	if len(equal) > 0 {
		verb := "returns"
		if len(equal) > 1 {
			verb = "return"
		}
		list = append(list, fmt.Sprintf("%s %s the same as %s in every year: %s is counted as the best for it is listed first", joined(equal, "and"), verb, best, best))
	}
	if len(near) > 0 {
		list = append(list, fmt.Sprintf("the plan cannot tell %s from %s: their order changes with the losses assumed, or from year to year", best, joined(near, "or")))
	}
	return list
}

// joined lists names, with a word before the last.
func joined(names []string, word string) string {
	last := len(names) - 1
	if last == 0 {
		return names[0]
	}
	return strings.Join(names[:last], ", ") + " " + word + " " + names[last]
}
