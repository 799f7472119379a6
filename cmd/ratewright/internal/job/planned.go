package job

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"ratewright/cmd/ratewright/internal/outputs"
	"ratewright/cmd/ratewright/page"
	"ratewright/geo/unit"
	"ratewright/rx"
	"ratewright/rx/plan"
)

// Planned is a plan of one field or of several.
type Planned struct {
	Units    unit.System
	Result   plan.Result
	Choice   *plan.Choice // nil without returns
	Fields   []plan.Comparison
	Against  []plan.AgainstJSON
	Notes    []string
	Cautions []string
	Beyond   []string // warnings that the job refuses
	Set      outputs.Set
	Inputs   []string
	Picture  func(w io.Writer) error // of the first field

	letters []string // of the strategies
}

// Plan compares the strategies of jobs that share them, and chooses under their limits.
func Plan(jobs []Job, how How) (Planned, error) {
	p := planner{}
	var inputs []string
	var sums []func() ([]page.Input, error)
	for _, j := range jobs {
		files := j.planInputs()
		inputs = append(inputs, files...)
		sums = append(sums, j.sums(files, how, true))
		if err := p.add(j); err != nil {
			return Planned{}, err
		}
	}
	r, c, err := p.solve(how.Workers)
	if err != nil {
		return Planned{}, err
	}
	note, err := p.readingTime(&r)
	if err != nil {
		return Planned{}, err
	}
	if note != "" {
		p.notes = append(p.notes, note)
	}
	out := Planned{Units: p.first.Units, Result: r, Choice: c, Fields: r.Fields(), Inputs: unique(inputs)}
	out.letters = strategyLetters(&r.Input)
	for i := range p.fields {
		f := &p.fields[i]
		list, err := p.against(f, &r, c)
		if err != nil {
			return Planned{}, p.first.fault(p.first.Plan.line, "plan: "+err.Error(), "")
		}
		out.Against = append(out.Against, list...)
		for s := range r.Input.Strategies {
			for _, t := range r.Input.Strategies[s].Trips {
				out.Cautions = append(out.Cautions, rx.Cautions(f.ground.Field, rx.Application{Source: t.Source})...)
			}
		}
	}
	over, unknown := p.beyond(out.Against, &r, c)
	out.Beyond = over
	last := r.Notes // of the plan, behind those of its fields
	if c != nil {
		last = slices.Concat(last, c.Notes)
	}
	last = slices.Concat(last, unknown)
	out.Notes = unique(slices.Concat(p.notes, fieldNotes(p.fields), last))
	out.Cautions = unique(append([]string{planCaution}, out.Cautions...))
	var pages []outputs.File
	for i := range p.fields {
		f := &p.fields[i]
		name := "plan.html"
		if len(p.fields) > 1 {
			name = fmt.Sprintf("plan-%d.html", i+1)
		}
		d, err := how.draw(func() (page.Sheet, error) {
			files, err := sums[i]()
			s := out.sheet(f, i, files)
			s.Notes = unique(slices.Concat(s.Notes, p.notes, f.notes, last))
			return s, err
		}, f.job.Path, name, !how.NoPage)
		if err != nil {
			return Planned{}, err
		}
		pages = append(pages, d.page...)
		if i == 0 {
			out.Picture = d.picture
		}
	}
	table := outputs.File{Name: "plan.csv", Data: out.csv()}
	files := append(pages, table)
	out.Set = outputs.Set{Files: files, Summary: outputs.File{Name: "plan.json", From: func(sums outputs.Sums) ([]byte, error) {
		doc := r.JSON(c)
		doc.Against = append(doc.Against, out.Against...)
		doc.Files, doc.Notes = sums.Of(files), out.Notes
		data, err := encodeJSON(doc)
		if err != nil {
			return nil, unwritable(p.first.Path, "the plan", err)
		}
		return data, nil
	}}}
	return out, nil
}

// planCaution is said of every plan.
const planCaution = "A plan ranks by averages of published losses over the years of a record and forecasts nothing; of this spring it knows no more than the weather that the job names as observed. " + rulesDecide

// rulesDecide ends the caution of a plan and that of losses.
const rulesDecide = "Labels, the nutrient management plan, and state and local rules set what may be applied, when and by whom."

// planInputs are the files that a plan reads.
func (j Job) planInputs() []string {
	files := j.named(nil)
	if j.Plan != nil && j.Plan.Response != nil && j.Plan.Response.Trial != nil {
		files = append(files, withSiblings(j.Plan.Response.Trial.File)...)
	}
	return unique(files)
}

// money is a sum by ground in the unit of the system, without it.
func money(u unit.System, perHa float64) string { return bare(u.Return(unit.Return(perHa))) }

func moneyUnit(u unit.System) string { return lastWord(u.Return(0)) }

func yieldNumber(u unit.System, kgHa float64) string { return bare(u.Yield(unit.KgGrainPerHa(kgHa))) }

func yieldUnit(u unit.System) string { return lastWord(u.Yield(0)) }

// bare is a quantity without its unit, and lastWord the unit alone: their column has it
// in its head.
func bare(s string) string {
	number, _, _ := strings.Cut(s, " ")
	return number
}

func lastWord(s string) string { return s[strings.LastIndex(s, " ")+1:] }

// StrategyTable compares the strategies on a field.
func (p Planned) StrategyTable(i int) page.Table {
	u, c := p.Units, p.Fields[i]
	n := func(kgHa float64) string { return u.NRateNumber(unit.KgNPerHa(kgHa)) }
	t := page.Table{
		Title: "Strategies on " + c.Field + ", before limits",
		Head:  []string{"strategy", "N rate", "lost", "immobilized", "remaining", "low", "high", "worst fifth", "cost", "yield", "return", "worst fifth", "best in"},
		Units: []string{"", u.NRateUnit(), u.NRateUnit(), u.NRateUnit(), u.NRateUnit(), u.NRateUnit(), u.NRateUnit(), u.NRateUnit(), moneyUnit(u), yieldUnit(u), moneyUnit(u), moneyUnit(u), "years"},
	}
	for k := range c.Totals {
		s := &c.Totals[k]
		key := fmt.Sprintf("fields.%d.strategies.%d.", i, k)
		row := []page.Cell{
			{Text: p.lettered(s.Strategy)},
			{Text: n(s.RateKgHa), Key: key + "n_rate_kg_ha"},
			{Text: n(s.Lost.Total())},
			{Text: n(s.Lost.Held), Key: key + "held_kg_ha"},
			{Text: n(s.Left), Key: key + "still_there_kg_ha.mean"},
			{Text: n(s.LeftLow), Key: key + "still_there_kg_ha.low"},
			{Text: n(s.LeftHigh), Key: key + "still_there_kg_ha.high"},
			{Text: n(s.LeftWorst), Key: key + "still_there_kg_ha.worst_fifth"},
			{Text: money(u, s.Cost), Key: key + "cost_usd_per_ha"},
		}
		if s.HasReturn {
			row = append(
				row,
				page.Cell{Text: yieldNumber(u, s.Yield), Key: key + "yield_kg_ha.mean"},
				page.Cell{Text: money(u, s.Return), Key: key + "return_usd_per_ha.mean"},
				page.Cell{Text: money(u, s.ReturnWorst), Key: key + "return_usd_per_ha.worst_fifth"},
			)
		} else {
			row = append(row, page.Cell{Text: NotKnown}, page.Cell{Text: NotKnown}, page.Cell{Text: NotKnown})
		}
		if c.Best >= 0 {
			row = append(row, page.Cell{Text: strconv.Itoa(s.BestYears), Key: key + "best_years"})
		} else {
			row = append(row, page.Cell{Text: NotKnown})
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// PathwayTable says where the nitrogen of each strategy goes.
func (p Planned) PathwayTable(i int) page.Table {
	u, c := p.Units, p.Fields[i]
	t := page.Table{
		Title: "Lost, on average over the years",
		Head:  []string{"strategy", "as ammonia", "at injection", "denitrified", "leached"},
		Units: []string{"", u.NRateUnit(), u.NRateUnit(), u.NRateUnit(), u.NRateUnit()},
	}
	for k := range c.Totals {
		key := fmt.Sprintf("fields.%d.strategies.%d.", i, k)
		row := []page.Cell{{Text: cutTo(p.lettered(k), chosenLetters)}}
		l := c.Totals[k].Lost
		for _, v := range []struct {
			name string
			kg   float64
		}{{"ammonia", l.Ammonia}, {"at_injection", l.AtInjection}, {"denitrified", l.Denitrified}, {"leached", l.Leached}} {
			row = append(row, page.Cell{Text: u.NRateNumber(unit.KgNPerHa(v.kg)), Key: key + "lost_kg_ha." + v.name})
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// ChoiceTable says what each zone of a field is to get under the limits, which of them
// hold it back from what pays best on it, and what that would be. Its last row is the
// field's.
func (p Planned) ChoiceTable(i int) page.Table {
	u := p.Units
	t := page.Table{
		Title: "Choice under the limits", Words: 3, Last: 1,
		Head:  []string{"zone", "strategy", "held back by", "area", "N rate", "return", "N rate without limits", "return without limits"},
		Units: []string{"", "", "", u.AreaUnit(), u.NRateUnit(), moneyUnit(u), u.NRateUnit(), moneyUnit(u)},
	}
	if p.Choice == nil {
		return t
	}
	k := 0
	for zone := range p.Result.Input.Zones {
		z := &p.Result.Input.Zones[zone]
		if z.Field != p.Fields[i].Field {
			continue
		}
		key := fmt.Sprintf("fields.%d.zones.%d.", i, k)
		k++
		ch := p.Choice.Zones[zone]
		row := []page.Cell{{Text: z.ID, Key: key + "id"}, {Text: cutTo(p.chosenWords(zone), chosenLetters)}, {Text: NotKnown}, {Text: u.AreaNumber(unit.SquareMetres(z.AreaHa * 1e4)), Key: key + "area_m2"}}
		if ch.In {
			row[2].Text = p.heldWords(&ch)
			row = append(
				row,
				page.Cell{Text: u.NRateNumber(ch.Rate), Key: key + "choice.n_rate_kg_ha"}, page.Cell{Text: money(u, ch.Return), Key: key + "choice.return_usd_per_ha"},
				page.Cell{Text: u.NRateNumber(ch.Free.Rate), Key: key + "choice.unlimited.n_rate_kg_ha"}, page.Cell{Text: money(u, ch.Free.Return), Key: key + "choice.unlimited.return_usd_per_ha"},
			)
		} else {
			row = append(row, page.Cell{Text: NotKnown}, page.Cell{Text: NotKnown}, page.Cell{Text: NotKnown}, page.Cell{Text: NotKnown})
		}
		t.Rows = append(t.Rows, row)
	}
	t.Rows = append(t.Rows, p.choiceTotal(i))
	return t
}

// choiceTotal is the row of a field.
func (p Planned) choiceTotal(i int) []page.Cell {
	u, key := p.Units, fmt.Sprintf("fields.%d.choice.", i)
	sum, unlimited, ok := p.Result.ChosenTotal(p.Fields[i].Field, p.Choice)
	if !ok {
		return []page.Cell{{Text: "field"}}
	}
	return []page.Cell{
		{Text: "field"},
		{},
		{},
		{Text: u.AreaNumber(unit.SquareMetres(sum.AreaHa * 1e4)), Key: key + "area_m2"},
		{Text: u.NRateNumber(unit.KgNPerHa(sum.RateKgHa)), Key: key + "n_rate_kg_ha"},
		{Text: money(u, sum.Return), Key: key + "return_usd_per_ha.mean"},
		{},
		{Text: money(u, unlimited), Key: key + "unlimited_return_usd_per_ha"},
	}
}

// chosenLetters is how much of a strategy's name stands beside its letter in a row of a
// zone; the whole stands in the table of strategies.
const chosenLetters = 34

func cutTo(text string, most int) string {
	if r := []rune(text); len(r) > most {
		return string(r[:most-1]) + "…"
	}
	return text
}

func (p Planned) chosenWords(zone int) string {
	switch ch := p.Choice.Zones[zone]; {
	case !ch.In:
		return "not weighed: no return is known"
	case ch.Strategy < 0:
		return "nothing"
	default:
		return p.lettered(ch.Strategy)
	}
}

// FieldTable has a row for each field: what is best on it by itself, and what it gets
// under the limits.
func (p Planned) FieldTable() page.Table {
	u := p.Units
	t := page.Table{
		Title: "Fields", Words: 2,
		Head:  []string{"field", "returns the most before limits", "area", "return", "chosen N rate", "return"},
		Units: []string{"", "", u.AreaUnit(), moneyUnit(u), u.NRateUnit(), moneyUnit(u)},
	}
	for i := range p.Fields {
		c := &p.Fields[i]
		key := fmt.Sprintf("fields.%d.", i)
		row := []page.Cell{{Text: c.Field, Key: key + "field"}, {Text: NotKnown}, {Text: u.AreaNumber(unit.SquareMetres(c.Totals[0].AreaHa * 1e4))}, {Text: NotKnown}, {Text: NotKnown}, {Text: NotKnown}}
		if c.Best >= 0 {
			row[1] = page.Cell{Text: p.Result.Input.Strategies[c.Best].Name, Key: key + "best"}
			row[3] = page.Cell{Text: money(u, c.Totals[c.Best].Return)}
		}
		if n, ret, ok := p.chosenMean(c.Field); ok {
			row[4], row[5] = page.Cell{Text: u.NRateNumber(unit.KgNPerHa(n))}, page.Cell{Text: money(u, ret)}
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// chosenMean is the mean rate and return, by area, that the choice gives a field; false
// where it weighs none of its zones.
func (p Planned) chosenMean(field string) (kgHa, perHa float64, ok bool) {
	if p.Choice == nil {
		return 0, 0, false
	}
	ha := 0.0
	for i := range p.Result.Input.Zones {
		z, c := &p.Result.Input.Zones[i], &p.Choice.Zones[i]
		if z.Field == field && c.In {
			ha += z.AreaHa
			kgHa += z.AreaHa * c.Rate.KgNPerHa()
			perHa += z.AreaHa * c.Return
		}
	}
	return kgHa / ha, perHa / ha, ha > 0
}

// LimitTable says what there is, what the choice takes, and what more would be worth.
func (p Planned) LimitTable() page.Table {
	t := page.Table{Title: "Limits", Head: []string{"", "available", "used", "so much more", "would be worth"}, Units: []string{"", "", "", "", "$"}}
	if p.Choice == nil {
		return t
	}
	for i, l := range p.Result.Input.Limits {
		key := fmt.Sprintf("choice.limits.%d.", i)
		amount := func(v float64) string { return limitText(p.Units, l, v) }
		more := l.More
		if more == 0 {
			more = 1
		}
		row := []page.Cell{
			{Text: l.Name, Key: key + "name"},
			{Text: amount(l.Amount), Key: key + "amount"},
			{Text: amount(p.Choice.Used[i]), Key: key + "used"},
			{Text: amount(more), Key: key + "more"},
			{Text: fmt.Sprintf("%.0f to %.0f", p.Choice.Worth[i].Low, p.Choice.Worth[i].High)},
		}
		if w := p.Choice.Worth[i]; w.Known {
			row[4] = page.Cell{Text: strconv.FormatFloat(w.Dollars, 'f', 0, 64), Key: key + "worth_usd"}
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// limitText prints an amount of a limit: masses in the units of the job.
func limitText(u unit.System, l plan.Limit, v float64) string {
	switch {
	case l.Unit == "kg" && u == unit.SI:
		return strconv.FormatFloat(v/1000, 'f', 2, 64) + " t"
	case l.Unit == "kg":
		return strconv.FormatFloat(v/unit.ShortTons(1).Kilograms(), 'f', 2, 64) + " ton"
	case l.Unit == "kg N":
		return u.NMass(unit.Kilograms(v))
	}
	return strconv.FormatFloat(v, 'f', 2, 64) + " " + l.Unit
}

// BandLines say what the bands hold.
func (p Planned) BandLines() []string {
	b := plan.Bands()
	list := []string{"low and high of what remains: " + b.LowHigh, "worst fifth: " + b.WorstFifth}
	if p.Choice != nil {
		list = append(list, "low and high of the return, in plan.json: "+b.ReturnLowHigh)
	}
	return list
}

// AgainstLines are what argues against each application of a field, in words. Short
// leaves out what is published about it.
func (p Planned) AgainstLines(field string, short bool) []string {
	var lines []string
	for _, a := range p.againstField(field) {
		words, zones := a.Words, zonesNamed(a.Zones)
		if short {
			words, zones = inShort(words), zonesInShort(a.Zones)
		}
		if len(a.Zones) == p.zonesOf(field) {
			zones = "all zones"
		}
		lines = append(lines, fmt.Sprintf("%s, %s (%s; %s): %s", a.Strategy, a.Application, a.Level, zones, words))
	}
	return lines
}

// inShort is a warning without what is published about it, which stands in the notes.
func inShort(words string) string {
	words, _, _ = strings.Cut(words, " Published:")
	words, _, _ = strings.Cut(words, " Practice:")
	return words
}

// againstField is what argues against the applications of a field: warnings before
// notes, and last what could not be checked.
func (p Planned) againstField(field string) []plan.AgainstJSON {
	var list []plan.AgainstJSON
	for _, a := range p.Against {
		if a.Field == field {
			list = append(list, a)
		}
	}
	rank := func(a plan.AgainstJSON) int {
		switch {
		case a.Unchecked:
			return 2
		case a.Level == "warn":
			return 0
		}
		return 1
	}
	slices.SortStableFunc(list, func(a, b plan.AgainstJSON) int { return rank(a) - rank(b) })
	return list
}

func (p Planned) zonesOf(field string) int {
	n := 0
	for i := range p.Result.Input.Zones {
		if p.Result.Input.Zones[i].Field == field {
			n++
		}
	}
	return n
}

// csv has a line for each zone and strategy, in SI as the columns say.
func (p Planned) csv() []byte {
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	head := []string{
		"field", "zone", "area_m2", "strategy", "n_rate_kg_ha", "ammonia_kg_ha", "at_injection_kg_ha", "denitrified_kg_ha", "leached_kg_ha", "held_kg_ha",
		"still_there_kg_ha", "still_there_low_kg_ha", "still_there_high_kg_ha", "still_there_worst_fifth_kg_ha", "cost_usd_per_ha", "yield_kg_ha", "yield_worst_fifth_kg_ha",
		"return_usd_per_ha", "return_worst_fifth_usd_per_ha", "chosen_n_rate_kg_ha", "chosen_return_usd_per_ha", "held_back_by",
	}
	_ = w.Write(head) // a buffer takes everything
	num := func(v float64) string { return strconv.FormatFloat(v, 'f', 3, 64) }
	for i := range p.Result.Input.Zones {
		z := &p.Result.Input.Zones[i]
		for s := range p.Result.Outcomes[i] {
			o := &p.Result.Outcomes[i][s]
			row := []string{
				z.Field, z.ID, num(z.AreaHa * 1e4), p.Result.Input.Strategies[s].Name, num(o.Rate.KgNPerHa()),
				num(o.Lost.Ammonia), num(o.Lost.AtInjection), num(o.Lost.Denitrified), num(o.Lost.Leached), num(o.Lost.Held),
				num(o.Left), num(o.LeftLow), num(o.LeftHigh), num(o.LeftWorst), num(o.Cost), "", "", "", "", "", "", "",
			}
			if o.HasYield {
				row[15], row[16] = num(o.Yield.KgPerHa()), num(o.YieldWorst.KgPerHa())
			}
			if len(o.Yearly) > 0 {
				row[17], row[18] = num(o.Return), num(o.ReturnWorst)
			}
			if p.Choice != nil && p.Choice.Zones[i].In {
				row[19] = "0.000"
				if p.Choice.Zones[i].Strategy == s {
					row[19], row[20] = num(p.Choice.Zones[i].Rate.KgNPerHa()), num(p.Choice.Zones[i].Return)
				}
			}
			if p.Choice != nil && p.Choice.Zones[i].In {
				row[21] = p.heldWords(&p.Choice.Zones[i])
			}
			_ = w.Write(row)
		}
	}
	w.Flush()
	return b.Bytes()
}
