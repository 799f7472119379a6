package allot

import (
	"fmt"
	"math"
	"slices"
)

// Limit is what there is of a scarce thing: tons of a product, hours of a machine, days
// fit for work, the total of a field. Unit is only used in sentences.
type Limit struct {
	Name   string
	Unit   string
	Amount float64 // in Unit, 0 or more
}

// Use is how much of a limit an option takes, in the unit of the limit, 0 or more.
type Use struct {
	Limit  int // index into the limits
	Amount float64
}

// most is the largest return or amount taken: beyond it sums lose their cents.
const most = 1e15

// Problem is groups of options under limits. It keeps options packed: 20 bytes each and
// 12 for every use. Make it with New.
type Problem struct {
	limits []Limit
	names  []string // of groups
	start  []int32  // of each group's options, and their end
	ret    []float64
	uses   []int32 // start of each option's uses, and their end
	row    []int32
	amount []float64
}

// New is a problem without groups. Errors: a limit without a name, two of one name, an
// amount that is negative or no number.
func New(limits []Limit) (*Problem, error) {
	p := &Problem{limits: slices.Clone(limits), start: []int32{0}, uses: []int32{0}}
	seen := map[string]bool{}
	for i, l := range limits {
		switch {
		case l.Name == "":
			return nil, fmt.Errorf("limit %d has no name; give it one", i+1)
		case seen[l.Name]:
			return nil, fmt.Errorf("two limits are called %s; give each a name of its own", l.Name)
		case !(l.Amount >= 0 && l.Amount <= most):
			return nil, fmt.Errorf("the limit on %s is %g; give an amount from 0 to %g, or leave the limit out where there is no end of it", amountOf(l), l.Amount, most)
		}
		seen[l.Name] = true
	}
	return p, nil
}

// AddGroup begins a group; the options that follow belong to it. The name is for sentences.
func (p *Problem) AddGroup(name string) {
	p.names = append(p.names, name)
	p.start = append(p.start, int32(len(p.ret)))
}

// AddOption adds an option to the group begun last: its return in $ and what it uses. Uses
// of one limit named twice add up, and a use of nothing is left out. The slice is not kept.
// Errors: no group, a return or a use that is no number or negative, an unknown limit.
func (p *Problem) AddOption(dollars float64, uses ...Use) error {
	if len(p.names) == 0 {
		return fmt.Errorf("an option before the first group; begin a group with AddGroup")
	}
	at := func() string {
		return fmt.Sprintf("option %d of %s", len(p.ret)-int(p.start[len(p.names)-1])+1, p.groupName(len(p.names)-1))
	}
	if !(math.Abs(dollars) <= most) {
		return fmt.Errorf("%s returns %g $; give a number between -%g and %g", at(), dollars, most, most)
	}
	if len(p.ret) >= math.MaxInt32-1 || len(p.row)+len(uses) >= math.MaxInt32-1 {
		return fmt.Errorf("%s: there are too many options; split the fields into several plans or take coarser rates", at())
	}
	first := len(p.row)
	for _, u := range uses {
		var fault error
		switch {
		case u.Limit < 0 || u.Limit >= len(p.limits):
			fault = fmt.Errorf("%s uses limit %d, and there are %d limits", at(), u.Limit, len(p.limits))
		case !(u.Amount >= 0 && u.Amount <= most):
			fault = fmt.Errorf("%s uses %g of %s; give an amount from 0 to %g", at(), u.Amount, amountOf(p.limits[u.Limit]), most)
		}
		if fault != nil {
			p.row, p.amount = p.row[:first], p.amount[:first]
			return fault
		}
		if k := slices.Index(p.row[first:], int32(u.Limit)); k >= 0 {
			p.amount[first+k] += u.Amount
		} else if u.Amount > 0 {
			p.row, p.amount = append(p.row, int32(u.Limit)), append(p.amount, u.Amount)
		}
	}
	p.ret, p.uses = append(p.ret, dollars), append(p.uses, int32(len(p.row)))
	p.start[len(p.names)] = int32(len(p.ret))
	return nil
}

// Groups is the number of groups begun.
func (p *Problem) Groups() int { return len(p.names) }

// Options is the number of options of all groups.
func (p *Problem) Options() int { return len(p.ret) }

// check says what keeps the problem from being solved at all.
func (p *Problem) check() error {
	if len(p.names) == 0 {
		return fmt.Errorf("there is nothing to choose: no zone has been given")
	}
	for g := range p.names {
		if p.start[g] == p.start[g+1] {
			return fmt.Errorf("%s has no option to choose from; give it at least one (nothing applied is one)", p.groupName(g))
		}
	}
	return nil
}

// used adds up what a choice takes of each limit. Choice counts within each group.
func (p *Problem) used(choice []int) (dollars float64, used []float64) {
	used = make([]float64, len(p.limits))
	for g, c := range choice {
		k := p.start[g] + int32(c)
		dollars += p.ret[k]
		for e := p.uses[k]; e < p.uses[k+1]; e++ {
			used[p.row[e]] += p.amount[e]
		}
	}
	return dollars, used
}

func (p *Problem) groupName(g int) string {
	if p.names[g] == "" {
		return fmt.Sprintf("group %d", g+1)
	}
	return p.names[g]
}

func amountOf(l Limit) string {
	if l.Unit == "" {
		return l.Name
	}
	return l.Name + " (" + l.Unit + ")"
}
