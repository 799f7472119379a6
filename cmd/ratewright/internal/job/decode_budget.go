package job

import (
	"fmt"
	"slices"
	"strings"

	"go.yaml.in/yaml/v3"

	"ratewright/geo/unit"
	"ratewright/rx/nitrogen/budget"
)

// BudgetSpec is a rate worked out by a published rule from quantities of the zones.
// Which are set depends on the rule.
type BudgetSpec struct {
	Form          string // of the rule, such as iowa
	Yield         *ValueSpec
	Nitrate       *ValueSpec // ppm of nitrate-N
	OrganicMatter *ValueSpec // percent
	Base          *ValueSpec // rate without a test, kg N/ha
	Credits       []budget.Credit
	Coefficients  budget.Coefficients
	AfterSoybean  bool // the base rate is one for corn after soybean
	Price, Timing float64

	Sampled budget.Sampled // but for the test itself
	Iowa    budget.Iowa
	Penn    budget.PennHistory
}

// nitrateForms are the soil nitrate tests in season.
func nitrateForms() []string { return []string{"iowa", "penn-state", "ohio", "illinois"} }

func yieldForms() []string {
	var names []string
	for _, f := range budget.Published().YieldGoalForms() {
		names = append(names, f.Name)
	}
	return names
}

func (d decoder) yieldGoal(name string, n *yaml.Node) *BudgetSpec {
	b := &BudgetSpec{}
	m, ok := d.mapping(n, name, "method", "form", "yield", "credits", "coefficients")
	if !ok {
		return b
	}
	m.require("name the rule: "+strings.Join(yieldForms(), ", "), "form")
	b.Form = m.choice("form", yieldForms()...)
	b.Yield = d.value(m, "yield", "expected yield", asFloat(unit.ParseYield))
	d.needs(m, map[string]*ValueSpec{"yield": b.Yield})
	b.Coefficients = d.coefficients(m)
	b.Credits = d.credits(m, b.Coefficients)
	return b
}

func (d decoder) organicMatter(name string, n *yaml.Node) *BudgetSpec {
	b := &BudgetSpec{}
	m, ok := d.mapping(n, name, "method", "yield", "nitrate", "organic_matter", "credits", "price_factor", "timing_factor", "coefficients")
	if !ok {
		return b
	}
	b.Yield = d.value(m, "yield", "expected yield", asFloat(unit.ParseYield))
	b.Nitrate = d.value(m, "nitrate", "nitrate-N", asFloat(unit.ParsePPM))
	b.OrganicMatter = d.value(m, "organic_matter", "organic matter", percent)
	d.needs(m, map[string]*ValueSpec{"yield": b.Yield, "nitrate": b.Nitrate, "organic_matter": b.OrganicMatter})
	b.Price = parsedOr(m, "price_factor", number, 0)
	b.Timing = parsedOr(m, "timing_factor", number, 0)
	b.Coefficients = d.coefficients(m)
	b.Credits = d.credits(m, b.Coefficients)
	return b
}

func (d decoder) nitrateTest(name string, n *yaml.Node) *BudgetSpec {
	b := &BudgetSpec{}
	m, ok := d.mapping(n, name, "method", "form", "test", "critical", "cap", "yield", "base", "after_soybean", "manure", "earlier_manure", "previous_crop", "corn_height", "banded", "full_before", "state", "credits", "coefficients")
	if !ok {
		return b
	}
	m.require("name the test: "+strings.Join(nitrateForms(), ", "), "form")
	b.Form = m.choice("form", nitrateForms()...)
	d.unused(m, b.Form)
	b.Nitrate = d.value(m, "test", "nitrate test", asFloat(unit.ParsePPM))
	needs := map[string]*ValueSpec{"test": b.Nitrate}
	b.Yield = d.value(m, "yield", "expected yield", asFloat(unit.ParseYield))
	b.Base = d.value(m, "base", "rate without a test", nitrogenRate)
	switch b.Form {
	case "penn-state":
		needs["yield"] = b.Yield
		m.require("write the crop before: corn, soybean, forage legume or other", "previous_crop")
		b.Penn = budget.PennHistory{Manure: m.yes("manure"), EarlierManure: m.yes("earlier_manure"), PreviousCrop: m.choice("previous_crop", "corn", "soybean", "forage legume", "other")}
	case "ohio", "illinois":
		needs["base"] = b.Base
	case "iowa":
		b.Iowa.Critical = parsedOr(m, "critical", unit.ParsePPM, 0)
		b.Iowa.Cap = unit.NRate(parsedOr(m, "cap", capOrNone, 0))
	}
	d.needs(m, needs)
	b.AfterSoybean = m.yes("after_soybean")
	b.Sampled.CornHeight = parsedOr(m, "corn_height", unit.ParseLength, 0)
	b.Sampled.Banded, b.Sampled.FullBefore = m.yes("banded"), m.yes("full_before")
	b.Sampled.Manured = m.yes("manure") || m.yes("earlier_manure")
	b.Sampled.State, _ = m.text("state")
	b.Coefficients = d.coefficients(m)
	b.Credits = d.credits(m, b.Coefficients)
	if b.AfterSoybean {
		if err := budget.AfterSoybean(b.Credits); err != nil {
			d.add(m.line, "", "%s: %v", m.name, err)
		}
	}
	return b
}

// unused reports keys of a nitrate test that its form takes no account of.
func (d decoder) unused(m mapping, form string) {
	of := map[string][]string{
		"critical": {"iowa"}, "cap": {"iowa"}, "yield": {"penn-state"}, "earlier_manure": {"penn-state"}, "previous_crop": {"penn-state"},
		"base": {"ohio", "illinois"}, "after_soybean": {"ohio", "illinois"},
	}
	for _, key := range sortedKeys(of) {
		if m.has(key) && slices.Contains(nitrateForms(), form) && !slices.Contains(of[key], form) {
			d.add(m.lineOf(key), "leave it out, or name the form that needs it: "+strings.Join(of[key], ", "), "%s: the form %s takes no account of %s", m.name, form, key)
		}
	}
}

// capOrNone reads a limit, or the word none.
func capOrNone(s string) (float64, error) {
	if s == "none" {
		return -1, nil
	}
	return nitrogenRate(s)
}

// nitrogenRate reads nitrogen per area in kg N/ha.
func nitrogenRate(s string) (float64, error) {
	r, err := unit.ParseRate(s)
	if err != nil {
		return 0, err
	}
	if r.Unit.IsVolume() {
		return 0, fmt.Errorf("nitrogen has no volume; use lb/ac or kg/ha")
	}
	return r.Value * r.Unit.PerHa(), nil
}

// percent reads a share in percent.
func percent(s string) (float64, error) {
	v, err := unit.ParseFraction(s)
	return 100 * v, err
}

// coefficients reads numbers of the rules that stand in place of the published ones.
func (d decoder) coefficients(app mapping) budget.Coefficients {
	co := budget.Published()
	co.Units = d.units
	n, ok := app.node("coefficients")
	if !ok {
		return co
	}
	var names []string
	for _, c := range budget.Names() {
		names = append(names, c.Name)
	}
	m, _ := d.mapping(n, app.name+": coefficients", names...)
	m.each(func(name string, _ *yaml.Node) {
		v, ok := parsed(m, name, number)
		if !ok {
			return
		}
		if err := co.Set(name, v); err != nil {
			d.add(m.lineOf(name), "", "%s: %v", m.name, err)
		}
	})
	return co
}

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
		if c, ok := d.mapping(n, m.name+": soybean", "soil", "yield"); ok {
			bushels := parsedOr(c, "yield", soybeanYield, 0)
			credit, err := co.Soybean(c.choice("soil", "medium", "sandy") == "sandy", bushels)
			add("soybean", credit, err)
		}
	}
	if n, ok := m.node("alfalfa"); ok {
		if c, ok := d.mapping(n, m.name+": alfalfa", "stand", "year"); ok {
			c.require("write {stand: good, year: 1}, the year of corn after it", "stand", "year")
			credit, err := co.Alfalfa(budget.Stand(c.choice("stand", "good", "fair", "poor")), int(parsedOr(c, "year", number, 1)))
			add("alfalfa", credit, err)
		}
	}
	if m.yes("dry_bean") {
		all = append(all, co.DryBean())
	}
	if n, ok := m.node("manure"); ok {
		if c, ok := d.mapping(n, m.name+": manure", "tons_per_acre", "lb_n_per_ton", "available"); ok {
			c.require("write {tons_per_acre: 10, lb_n_per_ton: 5, available: 50 %}, from an analysis", "tons_per_acre", "lb_n_per_ton", "available")
			credit, err := co.Manure(parsedOr(c, "tons_per_acre", number, 0), parsedOr(c, "lb_n_per_ton", number, 0), parsedOr(c, "available", unit.ParseFraction, 0))
			add("manure", credit, err)
		}
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
					given.Soybean = strings.Contains(strings.ToLower(what), "soy")
					add("other", given, nil)
				}
			})
		}
	}
	return all
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
	c, ok := d.mapping(n, m.name+": soil_nitrate", "layers", "factor")
	if !ok {
		return budget.Credit{}, nil
	}
	c.require("write layers: [{thickness: 12 in, nitrate: 8 ppm}]", "layers")
	var layers []budget.Layer
	c.list("layers", func(i int, item *yaml.Node) {
		l, ok := d.mapping(item, fmt.Sprintf("%s: layer %d", c.name, i+1), "thickness", "nitrate")
		if !ok {
			return
		}
		l.require("write {thickness: 12 in, nitrate: 8 ppm}", "thickness", "nitrate")
		layers = append(layers, budget.Layer{Thickness: parsedOr(l, "thickness", unit.ParseLength, 0), Nitrate: parsedOr(l, "nitrate", unit.ParsePPM, 0)})
	})
	return co.ResidualNitrate(layers, parsedOr(c, "factor", number, 0))
}
