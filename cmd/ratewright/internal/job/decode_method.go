package job

import (
	"go.yaml.in/yaml/v3"

	"ratewright/geo/unit"
	"ratewright/rx/nitrogen/budget"
	"ratewright/rx/nitrogen/response"
	"ratewright/rx/rates"
)

// The methods by which a rate can be worked out.
const (
	methodResponse = "response"
	methodMean     = "mean-return"
	methodYield    = "yield-goal"
	methodOrganic  = "organic-matter"
	methodTest     = "nitrate-test"
)

// Methods are the names that `method:` knows.
func Methods() []string {
	return []string{methodResponse, methodMean, methodYield, methodOrganic, methodTest}
}

// defaultLevel is the usual level of confidence.
const defaultLevel = 0.95

func (d decoder) prices(m mapping, j Job) *PricesSpec {
	n, ok := m.node("prices")
	if !ok {
		return nil
	}
	p := &PricesSpec{}
	if m, ok := d.mapping(n, "prices", "nitrogen", "corn", "sources", "inhibitors"); ok {
		m.require("write both, such as {nitrogen: 0.50 $/lb, corn: 4.20 $/bu}", "nitrogen", "corn")
		p.N = parsedOr(m, "nitrogen", unit.ParseNPrice, 0)
		p.Grain = parsedOr(m, "corn", unit.ParseGrainPrice, 0)
		d.sourcePrices(m, p, j)
	}
	return p
}

// method reads how a rate is worked out; nil where a column or a table says it.
func (d decoder) method(where string, n *yaml.Node, j Job) *MethodSpec {
	m, ok := quietly(n)
	if !ok || !m.has("method") {
		return nil
	}
	name, _ := m.text("method")
	s := &MethodSpec{Name: name, line: n.Line}
	switch name {
	case methodResponse:
		s.Response = d.responseMethod(where, n)
	case methodMean:
		s.Mean = d.meanMethod(where, n)
	case methodYield:
		s.Budget = d.yieldGoal(where, n)
		return s
	case methodOrganic:
		s.Budget = d.organicMatter(where, n)
		return s
	case methodTest:
		s.Budget = d.nitrateTest(where, n)
		return s
	default:
		d.unknown(m.lineOf("method"), where, "method", name, Methods())
		return s
	}
	if j.Prices == nil {
		d.add(m.line, "write them at the top of the job, such as prices: {nitrogen: 0.50 $/lb, corn: 4.20 $/bu}", "%s: method %s needs prices", where, name)
	}
	return s
}

// quietly reads a mapping that is read again by what it turns out to be.
func quietly(n *yaml.Node) (mapping, bool) { return (&faults{}).freeMapping(n, "") }

// part reads what an application takes of the season's target: a share, a rate, or the
// rest; nil where it says something else.
func (d decoder) part(where string, n *yaml.Node, j Job) *budget.Part {
	if m, ok := quietly(n); !ok || !m.has("target") {
		return nil
	}
	p := &budget.Part{}
	m, ok := d.mapping(n, where, "target")
	if !ok {
		return p
	}
	text, _ := m.text("target")
	share, shareErr := unit.ParseFraction(text)
	rate, rateErr := nitrogenRate(text)
	switch {
	case text == "rest":
		p.Rest = true
	case shareErr == nil:
		p.Share = share
	case rateErr == nil:
		p.Rate = unit.KgNPerHa(rate)
	default:
		d.add(m.lineOf("target"), "write a share such as 40 %, a rate of nitrogen such as 30 lb/ac, or rest", "%s: target %q is none of them", where, text)
	}
	if j.Target == nil {
		d.add(m.line, "write the season's nitrogen at the top of the job, such as target: {table: {A: 180}, unit: lb/ac, of: nitrogen}", "%s takes a part of the season's target, and the job has none", where)
	}
	return p
}

func (d decoder) responseMethod(name string, n *yaml.Node) *ResponseSpec {
	r := &ResponseSpec{}
	m, ok := d.mapping(n, name, d.noCredits(name, n, "method", "model", "trial", "curve", "curves", "within", "level", "practice", "otherwise")...)
	if !ok {
		return r
	}
	m.require("name the form of the curve: "+response.Quadratic.String()+", "+response.QuadraticPlateau.String()+", "+response.LinearPlateau.String()+" or "+response.Best.String(), "model")
	r.Model = parsedOr(m, "model", response.ParseModel, 0)
	r.Within = d.within(m)
	r.Level = parsedOr(m, "level", unit.ParseFraction, defaultLevel)
	if r.Level <= 0 || r.Level >= 1 {
		d.add(m.lineOf("level"), "give a share between 0 % and 100 %, such as 95 %", "%s: a level of %g %% is none", m.name, 100*r.Level)
	}
	if m.has("level") && !m.has("trial") {
		d.add(m.lineOf("level"), "leave it out, or give the trial", "%s: a curve that is given has no observations, so that no confidence can be told and level has no effect", m.name)
	}
	r.Practice = d.practice(m)
	if t, ok := m.node("trial"); ok {
		r.Trial = d.trial(m.name, t, "n_rate", "yield", "zone")
	}
	if c, ok := m.node("curve"); ok {
		r.Curve = d.curve(m.name, c, r.Model)
	}
	if c, ok := m.node("curves"); ok {
		r.Curves = d.curves(m.name, c, r.Model)
	}
	r.Otherwise = d.otherwise(m, r.Trial)
	given := 0
	for _, key := range []string{"trial", "curve", "curves"} {
		if m.has(key) {
			given++
		}
	}
	if given != 1 {
		d.add(m.line, "give the trial that the curve is fitted to, or the coefficients of a curve, or of one for each zone", "%s: method response needs either a trial, a curve or curves", m.name)
	}
	return r
}

// otherwise reads the rate of zones whose plots give no curve.
func (d decoder) otherwise(m mapping, t *TrialSpec) *rates.Otherwise {
	text, ok := m.text("otherwise")
	if !ok {
		return nil
	}
	if t == nil || t.Columns["zone"] == "" {
		d.add(m.lineOf("otherwise"), "leave it out, or name the column of the trial's zones", "%s: otherwise is the rate of zones whose plots give no curve, and there is no curve for each zone", m.name)
	}
	if text == "field" {
		return &rates.Otherwise{Field: true}
	}
	rate, err := nitrogenRate(text)
	if err != nil {
		d.add(m.lineOf("otherwise"), "write field, or a rate of nitrogen such as 120 lb/ac", "%s: otherwise %q is none of them", m.name, text)
	}
	if rate > mostOtherwise {
		d.add(m.lineOf("otherwise"), "check its unit", "%s: otherwise %s is above any rate of nitrogen to corn", m.name, text)
	}
	return &rates.Otherwise{Rate: unit.KgNPerHa(rate)}
}

// mostOtherwise is above any rate of nitrogen to corn.
//
// Source: common practice; 400 lb N/ac.
// Range: 350 to 450.
// Unit: kg N/ha.
const mostOtherwise = 448.4

// noCredits refuses credits on a response curve, for what the crop before left stands in
// it. It returns the known keys, with that of the credits where it has spoken of them.
func (d decoder) noCredits(name string, n *yaml.Node, known ...string) []string {
	if m, ok := quietly(n); ok && m.has("credits") {
		d.add(m.lineOf("credits"), "leave them out; take trials of the rotation of the field", "%s: a response curve is that of the rotation of its trial and has what the crop before left in it, so that a credit would be taken off twice (Sawyer, Iowa State Univ.)", name)
		known = append(known, "credits")
	}
	return known
}

// within reads a sum of money per area, zero or more.
func (d decoder) within(m mapping) unit.Return {
	v, ok := parsed(m, "within", unit.ParseReturn)
	if ok && v <= 0 {
		d.add(m.lineOf("within"), "write how much less than the best return will do, such as 1 $/ac, or leave it out", "%s: within is not above zero", m.name)
	}
	return v
}

// practice is what the trial did besides its rates.
func (d decoder) practice(m mapping) response.Practice {
	var p response.Practice
	n, ok := m.node("practice")
	if !ok {
		return p
	}
	if m, ok := d.mapping(n, m.name+": practice", "form", "placement", "date"); ok {
		p.Form, _ = m.text("form")
		p.Placement, _ = m.text("placement")
		p.Date, _ = m.text("date")
	}
	return p
}

func (d decoder) meanMethod(name string, n *yaml.Node) *MeanSpec {
	s := &MeanSpec{Model: response.Best}
	m, ok := d.mapping(n, name, d.noCredits(name, n, "method", "model", "trials", "within", "practice")...)
	if !ok {
		return s
	}
	m.require("name the file of the trials and its columns", "trials")
	s.Model = parsedOr(m, "model", response.ParseModel, response.Best)
	s.Within, s.Practice = d.within(m), d.practice(m)
	if t, ok := m.node("trials"); ok {
		s.Trial = d.trial(m.name, t, "n_rate", "yield", "site")
		if s.Trial != nil && s.Trial.Columns["site"] == "" {
			d.add(t.Line, "name the column that tells the trials apart, such as site: SITE", "%s: trials have no column for the site", m.name)
		}
	}
	return s
}

// trial reads a file of plots with the columns of its roles.
func (d decoder) trial(name string, n *yaml.Node, roles ...string) *TrialSpec {
	t := &TrialSpec{TableSpec: TableSpec{Columns: map[string]string{}, line: n.Line}}
	m, ok := d.mapping(n, name+": trial", "file", "columns", "units", "crs")
	if !ok {
		return t
	}
	m.require("write {file: FILE, columns: {n_rate: N, yield: YIELD}, units: {n_rate: lb/ac, yield: bu/ac}}", "file", "columns", "units")
	file, _ := m.text("file")
	t.File = d.path(file)
	t.CRS, _ = m.text("crs")
	if c, ok := m.node("columns"); ok {
		if c, ok := d.mapping(c, m.name+": columns", roles...); ok {
			c.require("name the columns of both", "n_rate", "yield")
			c.each(func(role string, _ *yaml.Node) { t.Columns[role], _ = c.text(role) })
		}
	}
	if u, ok := m.node("units"); ok {
		if u, ok := d.mapping(u, m.name+": units", "n_rate", "yield"); ok {
			u.require("name the units of both", "n_rate", "yield")
			t.RateKgHa = d.nRateUnit(u, "n_rate")
			t.YieldKgHa = parsedOr(u, "yield", unit.ParseYieldUnit, 0)
		}
	}
	return t
}

// nRateUnit reads a unit of nitrogen per area and returns its kg/ha.
func (d decoder) nRateUnit(m mapping, key string) float64 {
	u, ok := parsed(m, key, unit.ParseRateUnit)
	if !ok {
		return 0
	}
	if u.IsVolume() {
		d.add(m.lineOf(key), "use lb/ac or kg/ha of nitrogen", "%s: %s: nitrogen has no volume, and the unit is %s", m.name, key, u)
	}
	return u.PerHa()
}

// curves reads those of each zone.
func (d decoder) curves(name string, n *yaml.Node, model response.Model) map[string]response.Curve {
	list := map[string]response.Curve{}
	m, ok := d.freeMapping(n, name+": curves")
	if !ok {
		return list
	}
	m.each(func(zone string, value *yaml.Node) {
		if c := d.curve(name+": curves "+zone, value, model); c != nil {
			list[zone] = *c
		}
	})
	if len(m.values) == 0 {
		d.add(n.Line, "write one for each zone, such as A: {a: 60, b: 1.1, c: -0.003, units: {n_rate: lb/ac, yield: bu/ac}}", "%s: curves is empty", name)
	}
	return list
}

// curve reads the coefficients of a curve in the units of their publication.
func (d decoder) curve(name string, n *yaml.Node, model response.Model) *response.Curve {
	m, ok := d.mapping(n, name+": curve", "a", "b", "c", "join", "units", "lowest", "highest")
	if !ok {
		return nil
	}
	m.require("write {a: 60, b: 1.1, c: -0.003, units: {n_rate: lb/ac, yield: bu/ac}}", "a", "b", "units")
	var u response.Units
	if n, ok := m.node("units"); ok {
		if um, ok := d.mapping(n, m.name+": units", "n_rate", "yield"); ok {
			um.require("name the units of both", "n_rate", "yield")
			u = response.Units{RateKgHa: d.nRateUnit(um, "n_rate"), YieldKgHa: parsedOr(um, "yield", unit.ParseYieldUnit, 0), Told: d.units}
		}
	}
	k := response.Coefficients{A: parsedOr(m, "a", number, 0), B: parsedOr(m, "b", number, 0), C: parsedOr(m, "c", number, 0), Join: parsedOr(m, "join", number, 0)}
	switch {
	case !m.has("join"):
	case model == response.Quadratic:
		d.add(m.lineOf("join"), "leave it out, or name a model with a plateau", "%s: a quadratic has no join", m.name)
	case k.Join == 0:
		d.add(m.lineOf("join"), "write the rate at which the plateau begins", "%s: a join of 0 is no response", m.name)
	}
	tested := func(key string) unit.NRate {
		v, ok := parsed(m, key, unit.ParseRate)
		if !ok {
			return 0
		}
		if key == "highest" && v.Value == 0 {
			d.add(m.lineOf(key), "write the highest rate of the trial, or leave it out where it is not known", "%s: the highest tested rate is 0", m.name)
		}
		if v.Unit.IsVolume() {
			d.add(m.lineOf(key), "use lb/ac or kg/ha of nitrogen", "%s: %s: nitrogen has no volume", m.name, key)
		}
		return unit.KgNPerHa(v.Value * v.Unit.PerHa())
	}
	if model == 0 || u.RateKgHa == 0 || u.YieldKgHa == 0 {
		return nil // said above
	}
	c, err := response.New(model, k, u, tested("lowest"), tested("highest"))
	if err != nil {
		d.add(m.line, "", "%s: %v", m.name, err)
		return nil
	}
	return &c
}
