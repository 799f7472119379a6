package asapplied

import (
	"cmp"
	"fmt"
	"slices"
)

// use records in Log.Mapping how a role was filled; files with the same columns
// are recorded once.
func (r *fileReader) use(a assignment, c conversion) {
	u := ColumnUse{
		Role: a.role.name, Columns: allShown(r.m.names(a)), Unit: c.unit, Of: c.of, Guessed: a.guessed,
		Why: a.why,
	}
	if how := r.how[a.role.name]; how != "" {
		u.Why += "; " + how
	}
	same := func(v ColumnUse) bool {
		return v.Role == u.Role && v.Unit == u.Unit && slices.Equal(v.Columns, u.Columns)
	}
	if !slices.ContainsFunc(r.log.Mapping, same) {
		r.log.Mapping = append(r.log.Mapping, u)
	}
}

// explain adds to the reason that use records for a role.
func (r *fileReader) explain(role, how string) {
	if r.how == nil {
		r.how = map[string]string{}
	}
	r.how[role] = how
}

// notes adds to the log what was odd in the file.
func (r *fileReader) notes() {
	l := r.log
	add := func(s string) {
		if s != "" {
			l.Notes = append(l.Notes, s)
		}
	}
	for _, n := range r.about.notes {
		add(r.about.path + ": " + n)
	}
	for _, n := range r.nuls.notes(r.about.path) {
		add(n)
	}
	if r.time != nil {
		for _, n := range r.time.notes(r.m, r.spec.Zone) {
			add(n)
		}
	}
	for _, f := range r.numbers {
		add(f.note(r.about))
	}
	if r.fix != nil {
		add(r.fix.note(r.about))
	}
	if r.work != nil {
		add(r.work.note(r.about))
		if r.work.errors > 0 {
			add(fmt.Sprintf("%s: column %q (working) says error or not installed in %d records, taken as not working",
				r.about.path, r.work.name, r.work.errors))
		}
	}
	if r.sections != nil {
		r.sectionNotes(add)
	}
}

func (r *fileReader) sectionNotes(add func(string)) {
	s := r.sections
	name := r.m.facts[s.cols[0]].name
	if s.errors > 0 {
		add(fmt.Sprintf("%s: column %q (sections) has %d states of error or not installed, taken as off", r.about.path, name, s.errors))
	}
	if s.blank > 0 {
		add(fmt.Sprintf("%s: column %q (sections) cannot be read in %d records, first at %s %d; what cannot be read is taken as off",
			r.about.path, name, s.blank, r.about.place, s.firstAt))
	}
}

// lacking adds what the columns of the file lack to the counts of the log.
func (r *fileReader) lacking() {
	for _, f := range r.numbers {
		r.log.lack(f.lack())
	}
	if r.fix != nil {
		r.log.lack(r.fix.lack())
	}
	if r.work != nil {
		r.log.lack(r.work.lack())
	}
	if s := r.sections; s != nil {
		name := r.m.facts[s.cols[0]].name
		if n := len(s.cols); n > 1 {
			name += " to " + r.m.facts[s.cols[n-1]].name
		}
		r.log.lack(Lack{Role: RoleSections, Column: Shown(name), NotReadable: s.blank - s.empty, Empty: s.empty})
	}
}

// lack adds the counts of one column of a file.
func (l *Log) lack(more Lack) {
	if more.NotReadable+more.OutOfRange+more.Empty == 0 {
		return
	}
	i, found := slices.BinarySearchFunc(l.Lacking, more, compareLacks)
	if !found {
		l.Lacking = slices.Insert(l.Lacking, i, more)
		return
	}
	sum := &l.Lacking[i]
	sum.NotReadable += more.NotReadable
	sum.OutOfRange += more.OutOfRange
	sum.Empty += more.Empty
}

func compareLacks(a, b Lack) int {
	return cmp.Or(cmp.Compare(roleOrder(a.Role), roleOrder(b.Role)), cmp.Compare(a.lane, b.lane), cmp.Compare(a.Column, b.Column))
}

func roleOrder(name string) int {
	return slices.IndexFunc(roles, func(r role) bool { return r.name == name })
}
