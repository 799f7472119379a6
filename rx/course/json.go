package course

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"ratewright/rx/nitrogen/guard"
	"ratewright/rx/nitrogen/loss"
)

// Schema names the form of loss.json.
const Schema = "ratewright/loss/1"

// JSON is loss.json: the course of the nitrogen of applications. Keys may be added and
// are never renamed; what is not known is null, with a note.
type JSON struct {
	Schema       string            `json:"schema"`
	Field        string            `json:"field"`
	Bands        BandsJSON         `json:"bands"`
	Applications []ApplicationJSON `json:"applications"`
	Files        map[string]string `json:"files"` // name -> SHA-256, by the caller
	Notes        []string          `json:"notes"`
}

// BandsJSON says what the bands hold and how they were made.
type BandsJSON struct {
	LowHigh    string `json:"low_high"`
	P5P95      string `json:"p5_p95"`
	WorstFifth string `json:"worst_fifth"`
	Draws      int    `json:"draws"`
	Seed       uint64 `json:"seed"`
}

// ApplicationJSON is the course of an application.
type ApplicationJSON struct {
	Name      string        `json:"name"`
	Source    string        `json:"source"`
	Placement string        `json:"placement"`
	DepthM    *float64      `json:"depth_m"` // null where the job gives none
	Inhibitor string        `json:"inhibitor"`
	Tilled    *TilledJSON   `json:"incorporated"` // null where no later trip works it in
	Date      string        `json:"date"`
	Until     string        `json:"until"`
	Years     []int         `json:"years"` // of the record
	AreaM2    float64       `json:"area_m2"`
	NRateKgHa float64       `json:"n_rate_kg_ha"` // the mean over the zones, by area
	Days      []DayJSON     `json:"days"`         // the same
	Zones     []ZoneJSON    `json:"zones"`
	Warnings  []WarningJSON `json:"warnings"`
}

// TilledJSON is a later trip that works nitrogen in.
type TilledJSON struct {
	Date   string  `json:"date"`
	DepthM float64 `json:"depth_m"`
}

// ZoneJSON is the course on a zone; one without nitrogen has no days.
type ZoneJSON struct {
	ID        string  `json:"id"`
	AreaM2    float64 `json:"area_m2"`
	NRateKgHa float64 `json:"n_rate_kg_ha"`
	// The potential loss of ammonia, as a share of the rate: the mean over the years of
	// record, each at the warmth of its own first ten days, in the run of middle losses and
	// in those of low and high.
	PotentialShare     float64   `json:"potential_ammonia_share"`
	PotentialShareLow  float64   `json:"potential_ammonia_share_low"`
	PotentialShareHigh float64   `json:"potential_ammonia_share_high"`
	WorstYears         []int     `json:"worst_years"`
	Days               []DayJSON `json:"days"`
}

// DayJSON is where the nitrogen is at the end of a day, 1 for that of the application.
type DayJSON struct {
	Day    int       `json:"day"`
	Date   string    `json:"date"`
	Years  YearsJSON `json:"years"`  // mean over the years of the record
	Actual *FateJSON `json:"actual"` // under the weather of the year itself; null where it is not known
}

// YearsJSON adds the years with the least still there at the end.
type YearsJSON struct {
	FateJSON
	WorstFifth float64 `json:"still_there_worst_fifth_kg_ha"`
}

// FateJSON parts a rate; urea, ammonium and nitrate make what is still there, ammonia,
// at injection, denitrified and leached what is lost, and both with what is held the
// rate.
type FateJSON struct {
	StillThere  float64  `json:"still_there_kg_ha"`
	StillLow    float64  `json:"still_there_low_kg_ha"`
	StillHigh   float64  `json:"still_there_high_kg_ha"`
	StillP5     *float64 `json:"still_there_p5_kg_ha"` // null without draws
	StillP95    *float64 `json:"still_there_p95_kg_ha"`
	Urea        float64  `json:"urea_kg_ha"`
	Ammonium    float64  `json:"ammonium_kg_ha"`
	Nitrate     float64  `json:"nitrate_kg_ha"`
	Held        float64  `json:"held_kg_ha"`
	Lost        float64  `json:"lost_kg_ha"`
	LostLow     float64  `json:"lost_low_kg_ha"`
	LostHigh    float64  `json:"lost_high_kg_ha"`
	LostP5      *float64 `json:"lost_p5_kg_ha"`
	LostP95     *float64 `json:"lost_p95_kg_ha"`
	Ammonia     float64  `json:"ammonia_kg_ha"`
	AtInjection float64  `json:"at_injection_kg_ha"`
	Denitrified float64  `json:"denitrified_kg_ha"`
	Leached     float64  `json:"leached_kg_ha"`
}

// WarningJSON is a warning before harm, with the zones that it concerns.
type WarningJSON struct {
	Key       string   `json:"key"`
	Level     string   `json:"level"`
	Zones     []string `json:"zones"`
	Text      string   `json:"text"`
	Published string   `json:"published"`
	Practice  string   `json:"practice"`
	Source    string   `json:"source"`
	Defer     string   `json:"defer"`
	Unchecked bool     `json:"unchecked"`
}

// Bands says what the bands of an input hold.
func Bands(draws int, seed uint64) BandsJSON {
	b := BandsJSON{
		LowHigh:    "runs of low, middle and high losses, each the mean over the years, or under the weather of the one year: " + loss.Spread() + "; nor does it hold how years differ",
		P5P95:      "no draws were made",
		WorstFifth: "the fifth of the years, at least one, with the least remaining on the last day, in the middle run: the weather of the years alone",
		Draws:      draws, Seed: seed,
	}
	if draws > 0 {
		b.P5P95 = "5 to 95 % of the draws, in each of which every coefficient with a range is drawn at random within it and the shift between studies from its distribution; each takes a year of the record in turn, so that the weather of the years is in it; under the weather of one year the coefficients alone"
	}
	return b
}

// JSON is the course of an application in the form of loss.json; the caller gives name
// and warnings.
func (r *Result) JSON(a loss.Application) ApplicationJSON {
	out := ApplicationJSON{
		Source: a.Source.Label, Placement: a.Placement.String(), Inhibitor: a.Inhibitor.String(),
		Date: r.First.Format(time.DateOnly), Until: r.Last.Format(time.DateOnly), Years: r.Years,
		AreaM2: r.Field.Area.SquareMetres(), NRateKgHa: r.Field.Rate.KgNPerHa(), Days: r.Field.json(r.First),
		Zones: []ZoneJSON{}, Warnings: []WarningJSON{},
	}
	if m := a.Depth.Metres(); m > 0 {
		out.DepthM = &m
	}
	if t := a.Tillage; t != nil {
		out.Tilled = &TilledJSON{t.Date.Format(time.DateOnly), t.Depth.Metres()}
	}
	for i := range r.Zones {
		z := &r.Zones[i]
		worst := z.Years.WorstOf
		if worst == nil {
			worst = []int{}
		}
		out.Zones = append(out.Zones, ZoneJSON{z.ID, z.Area.SquareMetres(), z.Rate.KgNPerHa(), z.Years.Potential, z.Years.PotentialLow, z.Years.PotentialHigh, worst, z.json(r.First)})
	}
	return out
}

func (z *ZoneCourse) json(first time.Time) []DayJSON {
	list := make([]DayJSON, len(z.Years.Days))
	for i := range list {
		d := &list[i]
		d.Day, d.Date = i+1, first.AddDate(0, 0, i).Format(time.DateOnly)
		d.Years = YearsJSON{z.Years.fate(i), z.Years.Worst[i]}
		if z.Actual != nil {
			f := z.Actual.fate(i)
			d.Actual = &f
		}
	}
	return list
}

func (s *Spread) fate(i int) FateJSON {
	d := &s.Days[i]
	b := &d.Balance
	f := FateJSON{
		StillThere: b.StillThere(), StillLow: d.Still.Low, StillHigh: d.Still.High,
		Urea: b.Urea, Ammonium: b.Ammonium, Nitrate: b.Nitrate, Held: b.Held,
		Lost: b.Lost(), LostLow: d.Lost.Low, LostHigh: d.Lost.High,
		Ammonia: b.Ammonia, AtInjection: b.AtInjection, Denitrified: b.Denitrified, Leached: b.Leached,
	}
	if s.Draws > 0 {
		f.StillP5, f.StillP95, f.LostP5, f.LostP95 = &d.Still.P5, &d.Still.P95, &d.Lost.P5, &d.Lost.P95
	}
	return f
}

// WarningsJSON gathers the warnings about the zones of an application, ids beside lists:
// each distinct one once with the zones that it concerns, those that warn first.
func WarningsJSON(ids []string, of [][]guard.Warning) []WarningJSON {
	list := []WarningJSON{}
	at := map[string]int{}
	for i, warnings := range of {
		for _, w := range warnings {
			k, seen := at[w.Words]
			if !seen {
				k = len(list)
				at[w.Words] = k
				list = append(list, WarningJSON{w.Key, w.Level.String(), nil, w.Words, w.Published, w.Practice, w.Source, w.Defer, w.Unchecked})
			}
			list[k].Zones = append(list[k].Zones, ids[i])
		}
	}
	order := guard.Keys()
	slices.SortStableFunc(list, func(a, b WarningJSON) int {
		return cmp.Or(strings.Compare(b.Level, a.Level), slices.Index(order, a.Key)-slices.Index(order, b.Key)) // "warn" before "note"
	})
	return list
}
