package guard

import (
	"fmt"
	"math"

	"ratewright/geo/unit"
	"ratewright/rx/nitrogen/growth"
)

// uanOverCorn guards the leaves of standing corn against broadcast UAN.
func (g guard) uanOverCorn() (Warning, bool) {
	src, season := g.s.Source, g.season()
	onLeaves := g.s.Placement == Broadcast && src.UreaN > 0 && src.NitrateN > 0
	if !onLeaves || g.s.Stage == nil && (season == Spring || season == Fall) || g.s.Stage != nil && g.s.Stage.High < growth.Emergence() {
		return silent()
	}
	w := Warning{
		Key:   UANOverCorn,
		Level: Note,
		Published: fmt.Sprintf("at most %s at V3 to V4, %s at V7, none over the leaves of larger corn; burn was worse above %s; with atrazine in it yields fell above %s",
			g.t.rate(unit.LbNPerAcre(uanEarly)), g.t.rate(unit.LbNPerAcre(uanLate)), g.t.rate(unit.LbNPerAcre(60)), g.t.rate(unit.LbNPerAcre(uanAtrazine))),
		Practice: "drop tubes or coulters between the rows; never on a hot, dry day",
		Source:   iowaDamage + "; " + commonRule,
	}
	if g.s.Stage == nil {
		w.Unchecked = true
		return w.say("UAN broadcast over corn: the stage of the crop is not known")
	}
	most := g.overLimit(g.s.Stage.High)
	over := func(rate string) string {
		return fmt.Sprintf("%s of UAN broadcast over corn at %s", rate, between(*g.s.Stage))
	}
	if above(g.s.N, most) {
		w.Level = Warn
		if most == 0 {
			return w.say(over(g.t.rate(g.s.N)) + ": no UAN goes over the leaves of corn this large")
		}
		rate, bound := g.t.rates(g.s.N, most)
		return w.say(fmt.Sprintf("%s: above the %s for that stage", over(rate), bound))
	}
	if g.s.Atrazine == Unknown && above(g.s.N, g.o.UANAtrazine) {
		rate, bound := g.t.rates(g.s.N, g.o.UANAtrazine)
		return w.say(fmt.Sprintf("%s burns leaves; whether atrazine goes with it is not known, and with it this is above the %s that leaves the yield alone", over(rate), bound))
	}
	return w.say(over(g.t.rate(g.s.N)) + " burns leaves within one to two days, more when hot and dry")
}

// overLimit is the most of broadcast UAN over corn of a stage.
func (g guard) overLimit(stage growth.Stage) unit.NRate {
	most := g.o.UANEarly
	switch {
	case !below(stage, g.o.UANEnds):
		return 0
	case !below(stage, g.o.UANEarlyEnds):
		most = g.o.UANLate
	}
	if g.s.Atrazine == Yes {
		most = min(most, g.o.UANAtrazine)
	}
	return most
}

// between puts stages into words: V6, V5 to V7.
func between(s Stages) string {
	if s.Low.String() == s.High.String() {
		return s.High.String()
	}
	return s.Low.String() + " to " + s.High.String()
}

// lateSidedress sets a sidedress against what the crop has taken up by then.
func (g guard) lateSidedress() (Warning, bool) {
	if season := g.season(); season == Spring || season == Fall {
		return silent()
	}
	w := Warning{
		Key:       LateSidedress,
		Level:     Note,
		Published: "5 to 11 % of the season's nitrogen is taken up by V6, about 31 points of it in the ten days from V10 to V14; in 28 trials waiting cost little yield up to V11 and about 3 % at V12 to V16",
		Practice:  "most nitrogen on by V4 to V6; nitrogen on the surface needs rain to reach the roots in time",
		Source:    "Karlen et al. 1987 and pages of seed companies to V6; Bender et al. 2013, Agron. J. 105:161-170; the shares between in part " + fromMemory + "; Scharf et al. 2002, Agron. J.; " + commonRule,
	}
	if g.s.Stage == nil {
		w.Unchecked = true
		return w.say("nitrogen for a standing crop: its stage is not known")
	}
	if below(g.s.Stage.High, g.o.LateFrom) {
		return silent()
	}
	low, high, err := g.o.Uptake.At(max(g.s.Stage.Low, growth.Emergence()), g.s.Stage.High)
	if err != nil {
		w.Unchecked = true
		return w.say(err.Error())
	}
	what := fmt.Sprintf("a sidedress at %s comes when the crop has taken up %.0f to %.0f %% of its nitrogen", between(*g.s.Stage), math.Floor(low), math.Ceil(high))
	if !below(g.s.Stage.High, g.o.LateHarm) {
		w.Level = Warn
		return w.say(what + ", and some yield is lost if it was short")
	}
	return w.say(what)
}
