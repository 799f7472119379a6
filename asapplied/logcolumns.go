package asapplied

import (
	"errors"
	"fmt"
)

// startPosition finds the columns of the position, where the file has no shapes
// or the job names columns all the same.
func (r *fileReader) startPosition() error {
	lon, hasLon := r.m.get(RoleLon)
	lat, hasLat := r.m.get(RoleLat)
	if !hasLon && !hasLat && r.about.shape != noShape {
		return nil
	}
	for _, missing := range []struct {
		role string
		has  bool
	}{{RoleLon, hasLon}, {RoleLat, hasLat}} {
		if !missing.has {
			return r.m.errorf(fmt.Sprintf("name it under columns: {%s: NAME}", missing.role),
				"no column looks like %s (%s)", missing.role, r.m.columnList())
		}
	}
	x, y := &r.m.facts[lon.cols[0]], &r.m.facts[lat.cols[0]]
	if r.degrees && x.filled > 0 && y.filled > 0 && !(fitsLon(x) && fitsLat(y)) {
		if err := r.m.misplaced(x, y); err != nil {
			return err
		}
	}
	r.lon, r.lat = &numberFill{col: lon.cols[0]}, &numberFill{col: lat.cols[0]}
	r.use(lon, conversion{})
	r.use(lat, conversion{})
	return nil
}

// misplaced explains columns whose values cannot be degrees of longitude and
// latitude. Single wild values are left to be counted.
func (m *mapping) misplaced(x, y *facts) error {
	both := fmt.Sprintf("columns %q (%s) and %q (%s)", x.name, x.describe(), y.name, y.describe())
	switch {
	case !x.most(x.numbers) || !y.most(y.numbers):
		return m.errorf("write decimal degrees such as -93.5983251", "%s do not hold numbers", both)
	case y.most(y.lons) && x.most(x.lats):
		return m.errorf("exchange them under columns: {lon: …, lat: …}", "%s look swapped", both)
	case y.max > 1000 && x.max > 1000:
		return m.errorf("name the coordinate system under crs:, such as EPSG:26915", "%s look like metres or feet, not degrees", both)
	}
	return nil
}

func (m *mapping) columnList() string {
	var names []string
	for i := range m.facts {
		names = append(names, m.facts[i].name)
	}
	if len(names) == 0 {
		return "the file has no columns"
	}
	return "the columns are " + joinQuoted(names)
}

// startColumns prepares the roles that are not position and time.
func (r *fileReader) startColumns() error {
	for _, role := range roles {
		a, ok := r.m.get(role.name)
		if !ok {
			continue
		}
		c, err := r.m.convert(a, r.spec)
		var unknown *unknownError
		if errors.As(err, &unknown) && a.guessed && !role.deciding {
			r.m.drop(role.name)
			r.log.Notes = append(r.log.Notes, fmt.Sprintf("%s: %s was left out: %s",
				r.about.path, joinQuoted(r.m.names(a)), unknown.Error()))
			continue
		}
		if err != nil {
			return r.m.unusable(a, err)
		}
		if c.note != "" {
			r.log.Notes = append(r.log.Notes, r.about.path+": "+c.note)
		}
		if err := r.startRole(a, &c); err != nil {
			return err
		}
	}
	for _, k := range keysOf(r.spec.Units) {
		if !r.m.has(k) {
			r.log.Notes = append(r.log.Notes, fmt.Sprintf("%s: a unit is given for the role %s, which no column has", r.about.path, k))
		}
	}
	return nil
}

// unusable words the error about a column that was mapped or guessed.
func (m *mapping) unusable(a assignment, err error) error {
	var unknown *unknownError
	if errors.As(err, &unknown) {
		return m.errorf(fmt.Sprintf("%s, or columns: {%s: none} to leave it out", unknown.fix, a.role.name), "%s", unknown.what)
	}
	return m.errorf("", "%s", err)
}

// startRole prepares one role.
func (r *fileReader) startRole(a assignment, c *conversion) error {
	l := r.log
	switch a.role.name {
	case RoleLon, RoleLat:
		return nil // used by startPosition
	case RoleTime, RoleDate, RoleClock:
	case RoleSections:
		if err := r.startSections(a); err != nil {
			return err
		}
	case RoleWorking:
		r.work = &workFill{tally: r.tally(a, 0), col: a.cols[0], dst: &l.Working}
	case RoleFix:
		r.fix = &fixFill{tally: r.tally(a, 0), col: a.cols[0]}
	case RoleLoad:
		r.label(a, &l.Load)
	case RoleMachine:
		r.label(a, &l.Machine)
	case RoleRate:
		r.startLanes(a, c, &l.Rate)
	case RoleDepth:
		r.startLanes(a, c, &l.Depth)
	default:
		dst, lim := r.column(a.role.name)
		r.number(a, 0, c, lim, dst)
	}
	r.use(a, *c)
	return nil
}

// column returns where the numbers of a role go and what they may be.
func (r *fileReader) column(name string) (*[]float64, limits) {
	l := r.log
	switch name {
	case RoleHeading:
		return &l.Heading, compass
	case RoleSpeed:
		return &l.Speed, anyNumber // backwards may be below zero
	case RoleDistance:
		return &l.Distance, notNegative
	case RoleDuration:
		return &l.Duration, notNegative
	case RoleWidth:
		return &l.Width, notNegative
	case RoleTarget:
		return &l.Target, rateable
	case RoleFlow:
		return &l.Flow, pumpable
	}
	return &l.Product, notNegative
}

func (r *fileReader) tally(a assignment, k int) tally {
	return tally{role: a.role.name, name: r.m.facts[a.cols[k]].name, lane: k}
}

func (r *fileReader) number(a assignment, k int, c *conversion, lim limits, dst *[]float64) {
	r.numbers = append(r.numbers, &numberFill{
		tally: r.tally(a, k), col: a.cols[k], factor: c.factor, limits: lim, point: r.point, dst: dst, lanes: len(a.cols),
	})
}

func (r *fileReader) label(a assignment, dst *[]string) {
	r.labels = append(r.labels, &labelFill{col: a.cols[0], dst: dst, seen: map[string]string{}})
}

// startLanes prepares a list, left to right.
func (r *fileReader) startLanes(a assignment, c *conversion, dst *Lanes) {
	dst.N = len(a.cols)
	r.lanes[a.role.name] = dst.N
	lim := rateable
	if a.role.name == RoleDepth {
		lim = knifeable
	}
	for k := range a.cols {
		r.number(a, k, c, lim, &dst.V)
	}
}

// startSections settles the form of the sections.
func (r *fileReader) startSections(a assignment) error {
	f := &sectionFill{cols: a.cols, dst: &r.log.Sections, who: "most of the first rows have"}
	column := &r.m.facts[a.cols[0]]
	switch said, ok := r.spec.Units[RoleSections]; {
	case len(a.cols) > 1:
		f.layout = sectionLayout{formWord, len(a.cols)}
		for _, c := range a.cols {
			if x := &r.m.facts[c]; x.filled > 0 && !fitsWorking(x) {
				return r.m.errorf("write 0 or 1, on or off", "the values of column %q, such as %q, are not states of a section", x.name, x.example())
			}
		}
	case ok:
		var err error
		if f.layout, err = parseSectionForm(said); err != nil {
			return r.m.errorf("", "units: {sections: …}: %s", err)
		}
		if f.layout.count > 0 {
			f.who = "units say"
		} else if f.layout.form == formString {
			f.layout.count = len(column.form.usual().first)
		}
	default:
		var how string
		var err error
		if f.layout, how, err = column.layout(); err != nil {
			place := ""
			var differs *lengthError
			if errors.As(err, &differs) {
				place = fmt.Sprintf("%s %d", r.about.place, differs.odd.line)
			}
			return inputFault(r.m.path, place, fmt.Sprintf("column %q: %s", column.name, err),
				"write every section in every row, or say the form with units: {sections: string}, decimal or hex")
		}
		r.explain(RoleSections, how)
	}
	r.sections = f
	r.log.Sections.N = f.layout.count
	if f.layout.count == 0 { // a mask: one word until its number is known
		r.log.Sections.N = 64
	}
	r.lanes[RoleSections] = r.log.Sections.N
	return nil
}
