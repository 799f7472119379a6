package job

import (
	"time"
	_ "time/tzdata" // so that a named zone is known on every machine

	"go.yaml.in/yaml/v3"

	"ratewright/asapplied"
	"ratewright/geo/unit"
)

func (d decoder) log(name string, n *yaml.Node, machine string, j Job) LogSpec {
	l := LogSpec{line: n.Line, Machine: machine}
	m, ok := d.mapping(n, name, "files", "machine", "columns", "units", "of", "max_gap", "zone", "crs")
	if !ok {
		return l
	}
	m.require("list the files of the log", "files")
	l.Files = d.paths(m.texts("files"))
	if m.has("machine") {
		l.Machine = d.machineName(m, j)
	}
	l.CRS, _ = m.text("crs")
	if of, ok := parsed(m, "of", unit.ParseOf); ok {
		l.Of = &of
	}
	if gap, ok := parsed(m, "max_gap", unit.ParseDuration); ok {
		l.MaxGap = &gap
		if gap <= 0 {
			d.add(m.lineOf("max_gap"), "give the longest time between two records of one run, such as 5 s", "%s: max_gap must be above zero", name)
		}
	}
	if zone, ok := m.text("zone"); ok {
		l.Zone = zone
		if _, err := time.LoadLocation(zone); err != nil || zone == "Local" {
			d.add(m.lineOf("zone"), "name it as America/Chicago or UTC", "%s: %q is no known time zone", name, zone)
		}
	}
	l.Columns = d.logColumns(m)
	l.Units = d.logUnits(m)
	return l
}

func (d decoder) logColumns(log mapping) map[string][]string {
	columns := map[string][]string{}
	n, ok := log.node("columns")
	if !ok {
		return columns
	}
	m, _ := d.mapping(n, log.name+": columns", asapplied.Roles()...)
	m.each(func(role string, _ *yaml.Node) {
		if list := m.texts(role); len(list) > 0 {
			columns[role] = list
		}
	})
	return columns
}

func (d decoder) logUnits(log mapping) map[string]string {
	units := map[string]string{}
	n, ok := log.node("units")
	if !ok {
		return units
	}
	m, _ := d.mapping(n, log.name+": units", asapplied.Roles()...)
	m.each(func(role string, _ *yaml.Node) {
		text, ok := m.text(role)
		if !ok {
			return
		}
		if err := asapplied.CheckUnit(role, text); err != nil {
			d.add(m.lineOf(role), "", "%s: %s: %v", m.name, role, err)
			return
		}
		units[role] = text
	})
	return units
}
