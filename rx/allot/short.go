package allot

import (
	"fmt"
	"strings"
)

// Shortfall is a limit that cannot be met even with the least use.
type Shortfall struct {
	Limit  Limit
	Least  float64 // that a choice takes, in the unit of the limit
	Groups int     // that cannot do without
}

// ShortError says that no choice keeps to the limits. Alone are the limits that cannot be
// met even where nothing else counts; where there are none, Together are those that
// cannot be met at one time.
type ShortError struct {
	Alone    []Shortfall
	Together []Limit
}

func (e *ShortError) Error() string {
	var parts []string
	for _, s := range e.Alone {
		parts = append(parts, fmt.Sprintf("%s: the least that can be chosen takes %s, and there is %s (%d of the zones cannot do without)",
			s.Limit.Name, quantity(s.Least, s.Limit.Unit), quantity(s.Limit.Amount, s.Limit.Unit), s.Groups))
	}
	if len(parts) > 0 {
		return "the limits cannot be met. " + strings.Join(parts, "; ") + ". Raise the limit or add an option that does without"
	}
	for _, l := range e.Together {
		parts = append(parts, fmt.Sprintf("%s (%s)", l.Name, quantity(l.Amount, l.Unit)))
	}
	return "each limit can be met alone, but no choice meets these together: " + strings.Join(parts, ", ") + ". Raise one of them or add an option that does without"
}

func quantity(v float64, unit string) string {
	return strings.TrimSpace(fmt.Sprintf("%.4g %s", v, unit))
}

// shortOf names the limits of a problem that has no choice within them: those short alone,
// or else those that have a price in the proof, or else all that could be full.
func (p *Problem) shortOf(m *model, rows []int32, price []float64) error {
	e := &ShortError{}
	least, groups := p.least()
	for i, l := range p.limits {
		if least[i] > l.Amount*(1+forgiven) {
			e.Alone = append(e.Alone, Shortfall{l, least[i], groups[i]})
		}
	}
	if len(e.Alone) > 0 {
		return e
	}
	if rows == nil {
		_, rows = m.only(allOn(len(m.ret)))
	}
	for i, row := range rows {
		if price == nil || price[i] > 1e-9 {
			e.Together = append(e.Together, p.limits[row])
		}
	}
	return e
}

// least is the least that any choice takes of each limit, in its unit, and the groups that
// cannot do without.
func (p *Problem) least() (sum []float64, groups []int) {
	m := &model{rows: len(p.limits), start: p.start, uses: p.uses, row: p.row, amt: p.amount}
	sum, groups = make([]float64, m.rows), make([]int, m.rows)
	on, l := allOn(len(p.ret)), newLeast(m.rows)
	for g := range m.groups() {
		l.read(m, g, on)
		for _, i := range l.rows {
			if l.low[i] > 0 {
				sum[i] += l.low[i]
				groups[i]++
			}
		}
	}
	return sum, groups
}
