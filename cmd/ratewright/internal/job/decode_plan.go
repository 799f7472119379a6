package job

import (
	"fmt"
	"math"
	"regexp"
	"strings"
	"time"
	"unicode/utf8"

	"go.yaml.in/yaml/v3"

	"ratewright/geo/unit"
	"ratewright/rx/nitrogen/loss"
	"ratewright/rx/plan"
)

// The season's rates that a plan looks at where the job does not say.
const (
	defaultPlanStep = unit.NRate(10 * 0.45359237 / 0.40468564224)
	defaultPlanMost = unit.NRate(240 * 0.45359237 / 0.40468564224)
)

// stageName is a growth stage by its leaf collars.
var stageName = regexp.MustCompile(`^V([1-9]|1[0-8])$`)

func (d decoder) plan(m mapping, j Job) *PlanSpec {
	n, ok := m.node("plan")
	if !ok {
		return nil
	}
	p := &PlanSpec{Step: defaultPlanStep, Most: defaultPlanMost, line: n.Line}
	m, ok = d.mapping(n, "plan", "until", "step", "most", "field_most", "response", "practice", "coefficients")
	if !ok {
		return p
	}
	m.require("write a date such as 2026-07-01, or a growth stage such as V8, by which it matters what is still there", "until")
	p.By, _ = m.text("until")
	if p.By != "" && !stageName.MatchString(p.By) {
		if _, err := time.Parse(time.DateOnly, p.By); err != nil {
			d.add(m.lineOf("until"), "write a date such as 2026-07-01, or a growth stage from V1 to V18", "plan: until: %q is neither a date nor a stage", p.By)
		}
	} else if p.By != "" && j.Crop == nil {
		d.add(m.lineOf("until"), "write crop: {planted: 2026-04-28}, or a date", "plan: until %s needs to know when the crop was planted", p.By)
	}
	p.Step = unit.NRate(parsedOr(m, "step", nitrogenRate, float64(p.Step)))
	p.Most = unit.NRate(parsedOr(m, "most", nitrogenRate, float64(p.Most)))
	p.FieldMost = unit.NRate(parsedOr(m, "field_most", nitrogenRate, 0))
	if m.has("field_most") && p.FieldMost == 0 {
		d.add(m.lineOf("field_most"), "write the most that the field may get on average, or leave it out for no limit", "plan: field_most of none leaves no nitrogen to plan")
	}
	for _, of := range []struct {
		key  string
		rate unit.NRate
	}{{"most", p.Most}, {"field_most", p.FieldMost}} {
		if err := loss.CheckRate(of.rate); err != nil {
			d.add(m.lineOf(of.key), "", "plan: %s: %v", of.key, err)
		}
	}
	switch {
	case p.Step > 0 && float64(p.Most/p.Step) > plan.MostLevels:
		d.add(m.line, fmt.Sprintf("write a step of at least %s, or a lower highest rate", j.Units.NRate(p.Most/plan.MostLevels)), "plan: from 0 to %s in steps of %s are more than %d rates to look at", j.Units.NRate(p.Most), j.Units.NRate(p.Step), plan.MostLevels)
	case p.Step <= 0 || p.Most < p.Step:
		d.add(m.line, "write the highest rate and the step to it, such as most: 240 lb/ac, step: 10 lb/ac", "plan: there are no rates from 0 to %s in steps of %s", j.Units.NRate(p.Most), j.Units.NRate(p.Step))
	}
	if r, ok := m.node("response"); ok {
		p.Response = d.responseMethod("plan: response", r)
		if j.Prices == nil {
			d.add(r.Line, "write them at the top of the job, such as prices: {nitrogen: 0.50 $/lb, corn: 4.20 $/bu}", "plan: yields are worth nothing without prices")
		}
	}
	if t, ok := m.node("practice"); ok {
		trip := d.trip("plan: practice", t, j, []string{"source", "placement", "depth", "date", "inhibitor", "incorporate"})
		p.Practice = &trip
	}
	if c, ok := m.node("coefficients"); ok {
		p.Coefficients = d.lossCoefficients(c)
	}
	return p
}

// lossCoefficients reads numbers of the losses that the job sets.
func (d decoder) lossCoefficients(n *yaml.Node) map[string]float64 {
	set := map[string]float64{}
	m, ok := d.freeMapping(n, "plan: coefficients")
	if !ok {
		return set
	}
	var names []string
	for _, c := range loss.Names() {
		names = append(names, c.Name)
	}
	m.each(func(key string, value *yaml.Node) {
		v, ok := parsed(m, key, number)
		if !ok {
			return
		}
		c := loss.Mid()
		if !contains(names, key) {
			d.unknown(value.Line, m.name, "coefficient", key, names)
		} else if err := c.Set(key, v); err != nil {
			d.add(value.Line, "", "%s: %v", m.name, err)
		}
		set[key] = v
	})
	return set
}

func (d decoder) strategies(m mapping, j Job) []StrategySpec {
	var list []StrategySpec
	m.list("strategies", func(i int, n *yaml.Node) {
		s := StrategySpec{line: n.Line}
		m, ok := d.mapping(n, fmt.Sprintf("strategy %d", i+1), "name", "applications")
		if !ok {
			return
		}
		m.require("give it a name, such as early ammonia", "name")
		const whatIsApplied = "list what is applied: source, placement, date, and rate or share"
		m.require(whatIsApplied, "applications")
		if s.Name, _ = m.text("name"); s.Name != "" {
			m.name = "strategy " + s.Name
			const longest = 80
			if utf8.RuneCountInString(s.Name) > longest {
				m.name = fmt.Sprintf("strategy %d", i+1)
				d.add(m.lineOf("name"), "give it a short name, such as early ammonia", "%s: its name has more than %d characters", m.name, longest)
			}
		}
		for _, have := range list {
			if strings.EqualFold(have.Name, s.Name) {
				d.add(n.Line, "give each its own name", "two strategies are called %s", s.Name)
			}
		}
		share := 0.0
		m.list("applications", func(k int, item *yaml.Node) {
			t := d.trip(fmt.Sprintf("%s: application %d", m.name, k+1), item, j,
				append([]string{"name", "source", "placement", "depth", "date", "inhibitor", "incorporate", "rate", "share", "cost", "work"}, careKeys()...))
			for _, have := range s.Trips {
				if have.Name == t.Name {
					d.add(item.Line, "give each its own name", "%s: two applications are called %s", m.name, t.Name)
				}
			}
			share += t.Share
			s.Trips = append(s.Trips, t)
		})
		if m.has("applications") && len(s.Trips) == 0 {
			d.add(m.lineOf("applications"), whatIsApplied, "%s has no application", m.name)
		}
		if share > 1+1e-9 || share > 0 && share < 1-1e-9 {
			d.add(n.Line, "shares count what fixed rates leave of the season's nitrogen, and make 100 % together", "%s: its shares come to %.4g %%", m.name, 100*share)
		}
		list = append(list, s)
	})
	return list
}

// trip reads how nitrogen is put down.
func (d decoder) trip(where string, n *yaml.Node, j Job, known []string) TripSpec {
	t := TripSpec{line: n.Line}
	m, ok := d.mapping(n, where, known...)
	if !ok {
		return t
	}
	m.require("name one of the sources", "source")
	m.require("write broadcast, dribbled, incorporated or injected", "placement")
	m.require("write the day, such as 2026-06-05", "date")
	t.Source, _ = m.text("source")
	t.Name, _ = m.text("name")
	if t.Name == "" {
		t.Name = t.Source
	}
	if m.has("name") && !plainName.MatchString(t.Name) {
		d.add(m.lineOf("name"), "use letters, digits, - and _, at most 40: files are named after it", "%s: name %q cannot stand in a file name", where, t.Name)
	}
	t.Placement, _ = m.text("placement")
	place, ok := placed(t.Placement)
	if m.has("placement") && !ok {
		d.add(m.lineOf("placement"), "write broadcast, dribbled, incorporated or injected (coulter, knife)", "%s: placement %q is not one that losses are known for", where, t.Placement)
	}
	t.Depth = d.depth(m, "depth")
	if t.Depth == nil && ok && (place == loss.Injected || place == loss.Incorporated) && m.has("placement") {
		d.add(m.line, "write how deep, such as depth: 4 in", "%s: nitrogen that is %s has a depth", where, t.Placement)
	}
	if m.has("depth") && !m.has("placement") {
		d.add(m.lineOf("depth"), "write broadcast, dribbled, incorporated or injected", "%s: a depth without a placement", where)
	}
	t.Date = d.day(m, "date")
	t.Inhibitor = d.inhibitor(m)
	if i, ok := m.node("incorporate"); ok {
		t.Incorporate = d.incorporate(where, i)
	}
	d.howMuch(m, &t)
	t.Care = d.care(m)
	if v, ok := parsed(m, "cost", unit.ParseReturn); ok {
		t.Cost = v
		if v < 0 {
			d.add(m.lineOf("cost"), "write what the trip costs, such as 12 $/ac", "%s: a cost below zero", where)
		}
	}
	if t.Work, ok = m.text("work"); ok {
		var names []string
		for _, w := range j.Work {
			names = append(names, w.Name)
		}
		if !contains(names, t.Work) {
			d.unknown(m.lineOf("work"), where, "work", t.Work, names)
		}
	}
	return t
}

func (d decoder) howMuch(m mapping, t *TripSpec) {
	if v, ok := parsed(m, "rate", nitrogenRate); ok {
		rate := unit.NRate(v)
		t.Rate = &rate
	}
	if v, ok := parsed(m, "share", unit.ParseFraction); ok {
		t.Share = v
		if v <= 0 || v > 1 {
			d.add(m.lineOf("share"), "write a share above 0 % and up to 100 %", "%s: a share of %.4g %%", m.name, 100*v)
		}
	}
	if m.has("rate") && m.has("share") {
		d.add(m.line, "keep one of them", "%s has both a rate and a share", m.name)
	}
}

func (d decoder) incorporate(where string, n *yaml.Node) *TillageSpec {
	t := &TillageSpec{}
	m, ok := d.mapping(n, where+": incorporate", "date", "depth")
	if !ok {
		return t
	}
	m.require("write {date: 2026-05-02, depth: 3 in}", "date", "depth")
	t.Date = d.day(m, "date")
	if v := d.depth(m, "depth"); v != nil {
		t.Depth = *v
	}
	return t
}

func (d decoder) supply(m mapping) []SupplySpec {
	n, ok := m.node("supply")
	if !ok {
		return nil
	}
	var list []SupplySpec
	m, _ = d.freeMapping(n, "supply")
	m.each(func(source string, value *yaml.Node) {
		s := SupplySpec{Source: source, line: value.Line}
		text, ok := m.text(source)
		if !ok {
			return
		}
		volume, volumeErr := unit.ParseVolume(text)
		mass, massErr := unit.ParseMass(text)
		switch {
		case volumeErr == nil:
			s.Volume = volume
		case massErr == nil:
			s.Mass = mass
		default:
			d.add(value.Line, "write how much product there is, such as 20 ton or 12000 gal", "supply of %s: %q is neither a mass nor a volume", source, text)
		}
		list = append(list, s)
	})
	return list
}

func (d decoder) work(m mapping, units unit.System) []WorkSpec {
	n, ok := m.node("work")
	if !ok {
		return nil
	}
	var list []WorkSpec
	m, _ = d.freeMapping(n, "work")
	m.each(func(name string, value *yaml.Node) {
		w := WorkSpec{Name: name, line: value.Line}
		m, ok := d.mapping(value, "work "+name, "available", "rate")
		if !ok {
			return
		}
		m.require("write how long it can work, such as 40 h or 4 days", "available")
		m.require("write how much ground it does, such as 25 ac/h or 200 ac/day", "rate")
		if text, ok := m.text("available"); ok {
			if w.Available, w.Unit, ok = amountOfTime(text); !ok {
				d.add(m.lineOf("available"), "write 40 h or 4 days", "%s: %q is no time to work", m.name, text)
			}
		}
		if text, ok := m.text("rate"); ok {
			ground, per, _ := strings.Cut(text, "/")
			ground = strings.TrimSpace(ground)
			area, err := unit.ParseArea(ground)
			_, of, okTime := amountOfTime("1 " + strings.TrimSpace(per))
			switch {
			case err != nil || !okTime || area <= 0:
				d.add(m.lineOf("rate"), "write 25 ac/h or 200 ac/day", "%s: %q is no ground in a time", m.name, text)
			case w.Unit != "" && of != w.Unit:
				d.add(m.lineOf("rate"), "write both by the hour or both by the day", "%s: it is available in %s and works by %s", m.name, w.Unit, of)
			}
			w.Rate = area
		}
		list = append(list, w)
	})
	return list
}

// amountOfTime reads "40 h" or "4 days".
func amountOfTime(text string) (v float64, of string, ok bool) {
	num, word, _ := strings.Cut(strings.TrimSpace(text), " ")
	v, err := number(num)
	switch strings.ToLower(strings.TrimSpace(word)) {
	case "h", "hour", "hours", "hr", "hrs":
		of = "h"
	case "day", "days", "d":
		of = "days"
	}
	return v, of, err == nil && of != "" && v >= 0 && !math.IsInf(v, 0)
}

// sourcePrices reads what products and inhibitors cost.
func (d decoder) sourcePrices(m mapping, p *PricesSpec, j Job) {
	p.Sources, p.Inhibitors = map[string]unit.ProductPrice{}, map[string]InhibitorPrice{}
	if n, ok := m.node("sources"); ok {
		s, _ := d.freeMapping(n, "prices: sources")
		s.each(func(name string, _ *yaml.Node) {
			v, ok := parsed(s, name, unit.ParseProductPrice)
			if !ok {
				return
			}
			source, ok := j.plainSource(name)
			if _, again := p.Sources[source]; again {
				d.add(s.lineOf(name), "keep one of them", "prices: sources: two prices of %s", source)
			}
			p.Sources[source] = v
			if !ok {
				d.unknown(s.lineOf(name), "prices: sources", "source", name, j.sourceNames())
			}
		})
	}
	n, ok := m.node("inhibitors")
	if !ok {
		return
	}
	i, _ := d.mapping(n, "prices: inhibitors", loss.Urease.String(), loss.Nitrification.String(), loss.UreaseAndNitrification.String())
	i.each(func(name string, value *yaml.Node) {
		text, ok := i.text(name)
		if !ok {
			return
		}
		byGround, groundErr := unit.ParseReturn(text)
		byN, nErr := unit.ParseNPrice(text)
		switch {
		case groundErr == nil && byGround >= 0:
			p.Inhibitors[name] = InhibitorPrice{PerHa: byGround}
		case nErr == nil:
			p.Inhibitors[name] = InhibitorPrice{PerKg: byN}
		default:
			d.add(value.Line, "write what it costs by ground or by nitrogen, such as 8 $/ac or 0.06 $/lb", "prices: inhibitors: %s: %q is neither", name, text)
		}
	})
}
