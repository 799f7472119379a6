package asapplied

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// How well the name of a column fits a role. Values must fit besides.
const (
	tierNone   = iota
	tierValues // the name says nothing, the values speak for themselves
	tierWord   // the name has a word of the role
	tierKnown  // a usual name
	tierOwn    // the name of the role itself
)

// assignment gives columns to a role.
type assignment struct {
	role    role
	cols    []int // indexes, left to right
	guessed bool
	why     string
}

// candidate is a column, or a numbered list of columns, that fits a role.
type candidate struct {
	cols []int
	tier int
	why  string
}

// guessRole looks for the columns of a role among those not taken. The error
// names the columns between which it could not choose.
func guessRole(r role, all []facts, taken []bool) (assignment, bool, error) {
	var found []candidate
	for i := range all {
		if taken[i] || !r.fits(&all[i]) {
			continue
		}
		if tier := nameTier(r, all[i].name); tier > tierNone {
			found = append(found, candidate{[]int{i}, tier, ""})
		}
	}
	if r.list {
		found = append(found, numberedLists(r, all, taken)...)
	}
	if len(found) == 0 {
		found = byValues(r, all, taken)
	}
	best := tierNone
	for _, c := range found {
		best = max(best, c.tier)
	}
	if r.measured { // beside "applied rate", a "rate" may be the one that was set
		best = min(best, tierKnown)
	}
	found = slices.DeleteFunc(found, func(c candidate) bool { return c.tier < best })
	switch len(found) {
	case 0:
		return assignment{}, false, nil
	case 1:
		c := found[0]
		return assignment{r, c.cols, true, describe(c, all)}, true, nil
	}
	return assignment{}, false, &equalFitError{r.name, columnNames(all, found)}
}

// equalFitError says that two or more columns fit a role equally well.
type equalFitError struct {
	role    string
	columns []string
}

func (e *equalFitError) Error() string {
	return fmt.Sprintf("columns %s fit the role %s equally well", joinQuoted(e.columns), e.role)
}

func columnNames(all []facts, found []candidate) []string {
	var names []string
	for _, c := range found {
		name := all[c.cols[0]].name
		if len(c.cols) > 1 {
			name += " to " + all[c.cols[len(c.cols)-1]].name
		}
		names = append(names, name)
	}
	return names
}

// joinQuoted writes names in quotes, the last two joined by "and".
func joinQuoted(names []string) string {
	quoted := make([]string, len(names))
	for i, n := range names {
		quoted[i] = strconv.Quote(n)
	}
	if len(quoted) < 2 {
		return strings.Join(quoted, "")
	}
	return strings.Join(quoted[:len(quoted)-1], ", ") + " and " + quoted[len(quoted)-1]
}

// nameTier says how well a name fits a role.
func nameTier(r role, name string) int {
	h := readHeader(name, r.quantity)
	switch {
	case slices.Contains(r.own, h.base):
		return tierOwn
	case slices.Contains(r.known, h.base):
		return tierKnown
	case !r.measured && r.hints(h):
		return tierWord
	}
	return tierNone
}

// hints reports whether a name has a word of the role and none that speaks
// against it.
func (r role) hints(h header) bool {
	has := func(w string) bool { return slices.Contains(h.words, w) }
	return slices.ContainsFunc(r.words, has) && !slices.ContainsFunc(r.others, has)
}

// unclear reports whether a name may be one of a measured role and as well one
// of what was set. The unit of a rate alone, as in GAL_AC, is what maps of rates
// to apply call their column.
func (r role) unclear(name string) bool {
	if !r.measured || nameTier(r, name) > tierNone {
		return false
	}
	h := readHeader(name, r.quantity)
	if r.name == RoleRate && h.unit != "" {
		r.words = h.words
	}
	return r.hints(h)
}

// numberedLists finds columns such as depth_1 … depth_8 or "Section 1 on" …: the
// same words around one number that counts up from 0 or 1.
func numberedLists(r role, all []facts, taken []bool) []candidate {
	type numbered struct{ col, n int }
	groups := map[string][]numbered{}
	var order []string
	for i := range all {
		if taken[i] || !listFits(r, &all[i]) {
			continue
		}
		stem, n, ok := numberedName(r, all[i].name)
		if !ok {
			continue
		}
		if groups[stem] == nil {
			order = append(order, stem)
		}
		groups[stem] = append(groups[stem], numbered{i, n})
	}
	var found []candidate
	for _, stem := range order {
		g := groups[stem]
		slices.SortFunc(g, func(a, b numbered) int { return a.n - b.n })
		var cols []int
		for k, c := range g {
			if c.n != g[0].n+k || g[0].n > 1 {
				cols = nil
				break
			}
			cols = append(cols, c.col)
		}
		if len(cols) > 1 {
			found = append(found, candidate{cols, tierOwn, fmt.Sprintf("%d numbered columns", len(cols))})
		}
	}
	return found
}

// listFits checks the values of one column of a list.
func listFits(r role, f *facts) bool {
	if r.name == RoleSections {
		return fitsWorking(f)
	}
	return r.fits(f)
}

// numberedName takes the number out of a name whose other words fit the role.
func numberedName(r role, name string) (stem string, n int, ok bool) {
	words := readHeader(name, r.quantity).words
	var rest []string
	for _, w := range words {
		v, err := strconv.Atoi(w)
		switch {
		case err != nil:
			rest = append(rest, w)
		case ok:
			return "", 0, false // two numbers
		default:
			n, ok = v, true
		}
	}
	stem = strings.Join(rest, " ")
	if r.name == RoleSections && (stem == "s" || stem == "boom" || stem == "sect") {
		return stem, n, ok
	}
	return stem, n, ok && nameTier(r, stem) > tierNone
}

// byValues finds columns for time and sections whose names say nothing.
func byValues(r role, all []facts, taken []bool) []candidate {
	var test func(*facts) bool
	switch r.name {
	case RoleTime:
		test = risingTime
	case RoleSections:
		test = plainSections
	default:
		return nil
	}
	var found []candidate
	for i := range all {
		if !taken[i] && test(&all[i]) {
			found = append(found, candidate{[]int{i}, tierValues, ""})
		}
	}
	return found
}

// describe says why a column was chosen.
func describe(c candidate, all []facts) string {
	f := &all[c.cols[0]]
	var name string
	switch c.tier {
	case tierOwn:
		name = "its name says so"
	case tierKnown:
		name = "a usual name"
	case tierWord:
		name = "a word of its name"
	default:
		name = "its values alone"
	}
	if c.why != "" {
		name = c.why
	}
	return name + "; " + f.describe()
}

// describe gives the range or an example of the values.
func (f *facts) describe() string {
	switch {
	case f.filled == 0:
		return "no values"
	case f.most(f.numbers) && !(f.most(f.form.binary) && f.form.maxLen >= 6):
		return fmt.Sprintf("values %s to %s", shortNumber(f.min), shortNumber(f.max))
	}
	return fmt.Sprintf("values such as %q", f.example())
}

func shortNumber(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
