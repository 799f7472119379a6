package asapplied

import (
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
