package asapplied

import "slices"

// ofMachines are the roles that a map has no column for: they say what a machine
// did on its way.
var ofMachines = []string{RoleHeading, RoleSpeed, RoleSections, RoleWorking, RoleFlow, RoleWidth}

// polygonLog tells a log of polygons, one a record, from zones, a rate map or a
// boundary, which may have a time, too: that of their making. Times that differ
// speak for a log if their column is called so, and so does what only a machine
// writes. A log of polygons with a rate alone is like a map in everything.
func (m *mapping) polygonLog() bool {
	signs := 0
	for _, name := range ofMachines {
		if m.has(name) {
			signs++
		}
	}
	if a, ok := m.get(RoleRate); ok && nameTier(a.role, m.facts[a.cols[0]].name) == tierKnown {
		signs++ // such as "applied rate"; "rate" alone is a name in maps as well
	}
	timed := m.has(RoleTime) || m.has(RoleDate) && m.has(RoleClock)
	return timed && (signs > 0 || m.timesDiffer()) || signs > 1
}

func (m *mapping) timesDiffer() bool {
	for _, name := range []string{RoleTime, RoleClock} {
		if a, ok := m.get(name); ok {
			f := &m.facts[a.cols[0]]
			return len(f.distinct) > 1 && nameTier(a.role, f.name) > tierNone
		}
	}
	return false
}

// onlyZoneRate leaves the columns of zones, a rate map or a boundary no role of a
// log but that of the rate, and gives that to the only column that may have it.
// Nothing was applied there, so that every rate is one to put down.
func (m *mapping) onlyZoneRate() {
	m.given = slices.DeleteFunc(m.given, func(a assignment) bool {
		return a.role.name != RoleTarget && (a.role.name != RoleRate || len(a.cols) > 1)
	})
	used := m.columns()
	for i := range m.taken {
		m.taken[i] = used[i] || m.facts[i].name == ""
	}
	r, _ := roleNamed(RoleRate)
	if cols := m.unclearColumns(r); !m.has(RoleRate) && len(cols) == 1 {
		m.give(assignment{r, cols, true, "a word of its name; " + m.facts[cols[0]].describe()})
	}
}
