package job

import (
	"fmt"
	"slices"
	"time"

	"ratewright/geo/unit"
	"ratewright/rx/nitrogen/guard"
	"ratewright/rx/nitrogen/loss"
	"ratewright/rx/plan"
	"ratewright/rx/weather"
)

// against gathers what argues against the applications of a field, each warning once
// with the zones it concerns: at the rate that is chosen there, and at the one compared
// where something else is.
func (p *planner) against(f *plannedField, r *plan.Result, c *plan.Choice) ([]plan.AgainstJSON, error) {
	var list []plan.AgainstJSON
	seen := map[againstRow]int{}
	for s := range p.in.Strategies {
		for k := range p.in.Strategies[s].Trips {
			for i := range f.ground.Zones {
				zone := f.from + i
				situation, err := p.situation(f, s, k, zone, rateOf(r, c, zone, s, k))
				if err != nil {
					return nil, err
				}
				ws, err := guard.Check(situation, guard.DefaultOptions(), p.first.Units)
				if err != nil {
					return nil, err
				}
				for _, w := range ws {
					if w.Key == guard.AmmoniaCare {
						continue // the cautions have it
					}
					row := againstRow{f.ground.Field.Name, p.in.Strategies[s].Name, p.in.Strategies[s].Trips[k].Name, w.Key, w.Level.String(), w.Words, w.Unchecked}
					n, ok := seen[row]
					if !ok {
						n = len(list)
						seen[row] = n
						list = append(list, row.json())
					}
					list[n].Zones = append(list[n].Zones, r.Input.Zones[zone].ID)
				}
			}
		}
	}
	return list, nil
}

type againstRow struct {
	field, strategy, application, key, level, words string
	unchecked                                       bool
}

func (a againstRow) json() plan.AgainstJSON {
	return plan.AgainstJSON{Field: a.field, Strategy: a.strategy, Application: a.application, Key: a.key, Level: a.level, Words: a.words, Unchecked: a.unchecked}
}

// beyond lists the warnings that the job of a field refuses, about what the choice puts down.
func (p *planner) beyond(list []plan.AgainstJSON, r *plan.Result, c *plan.Choice) (over, unknown []string) {
	refused := map[string][]string{}
	for _, f := range p.fields {
		refused[f.ground.Field.Name] = f.job.AcceptNot
	}
	for _, a := range list {
		if !slices.Contains(refused[a.Field], a.Key) {
			continue
		}
		var zones []string
		for i := range r.Input.Zones {
			z := &r.Input.Zones[i]
			if z.Field != a.Field || !slices.Contains(a.Zones, z.ID) {
				continue
			}
			if c != nil && c.Zones[i].In && !puts(r, &c.Zones[i], a) {
				continue // chosen otherwise
			}
			zones = append(zones, z.ID)
		}
		switch text := fmt.Sprintf("%s of %s on %s, %s", a.Application, a.Strategy, a.Field, zonesNamed(zones)); {
		case len(zones) == 0:
		case a.Unchecked:
			unknown = append(unknown, unjudged(a.Key, text))
		default:
			over = append(over, fmt.Sprintf("%s: %s", a.Key, text))
		}
	}
	return over, unknown
}

// puts tells whether a choice puts down the application that a warning is about.
func puts(r *plan.Result, c *plan.Chosen, a plan.AgainstJSON) bool {
	if c.Strategy < 0 || r.Input.Strategies[c.Strategy].Name != a.Strategy {
		return false
	}
	for k, t := range r.Input.Strategies[c.Strategy].Trips {
		if t.Name == a.Application && c.Trips[k] > 0 {
			return true
		}
	}
	return false
}

// rateOf is the rate at which an application is judged on a zone.
func rateOf(r *plan.Result, c *plan.Choice, zone, s, k int) unit.NRate {
	if c != nil && c.Zones[zone].Strategy == s && c.Zones[zone].Trips[k] > 0 {
		return c.Zones[zone].Trips[k]
	}
	return r.Outcomes[zone][s].Trips[k]
}

// situation is an application on a zone as far as the job tells.
func (p *planner) situation(f *plannedField, s, k, zone int, n unit.NRate) (guard.Situation, error) {
	t := &p.in.Strategies[s].Trips[k]
	z := &p.in.Zones[zone]
	depth := t.Depth
	g := guard.Situation{
		Source: t.Source, N: n, Texture: f.texture[zone-f.from], Residue: f.cover[zone-f.from], Date: t.Date,
		Placement: map[loss.Placement]guard.Placement{
			loss.Broadcast: guard.Broadcast, loss.Dribbled: guard.SurfaceBand, loss.Incorporated: guard.Incorporated, loss.Injected: guard.Injected,
		}[t.Placement],
		Inhibitor: map[loss.Inhibitor]guard.Inhibitor{
			loss.NoInhibitor: guard.NoInhibitor, loss.Urease: guard.Urease, loss.Nitrification: guard.Nitrification, loss.UreaseAndNitrification: guard.Both,
		}[t.Inhibitor],
	}
	if t.Placement == loss.Injected || t.Placement == loss.Incorporated {
		g.Depth = &depth
	}
	workedIn(&g, t.Tillage)
	f.job.Strategies[s].Trips[k].Care.tell(&g)
	if planted, ok := f.job.planted(); ok {
		g.Planting = planted
	}
	d, err := p.dayOf(f.job.Crop, z.Station, t.Date)
	g.Stage, g.SoilC, g.SoilErrorC = d.stage, d.soilC, d.errorC
	return g, err
}

// workedIn tells of a pass that works the nitrogen into the ground: one on the same day is
// as its placement.
func workedIn(g *guard.Situation, t *loss.Tillage) {
	switch {
	case t == nil:
	case sameDay(t.Date, g.Date):
		g.Placement, g.Depth = guard.Incorporated, &t.Depth
	default:
		n := int(t.Date.Sub(g.Date).Hours() / 24)
		g.WorkedIn = &n
	}
}

// dayKey is a day of a crop under a station, and dayFacts what the years of its record say of it.
type (
	dayKey struct {
		crop    string
		station int
		date    time.Time
	}
	dayFacts struct {
		stage  *guard.Stages
		soilC  *float64
		errorC float64
	}
)

// dayOf is how far the crop is on a day, and how warm the soil, over the years of a
// record; rain of other years is none in sight.
func (p *planner) dayOf(crop *CropSpec, station int, on time.Time) (dayFacts, error) {
	key := dayKey{station: station, date: on}
	if crop != nil {
		key.crop = crop.Planted + " " + crop.Emerged
		for i := range crop.Models {
			key.crop += " " + crop.Models[i].Name
		}
	}
	if d, ok := p.days[key]; ok {
		return d, nil
	}
	w := seasonWeather{years: p.in.Stations[station].Years, soil: weather.DefaultSoil()}
	var d dayFacts
	var err error
	if d.stage, err = w.stageOn(crop, on); err != nil {
		return d, err
	}
	if c, e, ok := w.soilOn(on); ok {
		d.soilC, d.errorC = &c, e
	}
	p.days[key] = d
	return d, nil
}
