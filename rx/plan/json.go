package plan

import "ratewright/rx/nitrogen/loss"

// Schema names the form of plan.json.
const Schema = "ratewright/plan/1"

// JSON is plan.json. Keys may be added and are never renamed; money is in US dollars.
type JSON struct {
	Schema string      `json:"schema"`
	By     string      `json:"by"`
	Years  int         `json:"years"`
	Bands  BandsJSON   `json:"bands"`
	Fields []FieldJSON `json:"fields"`
	// Compared are the strategies as they were given.
	Compared []ComparedJSON    `json:"compared"`
	Choice   *ChoiceJSON       `json:"choice"` // null without returns
	Against  []AgainstJSON     `json:"against"`
	Files    map[string]string `json:"files"` // name -> SHA-256, by the caller
	Notes    []string          `json:"notes"`
}

// BandsJSON says what the bands of a plan hold and how they were made.
type BandsJSON struct {
	LowHigh       string `json:"low_high"`        // of what is still there
	ReturnLowHigh string `json:"return_low_high"` // of the return
	WorstFifth    string `json:"worst_fifth"`
}

// Bands says what the bands of every plan hold.
func Bands() BandsJSON {
	return BandsJSON{
		LowHigh:       "runs of low, middle and high losses, each the mean over the years: " + loss.Spread() + "; nor does it hold how years differ",
		ReturnLowHigh: "the least and the most of the mean returns in these runs, in each of which the trial's own way has the same losses; no error of the response curve or of prices is in it",
		WorstFifth:    "the mean of the fifth of the years, rounded up, in which the figure is the least, in the middle run: the weather of the years alone",
	}
}

// ComparedJSON is a strategy, and PutDownJSON how an application of it is put down.
type (
	ComparedJSON struct {
		Strategy     string        `json:"strategy"`
		Applications []PutDownJSON `json:"applications"`
	}
	PutDownJSON struct {
		Name      string  `json:"name"`
		Source    string  `json:"source"`
		Placement string  `json:"placement"`
		DepthM    float64 `json:"depth_m"`
		Date      string  `json:"date"`
		Inhibitor string  `json:"inhibitor"`
	}
)

// FieldJSON is a field's comparison.
type FieldJSON struct {
	Field      string           `json:"field"`
	Best       *string          `json:"best"` // null without returns
	Strategies []StrategyJSON   `json:"strategies"`
	Zones      []ZoneJSON       `json:"zones"`
	Choice     *FieldChoiceJSON `json:"choice"` // null where the choice weighs none of its zones
	Findings   []string         `json:"findings"`
}

// FieldChoiceJSON is the choice over a field: sums, and means by area.
type FieldChoiceJSON struct {
	AreaM2          float64        `json:"area_m2"` // of the zones in the choice
	NRateKgHa       float64        `json:"n_rate_kg_ha"`
	Lost            LostJSON       `json:"lost_kg_ha"`
	HeldKgHa        float64        `json:"held_kg_ha"`
	StillThere      StillThereJSON `json:"still_there_kg_ha"`
	CostPerHa       float64        `json:"cost_usd_per_ha"`
	ReturnPerHa     ReturnJSON     `json:"return_usd_per_ha"`
	UnlimitedPerHa  float64        `json:"unlimited_return_usd_per_ha"` // if nothing were scarce
	LimitsCostPerHa float64        `json:"limits_cost_usd_per_ha"`      // the difference of the two
	ValueUSD        float64        `json:"value_usd"`
}

// StrategyJSON is a strategy on a field or on a zone of it.
type StrategyJSON struct {
	Name         string         `json:"name"`
	NRateKgHa    float64        `json:"n_rate_kg_ha"`
	Applications []TripJSON     `json:"applications"` // of a zone
	Lost         LostJSON       `json:"lost_kg_ha"`
	HeldKgHa     float64        `json:"held_kg_ha"`
	StillThere   StillThereJSON `json:"still_there_kg_ha"`
	CostPerHa    float64        `json:"cost_usd_per_ha"`
	YieldKgHa    *MeanWorstJSON `json:"yield_kg_ha"`       // null without a curve
	ReturnPerHa  *ReturnJSON    `json:"return_usd_per_ha"` // null without returns
	BestYears    *int           `json:"best_years"`        // of a field, null without returns
}

// TripJSON is an application's rate.
type TripJSON struct {
	Name      string  `json:"name"`
	NRateKgHa float64 `json:"n_rate_kg_ha"`
}

// LostJSON is nitrogen lost by pathway, the mean over the years.
type LostJSON struct {
	Ammonia     float64 `json:"ammonia"`
	AtInjection float64 `json:"at_injection"`
	Denitrified float64 `json:"denitrified"`
	Leached     float64 `json:"leached"`
}

// StillThereJSON is what is neither lost nor held: the mean over the years, its band
// between the runs of high and of low losses, and the mean of the worst fifth.
type StillThereJSON struct {
	Mean       float64 `json:"mean"`
	Low        float64 `json:"low"`
	High       float64 `json:"high"`
	WorstFifth float64 `json:"worst_fifth"`
}

// MeanWorstJSON is a mean over the years and that of the worst fifth.
type MeanWorstJSON struct {
	Mean       float64 `json:"mean"`
	WorstFifth float64 `json:"worst_fifth"`
}

// ReturnJSON is grain less cost; Low and High are the least and the most of the means in
// the runs of low, middle and high losses. High losses may return more: a strategy that
// loses less than the trial's own way gains on it as losses grow.
type ReturnJSON struct {
	Mean       float64 `json:"mean"`
	WorstFifth float64 `json:"worst_fifth"`
	Low        float64 `json:"low"`
	High       float64 `json:"high"`
}

// returns puts a mean return between the means in the runs of low and of high losses.
func returns(mean, worst, lowLosses, highLosses float64) ReturnJSON {
	return ReturnJSON{mean, worst, min(mean, lowLosses, highLosses), max(mean, lowLosses, highLosses)}
}

// ZoneJSON is a zone with all strategies and the one chosen.
type ZoneJSON struct {
	ID         string         `json:"id"`
	AreaM2     float64        `json:"area_m2"`
	Strategies []StrategyJSON `json:"strategies"`
	Choice     *ChosenJSON    `json:"choice"` // null where the zone has no returns
}

// ChosenJSON is what a zone is to get.
type ChosenJSON struct {
	Strategy     *string        `json:"strategy"` // null: nothing
	NRateKgHa    float64        `json:"n_rate_kg_ha"`
	Applications []TripJSON     `json:"applications"`
	ReturnPerHa  float64        `json:"return_usd_per_ha"`
	StillThere   StillThereJSON `json:"still_there_kg_ha"`
	Unlimited    UnheldJSON     `json:"unlimited"`
	HeldBy       []string       `json:"held_by"`      // the limits in the way of that; empty where the zone gets it
	RateHeldBy   []string       `json:"rate_held_by"` // those in the way of the rate that pays best of its strategy
}

// UnheldJSON is what a zone would get if nothing were scarce.
type UnheldJSON struct {
	Strategy    *string `json:"strategy"` // null: nothing
	NRateKgHa   float64 `json:"n_rate_kg_ha"`
	ReturnPerHa float64 `json:"return_usd_per_ha"`
}

// ChoiceJSON is the choice under limits, with its proof.
type ChoiceJSON struct {
	ValueUSD     float64     `json:"value_usd"`
	BoundUSD     float64     `json:"bound_usd"`
	UnlimitedUSD float64     `json:"unlimited_usd"` // if nothing were scarce
	Gap          float64     `json:"gap"`
	Proven       bool        `json:"proven"`
	Limits       []LimitJSON `json:"limits"`
}

// LimitJSON is a limit: what there is, what the choice takes, and what some more of it
// would be worth.
type LimitJSON struct {
	Name     string   `json:"name"`
	Unit     string   `json:"unit"`
	Amount   float64  `json:"amount"`
	Used     float64  `json:"used"`
	More     float64  `json:"more"`
	WorthUSD *float64 `json:"worth_usd"`     // of More; null where the proofs leave it open
	LowUSD   float64  `json:"worth_low_usd"` // encloses it for certain
	HighUSD  float64  `json:"worth_high_usd"`
}

// AgainstJSON is what argues against an application on zones.
type AgainstJSON struct {
	Field       string   `json:"field"`
	Strategy    string   `json:"strategy"`
	Application string   `json:"application"`
	Key         string   `json:"key"`
	Level       string   `json:"level"`
	Zones       []string `json:"zones"`
	Words       string   `json:"words"`
	Unchecked   bool     `json:"unchecked"` // what it needs is not known
}

func (t *Trip) json() PutDownJSON {
	return PutDownJSON{t.Name, t.Source.Label, t.Placement.String(), t.Depth.Metres(), t.Date.Format("2006-01-02"), t.Inhibitor.String()}
}

// JSON is the result in the form of plan.json, its Against, Files and part of its Notes
// left to the caller.
func (r *Result) JSON(c *Choice) JSON {
	out := JSON{
		Schema: Schema, By: r.Input.By.Format("2006-01-02"), Years: len(r.Input.Stations[0].Years), Bands: Bands(),
		Fields: []FieldJSON{}, Against: []AgainstJSON{}, Files: map[string]string{}, Notes: append([]string{}, r.Notes...),
	}
	for _, s := range r.Input.Strategies {
		row := ComparedJSON{Strategy: s.Name}
		for i := range s.Trips {
			row.Applications = append(row.Applications, s.Trips[i].json())
		}
		out.Compared = append(out.Compared, row)
	}
	for _, f := range r.Fields() {
		row := FieldJSON{Field: f.Field, Strategies: []StrategyJSON{}, Zones: []ZoneJSON{}, Findings: append([]string{}, f.Words...)}
		if f.Best >= 0 {
			row.Best = &r.Input.Strategies[f.Best].Name
		}
		for i := range f.Totals {
			row.Strategies = append(row.Strategies, r.total(&f.Totals[i], f.Best >= 0))
		}
		for i := range r.Input.Zones {
			if r.Input.Zones[i].Field == f.Field {
				row.Zones = append(row.Zones, r.zone(i, c))
			}
		}
		row.Choice = r.fieldChoice(f.Field, c)
		out.Fields = append(out.Fields, row)
	}
	if c != nil {
		out.Choice = r.choice(c)
		out.Notes = append(out.Notes, c.Notes...)
	}
	return out
}

func (r *Result) fieldChoice(field string, c *Choice) *FieldChoiceJSON {
	if c == nil {
		return nil
	}
	t, unlimited, ok := r.ChosenTotal(field, c)
	if !ok {
		return nil
	}
	return &FieldChoiceJSON{
		AreaM2: t.AreaHa * 1e4, NRateKgHa: t.RateKgHa,
		Lost:     LostJSON{t.Lost.Ammonia, t.Lost.AtInjection, t.Lost.Denitrified, t.Lost.Leached},
		HeldKgHa: t.Lost.Held, StillThere: StillThereJSON{t.Left, t.LeftLow, t.LeftHigh, t.LeftWorst}, CostPerHa: t.Cost,
		ReturnPerHa: returns(t.Return, t.ReturnWorst, t.ReturnLow, t.ReturnHigh), UnlimitedPerHa: unlimited,
		LimitsCostPerHa: max(0, unlimited-t.Return), ValueUSD: t.Return * t.AreaHa,
	}
}

func (r *Result) total(t *Total, best bool) StrategyJSON {
	s := StrategyJSON{
		Name: r.Input.Strategies[t.Strategy].Name, NRateKgHa: t.RateKgHa, Applications: []TripJSON{},
		Lost:     LostJSON{t.Lost.Ammonia, t.Lost.AtInjection, t.Lost.Denitrified, t.Lost.Leached},
		HeldKgHa: t.Lost.Held, StillThere: StillThereJSON{t.Left, t.LeftLow, t.LeftHigh, t.LeftWorst}, CostPerHa: t.Cost,
	}
	if t.HasReturn {
		s.YieldKgHa = &MeanWorstJSON{t.Yield, t.YieldWorst}
		band := returns(t.Return, t.ReturnWorst, t.ReturnLow, t.ReturnHigh)
		s.ReturnPerHa = &band
	}
	if best {
		s.BestYears = &t.BestYears
	}
	return s
}

func (r *Result) zone(i int, c *Choice) ZoneJSON {
	z := &r.Input.Zones[i]
	row := ZoneJSON{ID: z.ID, AreaM2: z.AreaHa * 1e4, Strategies: []StrategyJSON{}}
	for s := range r.Outcomes[i] {
		o := &r.Outcomes[i][s]
		out := StrategyJSON{
			Name: r.Input.Strategies[s].Name, NRateKgHa: o.Rate.KgNPerHa(), Applications: []TripJSON{},
			Lost:     LostJSON{o.Lost.Ammonia, o.Lost.AtInjection, o.Lost.Denitrified, o.Lost.Leached},
			HeldKgHa: o.Lost.Held, StillThere: StillThereJSON{o.Left, o.LeftLow, o.LeftHigh, o.LeftWorst}, CostPerHa: o.Cost,
		}
		for k, n := range o.Trips {
			out.Applications = append(out.Applications, TripJSON{r.Input.Strategies[s].Trips[k].Name, n.KgNPerHa()})
		}
		if o.HasYield {
			out.YieldKgHa = &MeanWorstJSON{o.Yield.KgPerHa(), o.YieldWorst.KgPerHa()}
		}
		if len(o.Yearly) > 0 {
			band := returns(o.Return, o.ReturnWorst, o.ReturnLow, o.ReturnHigh)
			out.ReturnPerHa = &band
		}
		row.Strategies = append(row.Strategies, out)
	}
	if c == nil || !c.Zones[i].In {
		return row
	}
	ch := &c.Zones[i]
	o := &ch.Outcome
	row.Choice = &ChosenJSON{
		NRateKgHa: ch.Rate.KgNPerHa(), Applications: []TripJSON{}, ReturnPerHa: ch.Return, HeldBy: r.limitNames(ch.Held), RateHeldBy: r.limitNames(ch.RateHeld),
		StillThere: StillThereJSON{o.Left, o.LeftLow, o.LeftHigh, o.LeftWorst},
		Unlimited:  UnheldJSON{NRateKgHa: ch.Free.Rate.KgNPerHa(), ReturnPerHa: ch.Free.Return},
	}
	if ch.Free.Strategy >= 0 {
		row.Choice.Unlimited.Strategy = &r.Input.Strategies[ch.Free.Strategy].Name
	}
	if ch.Strategy >= 0 {
		s := &r.Input.Strategies[ch.Strategy]
		row.Choice.Strategy = &s.Name
		for k, n := range ch.Trips {
			row.Choice.Applications = append(row.Choice.Applications, TripJSON{s.Trips[k].Name, n.KgNPerHa()})
		}
	}
	return row
}

func (r *Result) limitNames(list []int) []string {
	names := []string{}
	for _, k := range list {
		names = append(names, r.Input.Limits[k].Name)
	}
	return names
}

func (r *Result) choice(c *Choice) *ChoiceJSON {
	out := &ChoiceJSON{ValueUSD: c.Value, BoundUSD: c.Bound, UnlimitedUSD: c.Unlimited, Gap: c.Gap, Proven: c.Proven, Limits: []LimitJSON{}}
	for i, l := range r.Input.Limits {
		row := LimitJSON{Name: l.Name, Unit: l.Unit, Amount: l.Amount, Used: c.Used[i], More: l.more(), LowUSD: c.Worth[i].Low, HighUSD: c.Worth[i].High}
		if c.Worth[i].Known {
			row.WorthUSD = &c.Worth[i].Dollars
		}
		out.Limits = append(out.Limits, row)
	}
	return out
}
