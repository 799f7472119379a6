package allot

// relaxed solves the relaxation of a model in which a group may mix its options. It is the
// simplex method with generalised upper bounds (Dantzig & Van Slyke 1967, J. Comput. Syst.
// Sci. 1:213-226, from memory): every group has a key option, and the basis is only as large
// as there are limits. Its columns are slacks, shortages (taken at a fine), and options less
// the key of their group.
//
// Nothing that is reported rests on its accuracy: prices of any kind prove a bound (dual),
// and choices are added up by themselves.
type relaxed struct {
	m      *model
	on     []bool
	fine   []float64 // of each row, for using more than there is
	weight float64   // of the returns: 1, or 0 where only shortage counts
	rhs    []float64

	key     []int32   // by group
	inBasis []int32   // by group: its options in the basis beside the key
	basis   []int32   // by position: an option, slackOf(row), or shortOf(row)
	group   []int32   // by position, -1 where it is not an option
	inverse []float64 // by columns: [row*rows+position]
	x       []float64 // by position
	price   []float64 // by row

	alpha, pivotRow, colScratch []float64
	rate, share                 []float64 // by group, scratch
	next                        int       // group at which pricing goes on
	near                        []candidate
	steps                       int // work done, in options priced and numbers touched
	pivots                      int
}

const (
	enterAt  = 1e-9  // profit at which an option enters
	pivotAt  = 1e-9  // smallest pivot
	wiggle   = 1e-10 // by which a share may be negative
	shortage = 1e-7  // below which a relaxation counts as within the limits
)

func (r *relaxed) slackOf(i int32) int32 { return -1 - i }
func (r *relaxed) shortOf(i int32) int32 { return -1 - int32(r.m.rows) - i }

// rowOf is the row of a slack (+1) or of a shortage (-1).
func (r *relaxed) rowOf(c int32) (row int32, sign float64) {
	if row = -1 - c; row >= int32(r.m.rows) {
		return row - int32(r.m.rows), -1
	}
	return row, 1
}

// solve finds the best mix. It says false where even a mix cannot keep to the limits; the
// prices then are those of shortage alone.
func (r *relaxed) solve() bool {
	r.run()
	if r.short() <= shortage {
		return true
	}
	fines := r.fine
	r.weight, r.fine = 0, make([]float64, r.m.rows)
	for i := range r.fine {
		r.fine[i] = 1
	}
	r.run()
	if r.short() > shortage {
		return false
	}
	r.weight, r.fine = 1, fines
	for i := range r.fine {
		r.fine[i] *= 1e5
	}
	r.run()
	return true
}

// short is by how much the mix passes the limits.
func (r *relaxed) short() float64 {
	sum := 0.0
	for p, c := range r.basis {
		if c < 0 {
			if _, sign := r.rowOf(c); sign < 0 {
				sum += r.x[p]
			}
		}
	}
	return sum
}

// run takes steps until no option is worth more than its group gets already.
func (r *relaxed) run() {
	r.repriced()
	for n := range 50*(r.m.rows+10) + 20*r.m.groups() {
		if n%100 == 99 {
			r.refresh()
		}
		c, g, profit := r.entering()
		if g < 0 && profit <= enterAt {
			return
		}
		if !r.step(c, g, profit) {
			return
		}
	}
}

// candidate is an option that may enter.
type candidate struct {
	option int32
	group  int32
}

// nearly is the profit that an option may lack to be looked at again before all others are,
// where groups are few; with many, the next few have options that gain more.
const nearly = 0.005

// entering is the column that gains most among the slacks and the options that came near to
// a gain when last looked at, or, where these gain nothing, the next few groups with any gain;
// g is -1 for a slack.
func (r *relaxed) entering() (c int32, g int, profit float64) {
	g = -1
	for i, p := range r.price {
		if -p > profit && -p > enterAt {
			c, profit = r.slackOf(int32(i)), -p
		}
	}
	of, pays := int32(-1), 0.0
	for _, o := range r.near {
		if !r.on[o.option] {
			continue
		}
		if o.group != of {
			of, pays = o.group, r.profit(r.key[o.group])
		}
		if v := r.profit(o.option) - pays; v > profit && v > enterAt {
			c, g, profit = o.option, int(o.group), v
		}
	}
	r.steps += 2 * len(r.near)
	if profit > 0 {
		return c, g, profit
	}
	r.near = r.near[:0]
	seen, groups := 0, r.m.groups()
	for range groups {
		h := r.next
		if r.next++; r.next == groups {
			r.next = 0
		}
		pays := r.profit(r.key[h])
		for k := r.m.start[h]; k < r.m.start[h+1]; k++ {
			if !r.on[k] {
				continue
			}
			v := r.profit(k) - pays
			if v > -nearly && groups <= fewGroups {
				r.near = append(r.near, candidate{k, int32(h)})
			}
			if v > profit && v > enterAt {
				c, g, profit = k, h, v
			}
		}
		seen += int(r.m.start[h+1] - r.m.start[h])
		if profit > 0 && seen > 3000 {
			break
		}
	}
	r.steps += 2 * seen
	return c, g, profit
}

func (r *relaxed) profit(k int32) float64 {
	v := r.gain(k)
	for e := r.m.uses[k]; e < r.m.uses[k+1]; e++ {
		v -= r.price[r.m.row[e]] * r.m.amt[e]
	}
	return v
}
