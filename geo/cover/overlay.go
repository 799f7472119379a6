package cover

import (
	"cmp"
	"slices"
)

// overlay tells what lies over the places of a block. All that can be told of a place
// hangs on the windings there alone: places of the same windings are in one state.
// Crossing a piece leads from one state to another, always the same, so that a walk
// along a strip looks up where it has come to, and only what is met for the first time
// in a block is worked out.
type overlay struct {
	s        *sweeper
	states   []state
	areaM2   []float64 // ground of each state
	found    []int32   // states with ground, in the order in which it was found
	windings []winding // of all states, one after the other
	verdicts []Verdict
	steps    numbers // from a state across a piece to a state
	sums     numbers // from the sum of a state's windings to the state
	wall     int32   // the state at the left wall of the present strip, or unknown
	face     Face
}

// state is what lies over places of a block.
type state struct {
	first, end int32 // its windings in all, none of them zero, owners ascending
	sum        uint64
	verdict    int32 // its number in all from 1, where it was asked for
	visits     int32 // where it was described
}

const (
	// nothing is the state of ground that nothing touches.
	nothing int32 = 0
	// unknown is a state that is to be found.
	unknown int32 = -1
	// mostWindings is about how many windings are kept: where thousands of swaths lie over
	// one another, states are told to the judge and forgotten before they fill the memory.
	mostWindings = 1 << 18
)

// begin forgets all states but that of nothing.
func (o *overlay) begin() {
	o.states, o.areaM2 = append(o.states[:0], state{}), append(o.areaM2[:0], 0)
	o.found, o.windings, o.wall = o.found[:0], o.windings[:0], unknown
	o.verdicts = o.verdicts[:0]
	o.steps.clear()
	o.sums.clear()
	o.sums.put(0, nothing)
}

// forget tells the judge of all states and begins anew within the block.
func (o *overlay) forget() {
	o.flush()
	o.begin()
	for i := range o.s.pieces {
		o.s.pieces[i].from = unknown
	}
}

// flush tells the judge of the ground of all states.
func (o *overlay) flush() {
	for _, at := range o.found {
		if a := o.areaM2[at]; a > 0 {
			o.judge(at, a)
		}
		o.areaM2[at] = 0
	}
	o.found = o.found[:0]
}

// add adds to the ground of a state.
func (o *overlay) add(at int32, areaM2 float64) {
	if at == nothing {
		return
	}
	if o.areaM2[at] == 0 {
		o.found = append(o.found, at)
	}
	o.areaM2[at] += areaM2
}

// verdict is what the judge says of a state.
func (o *overlay) verdict(at int32) *Verdict {
	st := &o.states[at]
	if st.verdict == 0 {
		o.verdicts = append(o.verdicts, o.judge(at, 0))
		st.verdict = int32(len(o.verdicts))
	}
	return &o.verdicts[st.verdict-1]
}

// judge tells the judge of ground of a state.
func (o *overlay) judge(at int32, areaM2 float64) Verdict {
	st := &o.states[at]
	o.describe(st)
	return o.s.judge.Face(&o.face, areaM2)
}

// atWall is the state at the left wall.
func (o *overlay) atWall() int32 {
	if o.wall == unknown {
		first := len(o.windings)
		o.windings = append(o.windings, o.s.on...)
		on := o.windings[first:]
		slices.SortFunc(on, func(a, b winding) int { return cmp.Compare(a.owner, b.owner) })
		var sum uint64
		for _, w := range on {
			sum += w.mixed()
		}
		o.wall = o.find(first, sum)
	}
	return o.wall
}

// cross is the state on the other side of a piece.
func (o *overlay) cross(from int32, p *piece) int32 {
	if p.from != from {
		p.from, p.to = from, o.across(from, p.owner, p.w)
	}
	return p.to
}

// across looks up the state on the other side of a piece.
func (o *overlay) across(from, owner, w int32) int32 {
	key := uint64(from)<<33 | uint64(uint32(owner))<<1
	if w > 0 {
		key |= 1
	}
	to, ok := o.steps.get(key)
	if !ok {
		to = o.step(from, winding{owner, w})
		o.steps.put(key, to)
	}
	return to
}

// step works out the state that a winding leads to.
func (o *overlay) step(from int32, add winding) int32 {
	f := &o.states[from]
	on := o.windings[f.first:f.end]
	i := len(on)
	for i > 0 && on[i-1].owner >= add.owner {
		i--
	}
	rest, now := on[i:], add
	if len(rest) > 0 && rest[0].owner == add.owner {
		now.w += rest[0].w
		rest = rest[1:]
	}
	first, sum := len(o.windings), f.sum+add.mixed()
	o.windings = append(o.windings, on[:i]...)
	if now.w != 0 {
		o.windings = append(o.windings, now)
	}
	o.windings = append(o.windings, rest...)
	return o.find(first, sum)
}

// find is the state of the windings from first on, a new one where there is none; where
// there is one they are let go.
func (o *overlay) find(first int, sum uint64) int32 {
	i, taken := o.sums.get(sum)
	if taken && slices.Equal(o.windings[first:], o.windings[o.states[i].first:o.states[i].end]) {
		o.windings = o.windings[:first]
		return i
	}
	i = int32(len(o.states))
	o.states = append(o.states, state{first: int32(first), end: int32(len(o.windings)), sum: sum})
	o.areaM2 = append(o.areaM2, 0)
	if !taken {
		o.sums.put(sum, i)
	}
	return i
}

// describe makes the face that the judge is told of.
func (o *overlay) describe(st *state) {
	f, ws := &o.face, o.windings[st.first:st.end]
	f.Labels = [MaxLayers]int32{None, None, None, None}
	for len(ws) > 0 && ws[0].owner < 0 {
		l := o.s.sw.base.label[-1-ws[0].owner]
		f.Labels[l.layer] = l.label // the last is the lowest: see layerOwner
		ws = ws[1:]
	}
	over := f.Over[:0]
	for _, w := range ws {
		of, times := &o.s.owners.list[w.owner], int32(1)
		if of.joined {
			times = w.w
		}
		over = append(over, Over{of.swath, times})
	}
	if st.visits == 0 {
		st.visits = int32(o.s.owners.visits(ws))
	}
	f.Over, f.Visits = over, int(st.visits)
}

// mixed is a number for a winding that is the sum of those of its parts; for windings
// of different places they are unlike.
func (w winding) mixed() uint64 {
	x := uint64(uint32(w.owner)) + 0x9e3779b97f4a7c15
	x = (x ^ x>>30) * 0xbf58476d1ce4e5b9
	x = (x ^ x>>27) * 0x94d049bb133111eb
	return (x ^ x>>31) * uint64(int64(w.w))
}
