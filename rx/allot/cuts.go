package allot

import (
	"cmp"
	"math"
	"slices"
)

// A relaxation that mixes options takes a limit to its end, where whole options leave some
// over: days for two zones and a half are days for two, and rates go in steps. Rounding a
// limit says so: where the amounts a of chosen options add up to b at most, then F(a) add up
// to F(b) at most, with F(a) the whole times that a holds a size, and of the rest what passes
// that of b, stretched (mixed-integer rounding; Nemhauser & Wolsey 1988, Integer and
// Combinatorial Optimization, ch. II.1, from memory). No whole choice within the limits
// passes such a row, so that bounds with it are proven as those without.

// rounding is a limit rounded by a size.
type rounding struct {
	row   int32 // that is rounded
	size  float64
	over  float64 // part of the size by which the limit passes a whole number of sizes
	whole float64 // sizes in the limit
}

const (
	roundings    = 8    // times that limits are rounded and the relaxation solved
	roundAtMost  = 60   // sizes that an amount may hold
	roundedRows  = 40   // limits with which rounding is tried: it adds as many and more
	perLimit     = 2    // roundings of a limit at a time
	passes       = 1e-4 // by which the mix must pass a rounding, as a part of it
	roundingRoom = 1e-9 // forgiven, as a part of the rounding
)

// of is what an amount counts.
func (c rounding) of(amount float64) float64 {
	q := amount / c.size * (1 - 1e-14) // a quotient is rounded, and must not be rounded up to a whole
	n := math.Floor(q)
	return n + max(0, q-n-c.over)/(1-c.over)
}

// roundingOf is the rounding of a row by a size, held a little smaller, so that amounts that
// are whole times the size count as such; false where it says nothing.
func (m *model) roundingOf(row int32, size float64) (rounding, bool) {
	size *= 1 - 1e-9
	q := (m.limit[row] + 2*m.slack[row]) / size
	c := rounding{row: row, size: size, whole: math.Floor(q)}
	c.over = q - c.whole
	return c, c.whole >= 1 && c.over < 0.999
}

// share is an option's part in a mix.
type share struct {
	option int32
	part   float64
}

// passed is a rounding with the part of it by which a mix passes it.
type passed struct {
	rounding
	by float64
}

// cutsOf are the roundings of the first rows of a model that a mix passes by most. Sizes are
// whole parts of the amounts in the mix, such as a trip over a zone or a step of its rate.
func (m *model) cutsOf(rows int, mix []share) (list []rounding) {
	for i := range int32(rows) {
		sizes := map[float64]bool{}
		for _, s := range mix {
			if a := m.amount(s.option, i); a > 0 {
				for n := 1; n <= roundAtMost; n++ {
					sizes[a/float64(n)] = true
				}
			}
		}
		var own []passed
		for size := range sizes {
			if c, ok := m.roundingOf(i, size); ok {
				if by := m.passedBy(c, mix); by > passes {
					own = append(own, passed{c, by})
				}
			}
		}
		slices.SortFunc(own, func(a, b passed) int {
			return cmp.Or(cmp.Compare(b.by, a.by), cmp.Compare(b.size, a.size))
		})
		for _, c := range own[:min(perLimit, len(own))] {
			list = append(list, c.rounding)
		}
	}
	return list
}

func (m *model) passedBy(c rounding, mix []share) float64 {
	sum := 0.0
	for _, s := range mix {
		sum += s.part * c.of(m.amount(s.option, c.row))
	}
	return (sum - c.whole) / c.whole
}

func (m *model) amount(k, row int32) float64 {
	for e := m.uses[k]; e < m.uses[k+1]; e++ {
		if m.row[e] == row {
			return m.amt[e]
		}
	}
	return 0
}

// with is the model with roundings as further limits.
func (m *model) with(cuts []rounding) *model {
	w := &model{
		rows: m.rows + len(cuts), start: m.start, ret: m.ret, from: m.from, uses: []int32{0},
		limit: slices.Clone(m.limit), slack: slices.Clone(m.slack),
	}
	for range cuts {
		w.limit, w.slack = append(w.limit, 1), append(w.slack, roundingRoom)
	}
	for k := range int32(len(m.ret)) {
		w.row = append(w.row, m.row[m.uses[k]:m.uses[k+1]]...)
		w.amt = append(w.amt, m.amt[m.uses[k]:m.uses[k+1]]...)
		for n, c := range cuts {
			if a := c.of(m.amount(k, c.row)); a > 0 {
				w.row, w.amt = append(w.row, int32(m.rows+n)), append(w.amt, a/c.whole)
			}
		}
		w.uses = append(w.uses, int32(len(w.row)))
	}
	return w
}

// sharpened is the root with roundings of its first rows as further limits. It is of use where
// zones are few: a limit over many is filled by some choice to a small rest.
func (r *root) sharpened(rows int) *root {
	if r.m.rows > roundedRows || r.m.groups() > fewGroups {
		return r
	}
	now := r
	var cuts []rounding
	for range roundings {
		if now.bound <= now.value+closes(r.m) {
			break
		}
		fresh := r.m.cutsOf(rows, now.mix)
		if len(fresh) == 0 {
			break
		}
		var kept []rounding
		for n, c := range cuts {
			if now.price[r.m.rows+n] > 0 {
				kept = append(kept, c)
			}
		}
		cuts = append(kept, fresh...)
		price := append(slices.Clone(now.price[:r.m.rows]), make([]float64, len(cuts))...)
		next := atRoot(r.m.with(cuts), price, now.choice)
		if next.empty != nil || next.mix == nil {
			break
		}
		next.steps, next.nodes = next.steps+now.steps, now.nodes
		next.bound = min(next.bound, now.bound)
		now = next
	}
	return now
}
