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
	Soil          *WordSpec // in place of Nitrate: its texture
	NoTill        bool      // South Dakota
	LongManure    bool      // Penn State recalibrated: manure for years
	CoverCrop     bool      // and a mixed cover crop
	AfterSoybean  bool      // the base rate is one for corn after soybean
	Price, Timing *float64  // nil: none

	Sampled budget.Sampled // but for the test itself
	Iowa    budget.Iowa
	Penn    budget.PennHistory
}

const pennRecalibrated = "penn-state-recalibrated"

// nitrateForms are the soil nitrate tests in season.
func nitrateForms() []string {
	return []string{"iowa", "penn-state", pennRecalibrated, "ohio", "illinois"}
}

func yieldForms() []string {
	var names []string
	for _, f := range budget.Published().YieldGoalForms() {
		names = append(names, f.Name)
	}
	return names
}

func (d decoder) yieldGoal(name string, n *yaml.Node) *BudgetSpec {
	b := &BudgetSpec{}
	m, ok := d.mapping(n, name, "method", "form", "yield", "no_till", "credits", "coefficients")
	if !ok {
		return b
	}
	m.require("name the rule: "+strings.Join(yieldForms(), ", "), "form")
	b.Form = m.choice("form", yieldForms()...)
	b.Yield = d.value(m, "yield", "expected yield", asFloat(unit.ParseYield))
	d.needs(m, map[string]*ValueSpec{"yield": b.Yield})
	if b.NoTill = m.yes("no_till"); b.NoTill && b.Form != "south-dakota" {
		d.add(m.lineOf("no_till"), "leave it out, or name the form south-dakota", "%s: what ground without tillage needs more is known for south-dakota alone", m.name)
	}
	b.Coefficients = d.coefficients(m)
	b.Credits = d.credits(m, b.Coefficients)
	d.twice(m, b.Credits, budget.Counted{})
	return b
}

// twice refuses credits that take one thing off twice.
func (d decoder) twice(m mapping, credits []budget.Credit, by budget.Counted) {
	if err := budget.Twice(credits, by); err != nil {
		d.add(m.lineOf("credits"), "", "%s: %v", m.name, err)
	}
}

func (d decoder) organicMatter(name string, n *yaml.Node) *BudgetSpec {
	b := &BudgetSpec{}
	m, ok := d.mapping(n, name, "method", "yield", "nitrate", "soil", "organic_matter", "credits", "price_factor", "timing_factor", "coefficients")
	if !ok {
		return b
	}
	b.Yield = d.value(m, "yield", "expected yield", asFloat(unit.ParseYield))
	b.Nitrate = d.value(m, "nitrate", "nitrate-N", asFloat(unit.ParsePPM))
	b.OrganicMatter = d.value(m, "organic_matter", "organic matter", percent)
	b.Soil = d.words(m, "soil")
	d.needs(m, map[string]*ValueSpec{"yield": b.Yield, "organic_matter": b.OrganicMatter})
	if m.has("nitrate") == m.has("soil") {
		d.add(m.line, "write nitrate: 3 ppm where it was sampled; where it was not, soil: medium or sandy stands for the published mean", "%s: the method needs either the nitrate of the soil or, without a sample, its texture", m.name)
	}
	b.Price = parsedAt(m, "price_factor", number)
	b.Timing = parsedAt(m, "timing_factor", number)
	b.Coefficients = d.coefficients(m)
	b.Credits = d.credits(m, b.Coefficients)
	d.twice(m, b.Credits, budget.Counted{Rule: "the method organic-matter", Nitrate: true})
	return b
}

func (d decoder) nitrateTest(name string, n *yaml.Node) *BudgetSpec {
	b := &BudgetSpec{}
	m, ok := d.mapping(n, name, "method", "form", "test", "critical", "cap", "yield", "base", "after_soybean", "manure", "earlier_manure", "previous_crop", "long_manure", "cover_crop", "corn_height", "banded", "full_before", "state", "credits", "coefficients")
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
		m.require("write yes or no: manure since the last harvest, and in the three years before, makes much of each ppm", "manure", "earlier_manure")
		b.Penn = budget.PennHistory{Manure: m.yes("manure"), EarlierManure: m.yes("earlier_manure"), PreviousCrop: m.choice("previous_crop", "corn", "soybean", "forage legume", "other")}
	case pennRecalibrated:
		needs["yield"] = b.Yield
		m.require("write yes or no", "long_manure", "cover_crop")
		b.LongManure, b.CoverCrop = m.yes("long_manure"), m.yes("cover_crop")
	case "ohio", "illinois":
		needs["base"] = b.Base
	case "iowa":
		b.Iowa.Critical = parsedAt(m, "critical", unit.ParsePPM)
		if text, ok := m.text("cap"); ok && text == "none" {
			b.Iowa.NoCap = true
		} else if ok {
			b.Iowa.Cap = parsedAt(m, "cap", perArea)
		}
	}
	d.needs(m, needs)
	b.AfterSoybean = m.yes("after_soybean")
	b.Sampled.CornHeight = parsedAt(m, "corn_height", unit.ParseLength)
	b.Sampled.Banded, b.Sampled.FullBefore = m.yes("banded"), m.yes("full_before")
	b.Sampled.Manured = m.yes("manure") || m.yes("earlier_manure")
	b.Sampled.State, _ = m.text("state")
	b.Coefficients = d.coefficients(m)
	b.Credits = d.credits(m, b.Coefficients)
	d.twice(m, b.Credits, budget.Counted{Rule: "the test " + b.Form, Nitrate: true, Crop: b.Form == "penn-state", Manure: b.LongManure || b.Penn.Manure || b.Penn.EarlierManure})
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
		"critical": {"iowa"}, "cap": {"iowa"}, "yield": {"penn-state", pennRecalibrated}, "long_manure": {pennRecalibrated}, "cover_crop": {pennRecalibrated}, "earlier_manure": {"penn-state"}, "previous_crop": {"penn-state"},
		"manure": {"iowa", "penn-state", "ohio", "illinois"},
		"base":   {"ohio", "illinois"}, "after_soybean": {"ohio", "illinois"},
	}
	for _, key := range sortedKeys(of) {
		if m.has(key) && slices.Contains(nitrateForms(), form) && !slices.Contains(of[key], form) {
			d.add(m.lineOf(key), "leave it out, or name the form that needs it: "+strings.Join(of[key], ", "), "%s: the form %s takes no account of %s", m.name, form, key)
		}
	}
}

// perArea reads nitrogen per area.
func perArea(s string) (unit.NRate, error) {
	v, err := nitrogenRate(s)
	return unit.KgNPerHa(v), err
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
	if err := co.Check(); err != nil {
		d.add(n.Line, "", "%s: %v", m.name, err)
	}
	return co
}
