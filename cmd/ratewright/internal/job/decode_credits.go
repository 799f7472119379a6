package job

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"go.yaml.in/yaml/v3"

	"ratewright/geo/unit"
	"ratewright/rx/nitrogen/budget"
)

// credits reads nitrogen that the crop has without fertiliser.
func (d decoder) credits(app mapping, co budget.Coefficients) []budget.Credit {
	n, ok := app.node("credits")
	if !ok {
		return nil
	}
	m, ok := d.mapping(n, app.name+": credits", "soybean", "alfalfa", "dry_bean", "manure", "water", "soil_nitrate", "other")
	if !ok {
		return nil
	}
	var all []budget.Credit
	add := func(key string, c budget.Credit, err error) {
		if err != nil {
			d.add(m.lineOf(key), "", "%s: %s: %v", m.name, key, err)
			return
		}
		all = append(all, c)
	}
	if n, ok := m.node("soybean"); ok {
		if c, ok := d.mapping(n, m.name+": soybean", "rule", "soil", "yield"); ok {
			d.soybeanKeys(c)
			bushels := parsedAt(c, "yield", soybeanYield)
			credit, err := co.Soybean(c.choice("rule", budget.SoybeanRules()...), c.choice("soil", "medium", "sandy") == "sandy", bushels)
			add("soybean", credit, err)
		}
	}
	if n, ok := m.node("alfalfa"); ok {
		if a, ok := d.alfalfa(m, n); ok {
			credit, err := co.Alfalfa(a)
			add("alfalfa", credit, err)
		}
	}
	if m.yes("dry_bean") {
		all = append(all, co.DryBean())
	}
	if n, ok := m.node("manure"); ok {
		credit, err := d.manure(m, n, co)
		add("manure", credit, err)
	}
	if n, ok := m.node("water"); ok {
		if c, ok := d.mapping(n, m.name+": water", "nitrate", "depth", "as"); ok {
			c.require("write {nitrate: 20 ppm, depth: 24 in, as: nitrogen}", "nitrate", "depth", "as")
			credit, err := co.Water(parsedOr(c, "nitrate", unit.ParsePPM, 0), parsedOr(c, "depth", unit.ParseLength, 0), c.choice("as", "nitrogen", "nitrate") == "nitrate")
			add("water", credit, err)
		}
	}
	if n, ok := m.node("soil_nitrate"); ok {
		credit, err := d.soilNitrate(m, n, co)
		add("soil_nitrate", credit, err)
	}
	if n, ok := m.node("other"); ok {
		if c, ok := d.freeMapping(n, m.name+": other"); ok {
			c.each(func(what string, _ *yaml.Node) {
				if v, ok := parsed(c, what, nitrogenRate); ok {
					given := budget.Given(what, unit.KgNPerHa(v))
					name := strings.ToLower(what)
					if given.Soybean = strings.Contains(name, "soy"); given.Soybean {
						given.Crop = "soybean"
					}
					given.Manure = strings.Contains(name, "manure")
					given.Nitrate = strings.Contains(name, "nitrate") && !strings.Contains(name, "water") && !strings.Contains(name, "irrigation")
					add("other", given, nil)
				}
			})
		}
	}
	return all
}

// soybeanKeys reports keys of a soybean credit that its rule takes no account of.
func (d decoder) soybeanKeys(c mapping) {
	rule, _ := c.text("rule")
	for _, key := range map[string][]string{"dakotas": {"soil", "yield"}, "per-bushel": {"soil"}}[rule] {
		if c.has(key) {
			d.add(c.lineOf(key), "leave it out, or name the rule nebraska", "%s: the rule %s takes no account of %s", c.name, rule, key)
		}
	}
}

// alfalfa reads alfalfa before corn. Which keys it has depends on the state.
func (d decoder) alfalfa(m mapping, n *yaml.Node) (budget.AlfalfaBefore, bool) {
	c, ok := d.mapping(n, m.name+": alfalfa", "state", "stand", "year", "plants", "regrowth", "soil")
	if !ok {
		return budget.AlfalfaBefore{}, false
	}
	before := len(d.list)
	a := budget.AlfalfaBefore{State: c.choice("state", budget.AlfalfaStates()...)}
	needs := map[string][]string{"wisconsin": {"plants", "regrowth", "soil"}, "kansas": {}, "idaho": {}}[a.State]
	if needs == nil && a.State != "kansas" && a.State != "idaho" {
		needs = []string{"stand"}
	}
	c.require("write {stand: good, year: 1}, the year of corn after it", append(needs, "year")...)
	for _, key := range []string{"stand", "plants", "regrowth", "soil"} {
		if c.has(key) && !slices.Contains(needs, key) {
			d.add(c.lineOf(key), "leave it out, or name the state that counts it", "%s takes no account of %s", c.name, key)
		}
	}
	a.Stand = budget.Stand(c.choice("stand", "good", "fair", "poor", "half"))
	a.Year = parsedOr(c, "year", whole, 0)
	a.Plants = parsedOr(c, "plants", number, 0)
	a.Regrowth = parsedOr(c, "regrowth", unit.ParseLength, 0)
	a.Sandy = c.choice("soil", "medium", "sandy") == "sandy"
	return a, len(d.list) == before
}

// whole reads a small whole number.
func whole(s string) (int, error) {
	v, err := number(s)
	if err == nil && (v != math.Trunc(v) || math.Abs(v) > 100) {
		err = fmt.Errorf("%q is no small whole number", s)
	}
	return int(v), err
}

// manure reads manure with its analysis, or of a kind whose nitrogen is published.
func (d decoder) manure(m mapping, n *yaml.Node, co budget.Coefficients) (budget.Credit, error) {
	c, ok := d.mapping(n, m.name+": manure", "tons_per_acre", "lb_n_per_ton", "available", "kind", "year")
	if !ok {
		return budget.Credit{}, nil
	}
	before := len(d.list)
	tons := parsedOr(c, "tons_per_acre", number, 0)
	if c.has("kind") {
		c.require("write {kind: beef-feedlot, tons_per_acre: 10, year: 1}", "tons_per_acre", "year")
		c.choice("kind", "beef-feedlot")
		if c.has("lb_n_per_ton") || c.has("available") {
			d.add(c.line, "leave the kind out where there is an analysis", "%s has both a kind and an analysis", c.name)
		}
		year := parsedOr(c, "year", whole, 0)
		if len(d.list) > before {
			return budget.Credit{}, nil // said above
		}
		return co.BeefManure(tons, year)
	}
	if c.has("year") {
		d.add(c.lineOf("year"), "leave it out: available says what is left for this year", "%s: the year counts for a kind alone", c.name)
	}
	c.require("write {tons_per_acre: 10, lb_n_per_ton: 5, available: 50 %}, from an analysis", "tons_per_acre", "lb_n_per_ton", "available")
	return co.Manure(tons, parsedOr(c, "lb_n_per_ton", number, 0), parsedOr(c, "available", unit.ParseFraction, 0))
}

// soybeanYield reads a yield of soybean in bu/ac. A bushel of soybean is 60 lb, one of corn
// 56, so that bushels are taken as they stand.
func soybeanYield(s string) (float64, error) {
	y, err := unit.ParseYield(s)
	if err != nil {
		return 0, err
	}
	if text := strings.ToLower(s); strings.Contains(text, "bu") || strings.Contains(text, "bpa") {
		return y.BushelsPerAcre(), nil
	}
	const cornLb, soybeanLb = 56.0, 60.0
	return y.BushelsPerAcre() * cornLb / soybeanLb, nil
}

// soilNitrate reads layers of soil.
func (d decoder) soilNitrate(m mapping, n *yaml.Node, co budget.Coefficients) (budget.Credit, error) {
	c, ok := d.mapping(n, m.name+": soil_nitrate", "layers", "factor", "background")
	if !ok {
		return budget.Credit{}, nil
	}
	c.require("write layers: [{thickness: 12 in, nitrate: 8 ppm}]", "layers")
	var layers []budget.Layer
	read := true // every layer, so that nothing is said of one that was not
	c.list("layers", func(i int, item *yaml.Node) {
		l, ok := d.mapping(item, fmt.Sprintf("%s: layer %d", c.name, i+1), "thickness", "nitrate")
		if !ok {
			return
		}
		l.require("write {thickness: 12 in, nitrate: 8 ppm}", "thickness", "nitrate")
		thickness, hasThickness := parsed(l, "thickness", unit.ParseLength)
		nitrate, hasNitrate := parsed(l, "nitrate", unit.ParsePPM)
		read = read && hasThickness && hasNitrate
		layers = append(layers, budget.Layer{Thickness: thickness, Nitrate: nitrate})
	})
	if !read {
		return budget.Credit{}, nil // said above
	}
	return co.ResidualNitrate(layers, parsedAt(c, "factor", number), parsedAt(c, "background", perArea))
}
