package allot

import (
	"fmt"
	"math"
	"slices"
)

// Options are the settings. Take them from DefaultOptions.
type Options struct {
	// Gap is the difference between the value and its bound, over the larger of them, up to
	// which a result counts as proven. A search aims at it first. Then it goes on below it:
	// with up to 16 groups to the best choice, with more for an eighth of the steps.
	Gap float64
	// Nodes is the most nodes that a search by branch and bound visits.
	Nodes int
	// Steps is the work after which a search ends: options priced and numbers touched. A
	// thousand million take some seconds. Fields that are solved one by one under one supply
	// are given as many nodes and steps as their search needs.
	Steps int
}

// DefaultOptions are a gap of 0.1 %, 100,000 nodes and 1,000 million steps.
func DefaultOptions() Options { return Options{Gap: 0.001, Nodes: 100_000, Steps: 1_000_000_000} }

// Result is the option chosen in every group and what is proven of it.
type Result struct {
	Choice []int     // by group: the option, counted within the group from 0
	Value  float64   // the sum of returns, $
	Bound  float64   // proven: no choice within the limits returns more, $
	Gap    float64   // (Bound - Value) over the larger of their amounts
	Proven bool      // Gap is within the one asked for
	Used   []float64 // of each limit, in its unit
	// Price is what the relaxation, in which zones may mix options, would pay for one more
	// unit of each limit, $. It is a hint; Worth solves again.
	Price []float64
	Nodes int // visited
	Notes []string

	fields *fields // into which the problem fell, where the prices of the shared limits prove the bound
}

// Solve chooses exactly one option in each group so that the sum of returns is as large as
// the limits allow. Where the best choice is not the only one, no group of the choice
// given has an earlier option that would return the same within the limits. The same problem gives
// the same result on any number of processors. Errors: a group without options, no group;
// *ShortError where no choice keeps to the limits; and where none was found.
func (p *Problem) Solve(o Options) (Result, error) { return p.solve(o, nil) }

// solve starts from a choice that may be known to keep to the limits.
func (p *Problem) solve(o Options, start []int) (Result, error) {
	if err := o.check(); err != nil {
		return Result{}, err
	}
	if err := p.check(); err != nil {
		return Result{}, err
	}
	m, scale := p.model()
	on := allOn(len(m.ret))
	if !m.tighten(on) {
		return Result{}, p.shortOf(m, nil, nil)
	}
	small, rows := m.only(on)
	var known []int32
	if start != nil {
		known = p.within(small, start)
	}
	f, err := p.search(small, rows, known, o, scale)
	if err != nil {
		return Result{}, err
	}
	r := p.result(small, rows, f, scale, o)
	if f.parts != nil {
		r.fields = &fields{*f.parts, rows, on}
	}
	return r, nil
}

func (o Options) check() error {
	if !(o.Gap >= 0 && o.Gap < 1) || o.Nodes < 1 || o.Steps < 1 {
		return fmt.Errorf("the gap must be from 0 to 1, nodes and steps at least 1; take the settings from DefaultOptions")
	}
	return nil
}

// scaling turns returns of the model back into $.
type scaling struct {
	base float64 // the sum of the best of every group, $
	unit float64 // the largest spread within a group, $
}

// gap is the relative gap between a value and a bound of the model.
func (s scaling) gap(value, bound float64) float64 {
	return relative(s.base+s.unit*value, s.base+s.unit*bound)
}

// relative is the difference over the larger of both amounts.
func relative(value, bound float64) float64 {
	if bound <= value {
		return 0
	}
	return (bound - value) / max(math.Abs(value), math.Abs(bound))
}

// model is the problem in scaled numbers.
func (p *Problem) model() (*model, scaling) {
	m := &model{
		rows: len(p.limits), start: p.start, uses: p.uses, row: p.row,
		ret: make([]float64, len(p.ret)), amt: make([]float64, len(p.amount)),
		limit: make([]float64, len(p.limits)), slack: make([]float64, len(p.limits)),
	}
	per := make([]float64, len(p.limits))
	for i, l := range p.limits {
		per[i] = 1
		if l.Amount > 0 {
			per[i], m.limit[i], m.slack[i] = l.Amount, 1, forgiven
		}
	}
	for e, i := range p.row {
		m.amt[e] = min(p.amount[e]/per[i], most)
	}
	var s scaling
	for g := range p.names {
		own := p.ret[p.start[g]:p.start[g+1]]
		top := slices.Max(own)
		s.base += top
		s.unit = max(s.unit, top-slices.Min(own))
	}
	if s.unit == 0 {
		s.unit = 1
	}
	for g := range p.names {
		top := slices.Max(p.ret[p.start[g]:p.start[g+1]])
		for k := p.start[g]; k < p.start[g+1]; k++ {
			m.ret[k] = (p.ret[k] - top) / s.unit
		}
	}
	return m, s
}

// within is a choice by the numbers of a model, or nil where it is not in there.
func (p *Problem) within(m *model, choice []int) []int32 {
	known := make([]int32, len(choice))
	for g, c := range choice {
		own := m.from[m.start[g]:m.start[g+1]]
		at, ok := slices.BinarySearch(own, p.start[g]+int32(c))
		if !ok {
			return nil
		}
		known[g] = m.start[g] + int32(at)
	}
	return known
}

// search finds the best choice it can: in parts where the model has some, and otherwise by
// the relaxation and a search of what it leaves open.
func (p *Problem) search(m *model, rows []int32, known []int32, o Options, s scaling) (found, error) {
	inFields := found{bound: math.Inf(1)}
	if parts, ok := m.split(); ok {
		inFields = inParts(m, parts)
		if inFields.choice != nil {
			if v, fits := m.value(known); known == nil || !fits || v < inFields.value {
				known = inFields.choice
			}
			if m.groups() > fewGroups || inFields.bound <= inFields.value+closes(m) {
				inFields.parts = &parts
				return inFields.orKnown(m, known), nil
			}
		}
	}
	root := atRoot(m, make([]float64, m.rows), known)
	if root.empty != nil {
		return found{}, p.shortOf(m, rows, root.empty)
	}
	root.nodes = 1
	root.bound = max(root.value, min(root.bound, inFields.bound))
	f := root.found
	if f.bound > f.value+closes(m) {
		root.nearer()
		root.polish(o.Gap, s)
		if c := inFields.columns; c != nil && s.gap(root.value, root.bound) > aimed*o.Gap {
			root.take(c.branch(root.choice, aim{gap: aimed * o.Gap, scale: s}, o.Nodes, max(1, o.Steps/2)))
		}
		f = root.sharpened(m.rows).refine(o, s)
		f.price = root.price
	}
	switch {
	case f.choice == nil && f.settled:
		return f, p.shortOf(m, rows, nil)
	case f.choice == nil:
		return f, fmt.Errorf("no choice that keeps to all limits was found in %d nodes, and none is proven impossible; allow more nodes, or raise a limit", f.nodes)
	}
	return f.orKnown(m, f.choice), nil
}

// fewGroups is the number of groups up to which a search of the whole follows one in parts.
const fewGroups = 120

// orKnown is what was found with a choice that is as good or better.
func (f found) orKnown(m *model, choice []int32) found {
	f.choice = m.earliest(choice)
	f.value, _ = m.value(f.choice)
	f.bound = max(f.bound, f.value)
	return f
}

// earliest changes groups to an earlier option that returns the same within the limits.
func (m *model) earliest(choice []int32) []int32 {
	e := newExchange(m, allOn(len(m.ret)), slices.Clone(choice))
	for changed := true; changed; {
		changed = false
		for g, now := range e.choice {
			for k := m.start[g]; k < now; k++ {
				if m.ret[k] == m.ret[now] && e.room(g, k) {
					e.change(g, k)
					changed = true
					break
				}
			}
		}
	}
	if _, ok := m.value(e.choice); !ok {
		return choice
	}
	return e.choice
}

// result puts what was found in the words and units of the problem.
func (p *Problem) result(m *model, rows []int32, f found, s scaling, o Options) Result {
	r := Result{Choice: make([]int, len(p.names)), Nodes: f.nodes, Price: make([]float64, len(p.limits))}
	for g, k := range f.choice {
		r.Choice[g] = int(m.from[k] - p.start[g])
	}
	r.Value, r.Used = p.used(r.Choice)
	r.Bound = max(r.Value, s.base+s.unit*f.bound)
	r.Gap = relative(r.Value, r.Bound)
	r.Proven = r.Gap <= o.Gap
	for i, row := range rows {
		r.Price[row] = f.price[i] * s.unit / p.limits[row].Amount
	}
	r.Notes = r.told(o)
	return r
}

// told says how much a result leaves open where that is more than asked for.
func (r Result) told(o Options) []string {
	if r.Proven {
		return nil
	}
	return []string{fmt.Sprintf("the choice is not proven to be within %.3g %% of the best: it returns $%.2f, and $%.2f could not be ruled out (%.3g %% more); allow more nodes and steps, or take coarser rates", 100*o.Gap, r.Value, r.Bound, 100*r.Gap)}
}
