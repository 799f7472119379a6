package guard

import (
	"fmt"

	"ratewright/geo/unit"
)

// inGround tells whether the nitrogen lies below the surface.
func (g guard) inGround() bool { return g.s.Placement == Injected || g.s.Placement == Incorporated }

// barelyBelow tells whether it lies so little below it that this keeps no ammonia.
func (g guard) barelyBelow() bool {
	return g.inGround() && g.s.Depth != nil && !above(*g.s.Depth, g.o.ShallowMix)
}

// onSurface tells whether urea stays on the surface. The forms of nitrogen may not be
// known.
func (g guard) onSurface() (urea, known bool) {
	src := g.s.Source
	if src.Ammonia || g.inGround() && !g.barelyBelow() {
		return false, true
	}
	if src.UreaN+src.AmmoniumN+src.NitrateN == 0 {
		return true, false
	}
	return src.UreaN > 0, g.s.Placement != ""
}

// slowed tells whether a urease inhibitor is known to be there.
func (g guard) slowed() bool { return g.s.Inhibitor == Urease || g.s.Inhibitor == Both }

// window is within how many days rain must come.
func (g guard) window() int {
	if g.slowed() {
		return g.o.RainWindowInhibited
	}
	return g.o.RainWindow
}

// inSight is the rain within the window, mm, as far as anybody sees: within so many
// days. None where nothing is told.
func (g guard) inSight() (mm float64, within int) {
	within = min(g.window(), len(g.s.RainMM))
	for _, v := range g.s.RainMM[:within] {
		mm += v
	}
	return mm, within
}

// until tells of the trip that works the nitrogen in.
func (g guard) until() string {
	if g.s.WorkedIn == nil {
		return ""
	}
	return fmt.Sprintf(" until it is worked in %s later", days(*g.s.WorkedIn))
}

// surfaceUrea guards urea and UAN on high residue.
func (g guard) surfaceUrea() (Warning, bool) {
	urea, known := g.onSurface()
	mm, within := g.inSight()
	rainKnown := within > 0
	if !urea || rainKnown && !below(mm, g.o.RainMostMM) || g.s.Residue != nil && below(*g.s.Residue, g.o.HighResidue) {
		return silent()
	}
	other := "inject or dribble"
	if g.s.Placement == SurfaceBand {
		other = "inject"
	}
	w := Warning{
		Key:       SurfaceUrea,
		Level:     Note,
		Published: "in no-till corn urea lost 30 %, sprayed UAN 16 % and dribbled UAN 13 % of the nitrogen; undisturbed soil had 4.2 times the urease of ploughed soil and lost 21 % against 4 %; a urease inhibitor about halves the loss (31 to 15 %)",
		Practice:  other + ", add a urease inhibitor, or go ahead of rain; half of the loss of urea is to be expected of UAN",
		Source:    "Fox, Piekielek & Macneal 1996, Soil Sci. Soc. Am. J. 60 (citation " + fromMemory + "); Rochette et al. 2009 (citation " + fromMemory + "); Silva et al. 2017, Agron. J.; Iowa State Univ. ICM 2018; " + commonRule,
	}
	lacks := missing(map[string]bool{
		"the residue cover": g.s.Residue != nil, "the rain of the coming days": rainKnown,
		"how the nitrogen is bound or placed": known, "whether an inhibitor goes with it": g.s.Inhibitor != "",
	})
	if lacks != "" {
		w.Unchecked = true
		return w.say("urea on residue: " + lacks)
	}
	lies := "stays on a surface"
	if g.barelyBelow() {
		lies = fmt.Sprintf("lies %s deep, no better than on a surface", g.t.shallow(*g.s.Depth))
		w.Published += fmt.Sprintf("; mixed into the top %s it lost about as much as on top", g.t.shallow(unit.Inches(shallowMix)))
		w.Source = "Ernst & Massey 1960; " + w.Source
	}
	what := fmt.Sprintf("urea %s with %s of residue cover%s, with %s of rain in sight within %s", lies, percent(*g.s.Residue), g.until(), g.t.rain(mm), days(within))
	if g.slowed() {
		if !below(mm, g.o.RainSomeMM) {
			return silent()
		}
		return w.say(what + "; the inhibitor holds it for a time only")
	}
	if below(mm, g.o.RainSomeMM) && (g.s.WorkedIn == nil || *g.s.WorkedIn > g.o.RainWindow) {
		w.Level = Warn
	}
	what += " and no urease inhibitor"
	if g.s.Inhibitor == Nitrification {
		w.Published += "; a nitrification inhibitor alone raised the loss of ammonia by 36 %"
		w.Source += "; Wu et al. 2021, Environ. Pollut. 271:116365"
	}
	return w.say(what)
}

// rainAfterUrea says what rain does for urea on the surface, the published figures
// before the rule of practice.
func (g guard) rainAfterUrea() (Warning, bool) {
	urea, known := g.onSurface()
	mm, within := g.inSight()
	rainKnown := within > 0
	if !urea || rainKnown && !below(mm, g.o.RainPracticeMM) {
		return silent()
	}
	w := Warning{
		Key:   RainAfterUrea,
		Level: Note,
		Published: fmt.Sprintf("%s right after urea cut the loss by 71 %%, %s by 90 %%; Iowa asks for %s within about two days; on dry soil repeated light rain lost more (39 %%) than none (33 %%)",
			g.t.rain(rainSome), g.t.rain(rainMost), g.t.rainRange(0.25, 0.5)),
		Practice: fmt.Sprintf("about %s to wash it in; about 2 days to a loss of 10 %% from bare urea when warm, about 11 with an inhibitor", g.t.rain(g.o.RainPracticeMM)),
		Source:   volatilized + "; " + commonRule,
	}
	switch {
	case !rainKnown:
		w.Unchecked = true
		return w.say("urea on the surface: the rain of the coming days is not known")
	case !known:
		w.Unchecked = true
		return w.say("urea on the surface: how the nitrogen is bound or placed is not known")
	case mm <= 0:
		return w.say(fmt.Sprintf("no rain is in sight within %s to wash the urea in%s", days(within), g.until()))
	}
	return w.say(fmt.Sprintf("%s of rain are in sight within %s to wash the urea in%s", g.t.rain(mm), days(within), g.until()))
}
