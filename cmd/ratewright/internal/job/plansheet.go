package job

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"ratewright/cmd/ratewright/page"
	"ratewright/geo/unit"
	"ratewright/rx/plan"
)

// sheet is the page of a field: what each zone is to get, and how the strategies
// compare. The notes of the plan and of the field come behind its own.
func (p Planned) sheet(f *plannedField, i int, inputs []page.Input) page.Sheet {
	u, c := p.Units, p.Fields[i]
	field := f.ground.Field
	s := page.Sheet{
		Kind: page.Plan, Field: field.Name, Subject: fmt.Sprintf("%d strategies over %d years", len(c.Totals), c.Years), Ground: u.Area(field.Ground.Area()),
		Lead: p.lead(i), Tables: p.paperTables(i),
		Found: c.Words, Notes: slices.Concat(p.BandLines(), p.AgainstLines(c.Field, false)), Cautions: p.Cautions,
		Warnings: p.AgainstLines(c.Field, true), Rest: "plan.json",
		Inputs: inputs, Program: "ratewright " + Version(), Map: f.job.sheetMap(field),
	}
	s.WarningsOnPaper = warningsOnPaper(s.Warnings)
	s.Map.RateTitle, s.Map.RateUnit = "Planned", u.NRateUnit()
	if p.Choice != nil {
		for k := range p.Result.Input.Strategies {
			s.Map.Choices = append(s.Map.Choices, page.Choice{Letter: p.letter(k), Name: p.Result.Input.Strategies[k].Name})
		}
	}
	for k, z := range f.ground.Zones {
		zone := page.Zone{ID: z.ID, Polygons: z.Region.Polygons(), Rate: math.NaN(), Story: p.story(f.from + k)}
		if p.Choice != nil && p.Choice.Zones[f.from+k].In {
			ch := &p.Choice.Zones[f.from+k]
			zone.Rate, zone.Label = rateIn(u, ch.Rate), strings.TrimSuffix(u.NRateNumber(ch.Rate), ".0")
			if ch.Strategy >= 0 {
				zone.Choice = p.letter(ch.Strategy)
			}
		}
		s.Map.Zones = append(s.Map.Zones, zone)
	}
	spanRates(&s.Map)
	return s
}

// foundLetters is how many letters of what was found a line on paper holds.
const foundLetters = 125

// paperTables are the tables of the page, the choice before others. What there is no
// room for on paper comes last in its table.
func (p Planned) paperTables(i int) []page.Table {
	choice, limits, strategies, ways := p.ChoiceTable(i), p.LimitTable(), p.StrategyTable(i), p.PathwayTable(i)
	choice.Rest, limits.Rest, strategies.Rest, ways.Rest = "plan.csv", "plan.json", "plan.csv", "plan.csv"
	if zones := p.zonesOn(i); len(choice.Rows) == len(zones)+1 {
		lines := 13
		for _, words := range p.Fields[i].Words {
			lines -= linesOf(words, foundLetters)
		}
		onPaper(&choice, max(lines, 6), ", the most nitrogen first", []int{20, 20, 20}, func(k int) float64 {
			return p.Result.Input.Zones[zones[k]].AreaHa * p.Choice.Zones[zones[k]].Rate.KgNPerHa()
		})
	}
	onPaper(&limits, 6, ", those worth the most first", []int{10}, func(k int) float64 { return p.Choice.Worth[k].Dollars })
	onPaper(&strategies, 9, ", the best first", []int{18}, func(k int) float64 { return p.Fields[i].Totals[k].Return })
	ways.OffPaper = strategies.Paper < len(strategies.Rows)
	return shownTables(choice, limits, strategies, ways)
}

// zonesOn are the zones of a field.
func (p Planned) zonesOn(i int) (list []int) {
	for zone := range p.Result.Input.Zones {
		if p.Result.Input.Zones[zone].Field == p.Fields[i].Field {
			list = append(list, zone)
		}
	}
	return list
}

// lead are the figures to be seen first: of the choice under the limits, beside what
// the same zones would return without.
func (p Planned) lead(i int) []page.Figure {
	u, c := p.Units, &p.Fields[i]
	if p.Choice == nil {
		return nil
	}
	t, unlimited, ok := p.Result.ChosenTotal(c.Field, p.Choice)
	if !ok {
		return nil
	}
	key := fmt.Sprintf("fields.%d.choice.", i)
	number := func(kgHa float64) string { return u.NRateNumber(unit.KgNPerHa(kgHa)) }
	return []page.Figure{
		{Name: "return under the limits", Value: money(u, t.Return), Unit: moneyUnit(u), Key: key + "return_usd_per_ha.mean", More: p.limitsCost(t.Return, unlimited)},
		{Name: "in the worst fifth of the years", Value: money(u, t.ReturnWorst), Unit: moneyUnit(u), Key: key + "return_usd_per_ha.worst_fifth"},
		{Name: "return of the field in a mean year", Value: dollars(t.Return * t.AreaHa), Unit: "$", Key: key + "value_usd"},
		{
			Name: "remaining on " + p.Result.Input.By.Format("2 January"), Value: number(t.Left), Unit: u.NRateUnit(), Key: key + "still_there_kg_ha.mean",
			More: fmt.Sprintf("of %s applied; %s to %s by the losses assumed", number(t.RateKgHa), number(t.LeftLow), number(t.LeftHigh)),
		},
	}
}

// limitsCost says in a phrase what the limits take away.
func (p Planned) limitsCost(ret, unlimited float64) string {
	u := p.Units
	switch {
	case len(p.Result.Input.Limits) == 0:
		return "the job sets no limit"
	case money(u, ret) == money(u, unlimited):
		return "the limits cost nothing"
	}
	return fmt.Sprintf("%s without limits: they cost %s %s", money(u, unlimited), money(u, unlimited-ret), moneyUnit(u))
}

// dollars is a sum of money without cents.
func dollars(v float64) string { return strconv.FormatFloat(v, 'f', 0, 64) }

// story tells of a zone what it gets and what holds it back, and how the strategies
// compare on it before limits.
func (p Planned) story(zone int) []page.Line {
	u := p.Units
	var list []page.Line
	say := func(name, words string) { list = append(list, page.Line{Name: name, Words: words}) }
	number := func(kgHa float64) string { return u.NRateNumber(unit.KgNPerHa(kgHa)) }
	if p.Choice != nil {
		say("Strategy", p.chosenWords(zone))
		if ch := &p.Choice.Zones[zone]; ch.In {
			say("Return", money(u, ch.Return)+" "+moneyUnit(u))
			say("Remaining on "+p.Result.Input.By.Format("2 January"), fmt.Sprintf("%s %s (%s to %s)", number(ch.Outcome.Left), u.NRateUnit(), number(ch.Outcome.LeftLow), number(ch.Outcome.LeftHigh)))
			say("Held back by", p.heldStory(ch))
			say("Without limits", p.unheldWords(ch))
		}
	}
	var compared []string
	for s := range p.Result.Outcomes[zone] {
		o := &p.Result.Outcomes[zone][s]
		text := fmt.Sprintf("%s %s", p.letter(s), u.NRate(o.Rate))
		if len(o.Yearly) > 0 {
			text += fmt.Sprintf(" for %s %s", money(u, o.Return), moneyUnit(u))
		} else {
			text += fmt.Sprintf(", %s remaining", number(o.Left))
		}
		compared = append(compared, text)
	}
	say("Compared", strings.Join(compared, "; "))
	return list
}

// heldWords names the limits that keep a zone from what pays best on it, and its
// strategy from its best rate.
func (p Planned) heldWords(ch *plan.Chosen) string {
	list := slices.Concat(ch.Held, ch.RateHeld)
	slices.Sort(list)
	switch list = slices.Compact(list); {
	case len(list) > 0:
		return strings.Join(p.limitNames(list, false), ", ")
	case money(p.Units, ch.Return) != money(p.Units, ch.Free.Return):
		return "no limit by itself"
	}
	return "nothing"
}

// heldStory tells the two apart, with the amounts.
func (p Planned) heldStory(ch *plan.Chosen) string {
	text := p.heldWords(ch)
	if len(ch.Held) > 0 {
		text = strings.Join(p.limitNames(ch.Held, true), ", ")
	}
	if len(ch.RateHeld) > 0 && !slices.Equal(ch.Held, ch.RateHeld) {
		text += "; the rate by " + strings.Join(p.limitNames(ch.RateHeld, true), ", ")
	}
	return text
}

func (p Planned) limitNames(list []int, amounts bool) []string {
	names := make([]string, len(list))
	for i, k := range list {
		l := &p.Result.Input.Limits[k]
		names[i] = l.Name
		if amounts {
			names[i] += " (" + limitText(p.Units, *l, l.Amount) + ")"
		}
	}
	return names
}

// unheldWords says what a zone would get if nothing were scarce.
func (p Planned) unheldWords(ch *plan.Chosen) string {
	u := p.Units
	if ch.Free.Strategy < 0 {
		return "nothing, " + money(u, ch.Free.Return) + " " + moneyUnit(u)
	}
	return fmt.Sprintf("%s at %s, %s %s", p.letter(ch.Free.Strategy), u.NRate(ch.Free.Rate), money(u, ch.Free.Return), moneyUnit(u))
}

// letter stands for a strategy in tables and on the map: letters, or Roman numbers
// where zones have such letters for names, or S1 and on.
func (p Planned) letter(strategy int) string { return p.letters[strategy] }

// lettered is a strategy's name after its letter.
func (p Planned) lettered(strategy int) string {
	return p.letter(strategy) + ", " + p.Result.Input.Strategies[strategy].Name
}

func strategyLetters(in *plan.Input) []string {
	ids := map[string]bool{}
	for i := range in.Zones {
		ids[strings.ToUpper(strings.TrimSpace(in.Zones[i].ID))] = true
	}
	families := []func(int) string{
		func(i int) string { return string(rune('A' + i)) },
		func(i int) string { return roman[i] },
	}
	for k, most := range []int{26, len(roman)} {
		list := make([]string, 0, len(in.Strategies))
		for i := range in.Strategies {
			if i < most && !ids[families[k](i)] {
				list = append(list, families[k](i))
			}
		}
		if len(list) == len(in.Strategies) {
			return list
		}
	}
	list := make([]string, len(in.Strategies))
	for i := range list {
		list[i] = "S" + strconv.Itoa(i+1)
	}
	return list
}

var roman = [...]string{"I", "II", "III", "IV", "V", "VI", "VII", "VIII", "IX", "X", "XI", "XII"}
