package asapplied

import (
	"fmt"
	"slices"
	"strings"

	"ratewright/geo/crs"
)

// None, as the only column of a role in LogSpec.Columns, says that the log has
// no such column: nothing is guessed for the role.
const None = "none"

// mapping holds the roles of one file.
type mapping struct {
	path  string
	facts []facts
	taken []bool
	given []assignment
	notes []string
}

// columns says of each column whether it has a role.
func (m *mapping) columns() []bool {
	used := make([]bool, len(m.facts))
	for _, a := range m.given {
		for _, c := range a.cols {
			used[c] = true
		}
	}
	return used
}

// errorf is an error about the columns of the file.
func (m *mapping) errorf(fix, format string, args ...any) error {
	return inputFault(m.path, "", fmt.Sprintf(format, args...), fix)
}

func newMapping(path string, all []facts) *mapping {
	m := &mapping{path: path, facts: all, taken: make([]bool, len(all))}
	for i := range all {
		m.taken[i] = all[i].name == "" // a column without a name is nobody's
	}
	return m
}

// mapColumns gives the columns of a file to roles: those that the job names,
// then guesses for the rest.
func mapColumns(spec LogSpec, about *tableInfo, all []facts) (*mapping, error) {
	m := newMapping(about.path, all)
	for _, r := range roles {
		if names, ok := spec.Columns[r.name]; ok && !isNone(names) {
			if err := m.take(r, names); err != nil {
				return nil, err
			}
		}
	}
	if undecided := m.guess(spec, about); len(undecided) > 0 {
		return nil, undecided[0]
	}
	return m, m.leaveOut(spec, about)
}

// misnamed is a column that a role cannot have as it stands: one with the very
// name of the role whose values do not fit it, or one whose name is unclear.
type misnamed struct {
	role role
	err  error
}

// misnamed lists columns whose values do not fit their name among those that got
// no role. Empty ones are not listed: a log may well have a column that it never
// filled.
func (m *mapping) misnamed(spec LogSpec, about *tableInfo) []misnamed {
	var out []misnamed
	for _, r := range roles {
		if m.has(r.name) || !m.wanted(r.name, spec, about) {
			continue
		}
		for i := range m.facts {
			f := &m.facts[i]
			if m.taken[i] || f.filled == 0 || r.fits(f) || nameTier(r, f.name) != tierOwn {
				continue
			}
			out = append(out, misnamed{r, m.errorf(
				fmt.Sprintf("repair them, name another column under columns: {%s: NAME}, or write %s: none", r.name, r.name),
				"column %q has the name of the role %s, but its values, such as %q, do not fit it", f.name, r.name, f.example())})
		}
	}
	return out
}

// leaveOut notes misnamed and unclear columns. One that would decide the result, or the
// order of the records, is an error instead.
func (m *mapping) leaveOut(spec LogSpec, about *tableInfo) error {
	for _, x := range m.misnamed(spec, about) {
		if x.role.deciding || x.role.name == RoleTime {
			return x.err
		}
		m.notes = append(m.notes, x.err.Error()+"; it was left out")
	}
	for _, x := range m.unclear(spec, about) {
		if x.role.deciding {
			return x.err
		}
		m.notes = append(m.notes, x.err.Error()+"; it was left out")
	}
	m.noteSwitches(spec)
	return nil
}

// unclear lists the measured roles without a column for which columns without a
// role may be meant. Which of them are setpoints, only the user knows.
func (m *mapping) unclear(spec LogSpec, about *tableInfo) []misnamed {
	var out []misnamed
	for _, r := range roles {
		if !r.measured || m.has(r.name) || !m.wanted(r.name, spec, about) {
			continue
		}
		cols := m.unclearColumns(r)
		if len(cols) == 0 {
			continue
		}
		names := m.names(assignment{cols: cols})
		set := ""
		if r.name == RoleRate {
			set = ", columns: {target: NAME} if it was set"
		}
		out = append(out, misnamed{r, m.errorf(
			fmt.Sprintf("write columns: {%s: NAME} if it was measured%s, or columns: {%s: none}", r.name, set, r.name),
			"%s %s may be a %s that was measured or one that was set; a setpoint is never taken for what was applied",
			columnWord(names), joinQuoted(names), r.name)})
	}
	return out
}

func (m *mapping) unclearColumns(r role) []int {
	var cols []int
	for i := range m.facts {
		if f := &m.facts[i]; !m.taken[i] && r.fits(f) && r.unclear(f.name) {
			cols = append(cols, i)
		}
	}
	return cols
}

func columnWord(names []string) string {
	if len(names) == 1 {
		return "column"
	}
	return "each of columns"
}

// guess looks for the roles that the job does not name. The errors are of the
// roles for which it could not decide.
func (m *mapping) guess(spec LogSpec, about *tableInfo) []error {
	var undecided []error
	for _, r := range roles {
		if !m.wanted(r.name, spec, about) {
			continue
		}
		a, ok, err := guessRole(r, m.facts, m.taken)
		if err != nil {
			undecided = append(undecided,
				m.errorf(fmt.Sprintf("write which one under columns: {%s: NAME}, or %s: none", r.name, r.name), "%s", err))
		}
		if ok {
			m.give(a)
		}
	}
	return undecided
}

func isNone(names []string) bool {
	return len(names) == 0 || len(names) == 1 && names[0] == None
}

// wanted reports whether a role is still to be guessed.
func (m *mapping) wanted(name string, spec LogSpec, about *tableInfo) bool {
	if _, said := spec.Columns[name]; said {
		return false
	}
	switch name {
	case RoleLon, RoleLat:
		return about.shape == noShape
	case RoleTime:
		return !m.has(RoleDate) && !m.has(RoleClock)
	case RoleDate:
		return !m.has(RoleTime) && !saidNone(spec, RoleTime)
	case RoleClock:
		return m.has(RoleDate)
	}
	return true
}

func saidNone(spec LogSpec, name string) bool {
	names, ok := spec.Columns[name]
	return ok && isNone(names)
}

func (m *mapping) give(a assignment) {
	m.given = append(m.given, a)
	for _, c := range a.cols {
		m.taken[c] = true
	}
}

// take gives a role the columns that the job names.
func (m *mapping) take(r role, names []string) error {
	if len(names) > 1 && !r.list {
		return m.errorf("name one", "%d columns are named for the role %s, which has one", len(names), r.name)
	}
	a := assignment{role: r, why: "named by the job"}
	for _, name := range names {
		i, err := m.find(r, name)
		if err != nil {
			return err
		}
		a.cols = append(a.cols, i)
	}
	m.give(a)
	return nil
}

// find returns the column of a name: as written, or in another case.
func (m *mapping) find(r role, name string) (int, error) {
	var exact, folded []int
	for i := range m.facts {
		if m.facts[i].name == name {
			exact = append(exact, i)
		}
		if strings.EqualFold(m.facts[i].name, strings.TrimSpace(name)) {
			folded = append(folded, i)
		}
	}
	found := exact
	if len(found) == 0 {
		found = folded
	}
	switch len(found) {
	case 1:
		return found[0], nil
	case 0:
		return 0, m.errorf(m.instead(name), "there is no column %q for the role %s", name, r.name)
	}
	return 0, m.errorf("rename one of them", "%d columns have the name %q", len(found), name)
}

// instead advises which column may have been meant.
func (m *mapping) instead(name string) string {
	if len(m.facts) == 0 {
		return "the file has no columns at all; a shapefile keeps them in its .dbf, which belongs beside it under the same name"
	}
	var names []string
	for i := range m.facts {
		names = append(names, m.facts[i].name)
	}
	if n, ok := nearest(name, names); ok {
		return fmt.Sprintf("did you mean %q?", n)
	}
	return "the columns are " + strings.Join(allShown(names), ", ")
}

func (m *mapping) get(name string) (assignment, bool) {
	for _, a := range m.given {
		if a.role.name == name {
			return a, true
		}
	}
	return assignment{}, false
}

func (m *mapping) has(name string) bool {
	_, ok := m.get(name)
	return ok
}

// names lists the columns of an assignment.
func (m *mapping) names(a assignment) []string {
	var out []string
	for _, c := range a.cols {
		out = append(out, m.facts[c].name)
	}
	return out
}

// drop takes a role out again, for a guess that cannot be used.
func (m *mapping) drop(name string) {
	m.given = slices.DeleteFunc(m.given, func(a assignment) bool { return a.role.name == name })
}

// checkSpec refuses roles that do not exist, and units for what has none.
func checkSpec(spec LogSpec) error {
	names := Roles()
	for _, keys := range []struct {
		of   string
		keys []string
	}{{"columns", keysOf(spec.Columns)}, {"units", keysOf(spec.Units)}} {
		for _, k := range keys.keys {
			if _, ok := roleNamed(k); ok {
				continue
			}
			fix := "the roles are " + strings.Join(names, ", ")
			if n, ok := nearest(k, names); ok {
				fix = fmt.Sprintf("did you mean %q?", n)
			}
			return inputFault("", keys.of, fmt.Sprintf("%q is not a role of a log", k), fix)
		}
	}
	for _, k := range keysOf(spec.Units) {
		if r, _ := roleNamed(k); r.quantity != plain {
			continue // checked with its column, which the message then names
		}
		if err := CheckUnit(k, spec.Units[k]); err != nil {
			return inputFault("", "units", err.Error(), "")
		}
	}
	return nil
}

// keysOf returns the keys of a map in order, so that messages do not vary.
func keysOf[V any](m map[string]V) []string {
	keys := make([]string, 0, len(m))
	for k := range m {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}

// nearest returns the name with the fewest changed letters, if few enough.
func nearest(name string, among []string) (string, bool) {
	best, bestN := "", 0
	for _, a := range among {
		n := changes(strings.ToLower(name), strings.ToLower(a))
		if a != "" && (best == "" || n < bestN) {
			best, bestN = a, n
		}
	}
	return best, best != "" && bestN <= max(2, len(name)/3)
}

// changes counts the letters to insert, delete or replace between two words
// (Levenshtein 1966).
func changes(a, b string) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		diagonal := row[0]
		row[0] = i + 1
		for j := range len(b) {
			cost := diagonal
			if a[i] != b[j] {
				cost++
			}
			diagonal = row[j+1]
			row[j+1] = min(cost, row[j]+1, diagonal+1)
		}
	}
	return row[len(b)]
}

// system returns the coordinate system of positions in a file without shapes;
// projected is false for degrees, which need no conversion.
func system(spec LogSpec) (s crs.CRS, projected bool, err error) {
	if spec.CRS == "" {
		return crs.CRS{}, false, nil
	}
	s, err = crs.ParseName(spec.CRS)
	if err != nil {
		return crs.CRS{}, false, inputFault("", "crs", err.Error(), "write a code such as EPSG:26915")
	}
	return s, !s.IsGeographic(), nil
}
