package job

import (
	"fmt"
	"time"

	"ratewright/geo/unit"
	"ratewright/rx/nitrogen/guard"
	"ratewright/rx/nitrogen/loss"
	"ratewright/rx/plan"
)

// seasonDays is how long after planting corn stands at the most (common practice).
const seasonDays = 180

// beforeDays is how long before planting nitrogen for it is put down at the most: after
// the harvest of the crop before (common practice).
const beforeDays = 270

// springDays and fallDays are how long before planting what is called spring begins at the
// earliest, and fall ends at the latest (our own: the guards of fall go by that word).
const (
	springDays = 150
	fallDays   = 60
)

// inSeason refuses dates that no crop allows.
func (j Job) inSeason(t TripSpec, a loss.Application) error {
	planted, ok := j.planted()
	if !ok {
		return nil
	}
	day := func(d time.Time) string { return d.Format(time.DateOnly) }
	switch before := a.Date.Before(planted); {
	case a.Date.After(planted.AddDate(0, 0, seasonDays)):
		return j.fault(t.line, fmt.Sprintf("application %s is on %s, more than %d days after planting: the crop is harvested by then", t.Name, day(a.Date), seasonDays), "correct the date, or that of planting")
	case a.Date.Before(planted.AddDate(0, 0, -beforeDays)):
		return j.fault(t.line, fmt.Sprintf("application %s is on %s, more than %d days before planting on %s: the crop before stands by then", t.Name, day(a.Date), beforeDays, day(planted)), "correct the date, or that of planting")
	case !before && (t.Care.Season == string(guard.Spring) || t.Care.Season == string(guard.Fall)), before && t.Care.Season == string(guard.Sidedress):
		return j.fault(t.line, fmt.Sprintf("application %s is on %s, its season is %s, and planting is on %s", t.Name, day(a.Date), t.Care.Season, day(planted)), "correct one of them")
	case t.Care.Season == string(guard.Spring) && a.Date.Before(planted.AddDate(0, 0, -springDays)),
		t.Care.Season == string(guard.Fall) && a.Date.After(planted.AddDate(0, 0, -fallDays)):
		return j.fault(t.line, fmt.Sprintf("application %s is on %s, which is no %s before planting on %s", t.Name, day(a.Date), t.Care.Season, day(planted)), "correct the date or the season, or leave season out: the dates tell it")
	}
	return nil
}

// workedInTime refuses tillage of the whole ground where corn stands. Losses follow what
// a cultivator works in between the rows; strategies do not compare it.
func (j Job) workedInTime(t TripSpec, a loss.Application) error {
	planted, ok := j.planted()
	if !ok {
		return nil
	}
	day := func(d time.Time) string { return d.Format(time.DateOnly) }
	switch {
	case a.Tillage != nil && !a.Tillage.Date.Before(planted):
		return j.fault(t.line, fmt.Sprintf("application %s is worked in on %s, after planting on %s", t.Name, day(a.Tillage.Date), day(planted)), "correct the dates, or leave incorporate out")
	case a.Placement == loss.Incorporated && !a.Date.Before(planted):
		return j.fault(t.line, fmt.Sprintf("application %s is worked into the ground on %s, after planting on %s", t.Name, day(a.Date), day(planted)), "correct the date or the placement")
	}
	return nil
}

// beforeEnd refuses an application after the day that the plan looks at: none of its
// nitrogen could be there.
func (j Job) beforeEnd(by time.Time) error {
	trips := []TripSpec{}
	for _, s := range j.Strategies {
		trips = append(trips, s.Trips...)
	}
	if j.Plan.Practice != nil {
		trips = append(trips, *j.Plan.Practice)
	}
	end := by.Format(time.DateOnly)
	for _, t := range trips {
		if t.Date > end {
			return j.fault(t.line, fmt.Sprintf("application %s is on %s, after %s, by which its nitrogen should be there", t.Name, t.Date, end), "correct the date, or write a later day under plan: until")
		}
	}
	return nil
}

// trip is a trip with its costs and what it takes of the limits.
func (p *planner) trip(j Job, t TripSpec, a loss.Application) (plan.Trip, error) {
	trip := plan.Trip{Name: t.Name, Application: a, Share: t.Share, PerHa: t.Cost.PerHa()}
	switch {
	case t.Rate != nil:
		trip.Rate = *t.Rate
		if err := loss.CheckRate(trip.Rate); err != nil {
			return trip, j.fault(t.line, fmt.Sprintf("application %s: %s", t.Name, err), "")
		}
	case t.Share == 0:
		return trip, j.fault(t.line, fmt.Sprintf("application %s has neither a rate nor a share", t.Name), "write rate: 40 lb/ac, or share: 100 %")
	}
	if j.Prices != nil {
		trip.NPrice = j.Prices.N
		if price, ok := j.Prices.Sources[a.Source.Name]; ok {
			perKg, ok := price.PerKg(a.Source.Density, a.Source.HasDensity)
			if !ok {
				return trip, j.fault(t.line, fmt.Sprintf("the price of %s is by volume, and it has no density", t.Source), "give a price by mass, or a density under `sources:`")
			}
			trip.NPrice = unit.NPrice(perKg / (a.Source.PercentN / 100))
		}
		if a.Inhibitor != loss.NoInhibitor {
			price, ok := j.Prices.Inhibitors[a.Inhibitor.String()]
			if !ok {
				p.notes = append(p.notes, fmt.Sprintf("the inhibitor %s has no price under prices: inhibitors, and counts as free", a.Inhibitor))
			}
			trip.PerHaInhibitor, trip.PerKgInhibitor = price.PerHa.PerHa(), price.PerKg.PerKg()
		}
	}
	trip.Uses = j.uses(t, a.Source.PercentN)
	return trip, nil
}
