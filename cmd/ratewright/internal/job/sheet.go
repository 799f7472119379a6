package job

import (
	"fmt"
	"math"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"github.com/paulmach/orb"

	"ratewright/asapplied"
	"ratewright/cmd/ratewright/page"
	"ratewright/geo"
	"ratewright/geo/unit"
	"ratewright/rx"
	"ratewright/rx/nitrogen/response"
	"ratewright/rx/rates"
)

// sheetOfPrescription says what the page of a prescription shows: before the trip,
// how much goes where, and how often the tank is filled. Rates are those of the rate
// map, for that is what the operator sees.
func (j Job) sheetOfPrescription(a *ApplicationSpec, p Prescribed, inputs []page.Input) page.Sheet {
	u, rx := j.Units, p.Prescription
	m := rx.Application.Map
	s := page.Sheet{
		Kind: page.Prescription, Field: rx.Field.Name, Subject: subject(rx.Application), Date: a.Date, Ground: u.Area(rx.Field.Ground.Area()),
		Lead:     prescriptionLead(u, p),
		Tables:   shownTables(ZoneTable(u, p), loadsTable(u, p), keyedInTable(p)),
		Rest:     "prescription.json",
		Cautions: p.Cautions, Inputs: inputs, Program: "ratewright " + Version(),
		Map: j.sheetMap(rx.Field),
	}
	zones := &s.Tables[0]
	zones.Last, zones.Rest = len(zones.Rows)-len(rx.Zones), "prescription.json"
	onPaper(zones, 14, ", the most nitrogen first", []int{26}, func(k int) float64 { return rx.Zones[k].Nitrogen().Kilograms() })
	for _, f := range p.Findings {
		s.Notes = append(s.Notes, f.Text)
	}
	s.Notes = append(s.Notes, p.Notes...)
	s.Map.RateUnit = rateUnit(m.Unit, m.Of)
	for _, z := range rx.Zones {
		s.Map.Zones = append(s.Map.Zones, page.Zone{
			ID: z.ZoneID, Polygons: z.Region.Polygons(), Rate: z.MapRate.Value, Label: z.MapRate.Number(),
			Why: append([]string{u.NRate(z.NRate) + " as " + rx.Application.Source.Label}, reasons(z)...),
		})
	}
	addUnzoned(&s.Map, rx.Unzoned)
	spanRates(&s.Map)
	return s
}

func prescriptionLead(u unit.System, p Prescribed) []page.Figure {
	rx := p.Prescription
	product := unit.Amount{Value: p.JSON.Product.Value, Unit: rx.Application.Map.Unit.Amount()}
	lead := []page.Figure{{Name: rx.Application.Source.Label + " in all", Value: product.Number(), Unit: product.Unit.String(), Key: "product.value"}}
	if l := rx.Loads; l != nil {
		lead = append(lead, page.Figure{Name: "fill the tank", Value: fmt.Sprint(l.Count), Unit: Times(l.Count), Key: "loads.count"})
	}
	ground := rx.Field.Ground.Area()
	return append(
		lead,
		page.Figure{Name: "nitrogen in all", Value: u.NMassNumber(rx.Nitrogen()), Unit: u.NMassUnit(), Key: "nitrogen_kg"},
		page.Figure{Name: "field", Value: u.AreaNumber(ground), Unit: u.AreaUnit(), Key: "area_m2.field"},
		page.Figure{
			Name: "average over the field", Unit: u.NRateUnit(),
			Value: u.NRateNumber(unit.KgNPerHa(rx.Nitrogen().Kilograms() / ground.Hectares())),
		},
	)
}

// subject names an application: "sidedress, UAN 32".
func subject(a rx.Application) string {
	if a.Source.Label == "" {
		return a.Name
	}
	return a.Name + ", " + a.Source.Label
}

func reasons(z rx.RateZone) []string {
	var list []string
	for _, r := range z.Reasons {
		list = append(list, string(r))
	}
	return list
}

// addUnzoned adds the ground in no zone, so that the key of the map names its colour.
func addUnzoned(m *page.Map, r geo.Region) {
	if !r.IsEmpty() {
		m.Zones = append(m.Zones, page.Zone{ID: rx.UnzonedID, Polygons: r.Polygons(), Rate: math.NaN(), Why: []string{"in no zone: no rate"}})
	}
}

// sheetMap is the map with the field alone.
func (j Job) sheetMap(f rx.Field) page.Map {
	o := f.Plane.Origin()
	m := page.Map{Lon0: o.Lon(), Lat0: o.Lat(), Boundary: f.Boundary.Polygons(), DepthUnit: j.Units.DepthUnit()}
	if !f.OffLimits.IsEmpty() {
		m.OffLimits = []page.Place{{Name: j.offLimitsName(), Polygons: f.OffLimits.Polygons()}}
	}
	return m
}

// offLimitsName says what is off limits: "waterway; 100.0 ft around well".
func (j Job) offLimitsName() string {
	stem := func(file string) string { return strings.TrimSuffix(filepath.Base(file), filepath.Ext(file)) }
	var parts []string
	for _, file := range j.Field.Exclude {
		parts = append(parts, stem(file))
	}
	for _, s := range j.Field.Setbacks {
		parts = append(parts, j.Units.Length(s.Distance)+" around "+stem(s.Around))
	}
	return strings.Join(parts, "; ")
}

// spanRates sets the ends of the ramp to the least and the greatest rate.
func spanRates(m *page.Map) {
	low, high := math.Inf(1), math.Inf(-1)
	for _, z := range m.Zones {
		if !math.IsNaN(z.Rate) {
			low, high = min(low, z.Rate), max(high, z.Rate)
		}
	}
	if low <= high {
		m.LowRate, m.HighRate = low, high
	}
}

// sheetOfReconciliation says what the page of a reconciliation shows: right after the
// pass, what was missed, put down twice or too shallow, how much is short, and where.
// Rates are of nitrogen, as the log is held against.
func (j Job) sheetOfReconciliation(a *ApplicationSpec, app rx.Application, in asapplied.Input, r Reconciled, tracks *page.Tracks, inputs []page.Input) page.Sheet {
	u, rec := j.Units, r.Reconciliation
	s := page.Sheet{
		Kind: page.Reconciliation, Field: r.Field.Name, Subject: subject(app), Date: a.Date, Ground: u.Area(r.Field.Ground.Area()),
		Lead:     j.reconciliationLead(rec),
		Tables:   shownTables(AreaTable(u, rec), NitrogenTable(u, rec), j.zonesOnPaper(rec), recordsTable(rec.Records)),
		Rest:     "reconcile.json",
		Notes:    slices.Concat(r.Notes, r.LogNotes),
		Cautions: r.Cautions, Inputs: inputs, Program: "ratewright " + Version(),
		Map: j.sheetMap(r.Field),
	}
	if n := rec.NotTraced; n > 0 {
		s.Notes = append(s.Notes, fmt.Sprintf("%d records of the log are polygons with more corners than four; the map does not draw them, and every figure counts them", n))
	}
	s.Map.RateUnit = u.NRateUnit()
	if in.HasShallow {
		s.Map.Shallow = depthIn(u, in.Shallow)
	}
	for _, z := range in.Plan {
		s.Map.Zones = append(s.Map.Zones, page.Zone{
			ID: z.ZoneID, Polygons: z.Region.Polygons(), Rate: rateIn(u, z.NRate),
			Label: strings.TrimSuffix(u.NRateNumber(z.NRate), ".0"), Why: reasons(z),
		})
	}
	if in.Plan == nil {
		for _, z := range in.Zones {
			s.Map.Zones = append(s.Map.Zones, page.Zone{ID: z.ID, Polygons: z.Region.Polygons(), Rate: math.NaN()})
		}
	}
	spanRates(&s.Map)
	s.Map.Patches = sheetPatches(u, rec)
	s.Map.Tracks = tracks
	return s
}

// zonesOnPaper are the zones of a reconciliation, those that lack the most first where
// not all go on paper.
func (j Job) zonesOnPaper(r asapplied.Reconciliation) page.Table {
	t := ZoneSumTable(j.Units, r)
	t.Rest = "reconcile.json"
	rows := shownZones(j.Units, r)
	onPaper(&t, 5, ", the most short first", []int{44}, func(k int) float64 { return r.Zones[rows[k]].Nitrogen.Short })
	return t
}

// reconciliationLead are the figures to be seen first. One asks to be looked at where
// it is beyond what the job accepts, or there at all if the job says nothing of it.
func (j Job) reconciliationLead(r asapplied.Reconciliation) []page.Figure {
	u, k := j.Units, r.Known
	doc := r.JSON()
	alarm := func(name, value, zero string) bool {
		share, _ := finding(doc, name)
		for _, a := range j.Accept {
			if a.Finding == name {
				return share != nil && *share > max(a.Share, acceptFloor)
			}
		}
		return value != zero
	}
	var lead []page.Figure
	area := func(name, key string, m2 float64) {
		value := u.AreaNumber(unit.SquareMetres(m2))
		lead = append(lead, page.Figure{Name: name, Value: value, Unit: u.AreaUnit(), Key: "area_m2." + key, Alarm: alarm(key, value, u.AreaNumber(0))})
	}
	area("missed", "missed", r.Area.Missed)
	area("doubled", "doubled", r.Area.Doubled)
	if k.Shallow {
		area("too shallow", "shallow", r.Area.Shallow)
	}
	if k.Plan && k.Nitrogen {
		value := u.NMassNumber(unit.Kilograms(r.Nitrogen.Short))
		lead = append(lead, page.Figure{
			Name: "short of the prescription", Value: value, Unit: u.NMassUnit(), Key: "nitrogen_kg.short",
			Alarm: alarm("short", value, u.NMassNumber(0)), More: shareOf(r.Nitrogen.Short, r.Nitrogen.Prescribed),
		})
	}
	return lead
}

// shareOf says how much of what is prescribed a mass is.
func shareOf(part, whole float64) string {
	if !(whole > 0) {
		return ""
	}
	return strconv.FormatFloat(100*part/whole, 'f', 1, 64) + " % of it"
}

// sheetPatches puts the patches into metres of the plane.
func sheetPatches(u unit.System, r asapplied.Reconciliation) []page.Patch {
	list := make([]page.Patch, 0, len(r.Patches))
	for i := range r.Patches {
		p := &r.Patches[i]
		kind := p.Kind.String()
		q := page.Patch{
			Kind: kind, Title: page.Title(kind), Zone: p.ZoneID, Polygons: projected(r.Plane, p.Polygons),
			AreaM2: p.Area.SquareMetres(), Area: u.Area(p.Area),
		}
		if p.HasN {
			q.NKg, q.N = p.N.Kilograms(), u.NMass(p.N)
		}
		if p.HasShort {
			q.ShortKg = p.Short.Kilograms()
			if u.NMassNumber(p.Short) != u.NMassNumber(0) {
				q.Short = u.NMass(p.Short)
			}
		}
		list = append(list, q)
	}
	return list
}

func projected(plane geo.Plane, degrees orb.MultiPolygon) orb.MultiPolygon {
	metres := make(orb.MultiPolygon, len(degrees))
	for i, polygon := range degrees {
		metres[i] = make(orb.Polygon, len(polygon))
		for k, ring := range polygon {
			out := make(orb.Ring, len(ring))
			for n, p := range ring {
				out[n] = plane.Project(geo.LonLat(p))
			}
			metres[i][k] = out
		}
	}
	return metres
}

// drawnIn gives a stride the units of the job.
func drawnIn(u unit.System) func(asapplied.Stride) page.Stride {
	rate, depth := float32(rateIn(u, unit.KgNPerHa(1))), float32(depthIn(u, unit.Metres(1)))
	return func(s asapplied.Stride) page.Stride {
		return page.Stride{Quad: s.Quad, From: s.From, To: s.To, Time: s.Time, Rate: s.KgHa * rate, Depth: s.DepthM * depth}
	}
}

// rateIn is a rate in the unit in which the system prints it.
func rateIn(u unit.System, r unit.NRate) float64 {
	if u == unit.SI {
		return r.KgNPerHa()
	}
	return r.LbNPerAcre()
}

// depthIn is a depth in the unit in which the system prints it.
func depthIn(u unit.System, d unit.Length) float64 {
	if u == unit.SI {
		return 100 * d.Metres()
	}
	return d.Inches()
}

// sheetOfRates says what the page of rates shows: the rate of each zone, and how it
// comes about.
func (j Job) sheetOfRates(a *ApplicationSpec, r Rated, w Worked, inputs []page.Input) page.Sheet {
	u := j.Units
	s := page.Sheet{
		Kind: page.Rates, Field: r.Field.Name, Subject: a.Name + ", " + w.Result.Method, Date: a.Date, Ground: u.Area(r.Field.Ground.Area()),
		Tables: shownTables(ArithmeticTable(u, w.Result), reasonsTable(w.Result), ChangeTable(u, w.Result)),
		Notes:  append(append([]string{}, w.Result.Findings...), r.Notes...),
		Inputs: inputs, Program: "ratewright " + Version(), Map: j.sheetMap(r.Field),
		Cautions: RateCautions(),
	}
	s.Chart = meanChart(u, w)
	s.Map.RateTitle, s.Map.RateUnit = "Rate", u.NRateUnit() // before limits and step: nothing is prescribed yet
	var nitrogen unit.Mass
	for i, z := range w.Result.Zones {
		nitrogen += z.Rate.Over(r.Zones[i].Region.Area())
		zone := page.Zone{
			ID: z.ID, Polygons: r.Zones[i].Region.Polygons(), Rate: rateIn(u, z.Rate),
			Label: strings.TrimSuffix(u.NRateNumber(z.Rate), ".0"), Why: z.Reasons,
		}
		for _, t := range z.Terms {
			zone.Why = append(zone.Why, fmt.Sprintf("%s: %s", t.What, u.NRate(t.N)))
		}
		s.Map.Zones = append(s.Map.Zones, zone)
	}
	addUnzoned(&s.Map, r.unzoned)
	spanRates(&s.Map)
	s.Lead = []page.Figure{
		{Name: "nitrogen in all", Value: u.NMassNumber(nitrogen), Unit: u.NMassUnit(), Key: "nitrogen_kg"},
		{Name: "lowest rate", Value: u.NRateNumber(lowest(w.Result)), Unit: u.NRateUnit()},
		{Name: "highest rate", Value: u.NRateNumber(highest(w.Result)), Unit: u.NRateUnit()},
	}
	return s
}

// meanChart is the mean return over trials, rate by rate.
func meanChart(u unit.System, w Worked) *page.Chart {
	if len(w.Chart) == 0 || len(w.Result.Zones) == 0 {
		return nil
	}
	money, name := func(r unit.Return) float64 { return r.PerAcre() }, "$/ac"
	if u == unit.SI {
		money, name = func(r unit.Return) float64 { return r.PerHa() }, "$/ha"
	}
	c := &page.Chart{Title: "Mean return over trials", X: u.NRateUnit(), Y: "return, " + name, Above: "as much as without nitrogen"}
	at := func(p response.Point) [2]float64 { return [2]float64{rateIn(u, p.Rate), money(p.Return)} }
	for _, p := range w.Chart {
		c.Points = append(c.Points, at(p))
	}
	c.Best = at(w.Best)
	c.BestWords = u.NRate(w.Best.Rate)
	if w.Near != nil {
		c.Low, c.High = rateIn(u, w.Near.Low), rateIn(u, w.Near.High)
		c.StretchWords = w.Near.Words()
		c.Bracket = fmt.Sprintf("%s to %s: equally good, to %s", u.NRateNumber(w.Near.Low), u.NRateNumber(w.Near.High), u.Return(w.Near.Sum))
	}
	return c
}

func lowest(r rates.Result) unit.NRate {
	low := r.Zones[0].Rate
	for _, z := range r.Zones {
		low = min(low, z.Rate)
	}
	return low
}

func highest(r rates.Result) unit.NRate {
	high := r.Zones[0].Rate
	for _, z := range r.Zones {
		high = max(high, z.Rate)
	}
	return high
}

// RateCautions are said wherever a rate is worked out.
func RateCautions() []string {
	return []string{
		"A rate that was worked out is a proposal from the numbers given. The product label, the nutrient management plan, and state and local rules set what may be applied, when and by whom.",
	}
}

// reasonsTable lists what else belongs to the rates, equal sentences of zones once.
func reasonsTable(r rates.Result) page.Table {
	t := page.Table{Title: "Why", Head: []string{"zone", ""}, Words: 2}
	for i, z := range r.Zones {
		same := i > 0 && slices.Equal(z.Reasons, r.Zones[i-1].Reasons)
		if same {
			continue
		}
		id := z.ID
		if n := len(r.Zones); n > 1 && slices.Equal(z.Reasons, r.Zones[n-1].Reasons) && i == 0 {
			id = "all"
		}
		for _, text := range z.Reasons {
			t.Rows = append(t.Rows, []page.Cell{{Text: id}, {Text: text}})
			id = ""
		}
	}
	return t
}
