package job

import (
	"fmt"
	"regexp"

	"go.yaml.in/yaml/v3"

	"ratewright/geo/unit"
)

// plainName can stand in a file name on every system.
var (
	plainName = regexp.MustCompile(`^[A-Za-z0-9][A-Za-z0-9_-]{0,39}$`)
	mapName   = regexp.MustCompile(`^[A-Z0-9]{1,8}$`)
)

func (d decoder) application(i int, n *yaml.Node, j Job) ApplicationSpec {
	a := ApplicationSpec{line: n.Line}
	m, ok := d.mapping(n, fmt.Sprintf("application %d", i+1), append([]string{"name", "source", "placement", "depth", "shallow", "date", "inhibitor", "incorporate", "machine", "rate", "limits", "starter", "tank", "map", "prescription", "logs"}, careKeys()...)...)
	if !ok {
		return a
	}
	m.require("give it a short name, such as sidedress", "name")
	a.Name, _ = m.text("name")
	if a.Name != "" {
		m.name = "application " + a.Name
		if !plainName.MatchString(a.Name) {
			d.add(m.lineOf("name"), "use letters, digits, - and _, at most 40: files are named after it", "application name %q cannot stand in a file name", a.Name)
		}
	}
	a.Source, _ = m.text("source")
	a.sourceLine = m.lineOf("source")
	a.Placement, _ = m.text("placement")
	a.Depth = d.depth(m, "depth")
	a.Care = d.care(m)
	a.Shallow = d.depth(m, "shallow")
	a.Date = d.day(m, "date")
	a.Inhibitor = d.inhibitor(m)
	if i, ok := m.node("incorporate"); ok {
		a.Incorporate = d.incorporate(m.name, i)
	}
	a.Machine = d.machineName(m, j)
	a.Rate = d.rate(m, j)
	a.Limits = d.limits(m)
	a.Starter = d.starter(m)
	a.TankVolume, a.TankMass = d.tank(m)
	a.Map = d.mapSpec(m)
	a.Prescription = d.prescription(m, a.Rate)
	m.list("logs", func(i int, item *yaml.Node) {
		a.Logs = append(a.Logs, d.log(fmt.Sprintf("%s: log %d", m.name, i+1), item, a.Machine, j))
	})
	return a
}

// depth reads a depth below the surface, which is positive.
func (d decoder) depth(m mapping, key string) *unit.Length {
	v, ok := parsed(m, key, unit.ParseLength)
	if !ok {
		return nil
	}
	if v < 0 {
		d.add(m.lineOf(key), "depths count downward from the surface", "%s: %s is below zero", m.name, key)
	}
	return &v
}

// machineName finds the machine: the named one, or the only one there is.
func (d decoder) machineName(m mapping, j Job) string {
	name, ok := m.text("machine")
	if !ok {
		if len(j.Machines) == 1 && !m.has("machine") {
			return j.Machines[0].Name
		}
		return ""
	}
	names := make([]string, len(j.Machines))
	for i, machine := range j.Machines {
		names[i] = machine.Name
	}
	if len(names) == 0 {
		d.add(m.lineOf("machine"), "describe it under `machines:`", "%s: machine %q is not described", m.name, name)
	} else if !contains(names, name) {
		d.unknown(m.lineOf("machine"), m.name, "machine", name, names)
	}
	return name
}

func (d decoder) rate(app mapping, j Job) *RateSpec {
	n, ok := app.node("rate")
	if !ok {
		return nil
	}
	return d.rateOf(app.name+": rate", n, j)
}

// rateOf reads a rate; where says of what.
func (d decoder) rateOf(where string, n *yaml.Node, j Job) *RateSpec {
	r := &RateSpec{line: n.Line}
	if r.Method = d.method(where, n, j); r.Method != nil {
		return r
	}
	if r.Part = d.part(where, n, j); r.Part != nil {
		return r
	}
	m, ok := d.mapping(n, where, "column", "table", "unit", "of", "plan")
	if !ok {
		return r
	}
	if file, ok := m.text("plan"); ok {
		r.Plan = d.path(file)
		if len(m.order) > 1 {
			d.add(m.line, "leave the other keys out", "%s: the choice of a plan has its own rates and units", m.name)
		}
		return r
	}
	m.require("name the unit, such as lb/ac", "unit")
	m.require("write `of: nitrogen` or `of: product`", "of")
	r.Unit = parsedOr(m, "unit", unit.ParseRateUnit, unit.RateUnit{})
	r.Of = parsedOr(m, "of", unit.ParseOf, 0)
	r.Column, _ = m.text("column")
	if t, ok := m.node("table"); ok {
		r.Table = d.table(m.name, t)
	}
	if m.has("column") && m.has("table") {
		d.add(m.line, "keep one of them", "%s has both a column and a table", m.name)
	}
	if !m.has("column") && !m.has("table") {
		if j.Zones != nil {
			r.Column = j.Zones.Columns["rate"]
		}
		if r.Column == "" {
			d.add(m.line, "name the zone column, or give a table of zone ids with rates", "%s has neither column nor table", m.name)
		}
	}
	d.volumeIsProduct(m, r.Unit, r.Of)
	return r
}

func (d decoder) volumeIsProduct(m mapping, u unit.RateUnit, of unit.Of) {
	if u.IsVolume() && of == unit.Nitrogen {
		d.add(m.lineOf("unit"), "use lb/ac or kg/ha, or `of: product`", "%s: nitrogen has no volume, and the unit is %s", m.name, u)
	}
}

func (d decoder) table(name string, n *yaml.Node) map[string]float64 {
	t := map[string]float64{}
	m, ok := d.freeMapping(n, name+": table")
	if !ok {
		return t
	}
	m.each(func(id string, _ *yaml.Node) {
		v, ok := parsed(m, id, number)
		if ok && v < 0 {
			d.add(m.lineOf(id), "zero is a rate; less is not", "%s: the rate of zone %s is below zero", m.name, id)
		}
		if ok {
			t[id] = v
		}
	})
	return t
}

func (d decoder) limits(app mapping) LimitsSpec {
	var l LimitsSpec
	n, ok := app.node("limits")
	if !ok {
		return l
	}
	m, ok := d.mapping(n, app.name+": limits", "min", "max", "step", "of")
	if !ok {
		return l
	}
	m.require("write `of: nitrogen` or `of: product`", "of")
	l.Of = parsedOr(m, "of", unit.ParseOf, 0)
	for key, to := range map[string]**unit.Rate{"min": &l.Min, "max": &l.Max, "step": &l.Step} {
		if v, ok := parsed(m, key, unit.ParseRate); ok {
			*to = &v
			if v.Unit.IsVolume() && l.Of == unit.Nitrogen {
				d.add(m.lineOf(key), "use lb/ac or kg/ha, or `of: product`", "%s: %s: nitrogen has no volume", m.name, key)
			}
		}
	}
	return l
}

// tank reads a volume or a mass of product.
func (d decoder) tank(app mapping) (unit.Volume, unit.Mass) {
	text, ok := app.text("tank")
	if !ok {
		return 0, 0
	}
	volume, volumeErr := unit.ParseVolume(text)
	mass, massErr := unit.ParseMass(text)
	if volumeErr != nil && massErr != nil {
		d.add(app.lineOf("tank"), "write what one load holds, such as 1600 gal or 8 ton", "%s: tank %q is neither a volume nor a mass", app.name, text)
		return 0, 0
	}
	if volume == 0 && mass == 0 {
		d.add(app.lineOf("tank"), "write what one load holds, such as 1600 gal or 8 ton", "%s: its tank holds nothing", app.name)
	}
	return volume, mass
}

func (d decoder) mapSpec(app mapping) MapSpec {
	s := MapSpec{Of: unit.Product, ZeroOffLimits: true}
	n, ok := app.node("map")
	if !ok {
		return s
	}
	m, ok := d.mapping(n, app.name+": map", "rate", "unit", "off_limits", "name")
	if !ok {
		return s
	}
	s.Of = parsedOr(m, "rate", unit.ParseOf, unit.Product)
	if u, ok := parsed(m, "unit", unit.ParseRateUnit); ok {
		s.Unit = &u
		d.volumeIsProduct(m, u, s.Of)
	}
	s.ZeroOffLimits = m.choice("off_limits", "zero", "none") == "zero"
	if name, ok := m.text("name"); ok {
		s.Name = name
		if !mapName.MatchString(name) {
			d.add(m.lineOf("name"), "use 1 to 8 characters A-Z and 0-9: older terminals read no other", "%s: name %q will not do for a rate map", m.name, name)
		}
	}
	return s
}

// prescription reads the rate map of somebody else: a file whose column and unit
// are those of `rate:`, or a mapping that names them itself.
func (d decoder) prescription(app mapping, rate *RateSpec) *MapFileSpec {
	n, ok := app.node("prescription")
	if !ok {
		return nil
	}
	if n.Kind == yaml.ScalarNode {
		p := &MapFileSpec{File: d.path(n.Value)}
		if rate == nil || rate.Column == "" {
			d.add(n.Line, "write {file: FILE, column: NAME, unit: lb/ac, of: nitrogen}", "%s: nothing says which column of the prescription is the rate", app.name)
			return p
		}
		p.Column, p.Unit, p.Of = rate.Column, rate.Unit, rate.Of
		return p
	}
	p := &MapFileSpec{}
	m, ok := d.mapping(n, app.name+": prescription", "file", "column", "unit", "of", "id", "crs")
	if !ok {
		return p
	}
	m.require("write {file: FILE, column: NAME, unit: lb/ac, of: nitrogen}", "file", "column", "unit", "of")
	file, _ := m.text("file")
	p.File = d.path(file)
	p.Column, _ = m.text("column")
	p.ID, _ = m.text("id")
	p.CRS, _ = m.text("crs")
	p.Unit = parsedOr(m, "unit", unit.ParseRateUnit, unit.RateUnit{})
	p.Of = parsedOr(m, "of", unit.ParseOf, 0)
	d.volumeIsProduct(m, p.Unit, p.Of)
	return p
}
