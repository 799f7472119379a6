package guard

import (
	"slices"
	"strings"

	"ratewright/geo/unit"
	"ratewright/rx/nitrogen/growth"
)

// Level is how much a warning matters.
type Level int

// Note: know it. Warn: harm or loss is likely unless something changes.
const (
	Note Level = iota + 1
	Warn
)

// String is the word for a level: note or warn.
func (l Level) String() string {
	switch l {
	case Note:
		return "note"
	case Warn:
		return "warn"
	}
	return "none"
}

// Warning is what a guard says.
type Warning struct {
	Key       string // one of Keys
	Level     Level
	Words     string // all of it, as it can stand in a report
	Published string // the published figures; empty where there are none
	Practice  string // the rule of practice
	Source    string
	Defer     string // who decides
	Unchecked bool   // something that the guard needs is not known
}

// The keys of the warnings.
const (
	AmmoniaDepth    = "ammonia-depth"
	AmmoniaBand     = "ammonia-band"
	AmmoniaRate     = "ammonia-rate"
	AmmoniaWait     = "ammonia-wait"
	AmmoniaAngle    = "ammonia-angle"
	AmmoniaCare     = "ammonia-care"
	Slot            = "slot"
	DepthInGround   = "depth-in-ground"
	SurfaceUrea     = "surface-urea"
	RainAfterUrea   = "rain-after-urea"
	UANOverCorn     = "uan-over-corn"
	LateSidedress   = "late-sidedress"
	FallAmmonia     = "fall-ammonia"
	FallCoarse      = "fall-coarse"
	SecurityProduct = "security-product"
)

// Keys lists the keys of all warnings in the order in which they come.
func Keys() []string {
	return []string{
		AmmoniaDepth, AmmoniaBand, AmmoniaRate, AmmoniaWait, AmmoniaAngle, Slot, DepthInGround,
		SurfaceUrea, RainAfterUrea, UANOverCorn, LateSidedress, FallAmmonia, FallCoarse, SecurityProduct, AmmoniaCare,
	}
}

const (
	deferAll    = "The product label, state and local rules and licensed practice decide."
	commonRule  = "common practice"
	fromMemory  = "from memory"
	notKnown    = "not checked: "
	colliver    = "Colliver & Welch 1970, Agron. J. 62"
	iowaDamage  = "Iowa State Univ. ICM, 24 May 1999 and 14 May 2001"
	volatilized = "Holcomb et al. 2011, Soil Sci. Soc. Am. J.; Black, Sherlock & Smith 1987, J. Soil Sci.; Iowa State Univ. ICM"
)

// guard looks at one situation.
type guard struct {
	s Situation
	o Options
	t text
}

// Check lists the warnings about an application, in the order of Keys, with figures in
// the units of u. An application of no nitrogen has none. It is an error where a
// quantity or a word of the situation cannot be, or thresholds are out of order.
func Check(s Situation, o Options, u unit.System) ([]Warning, error) {
	if err := o.check(); err != nil {
		return nil, err
	}
	if err := s.check(); err != nil {
		return nil, err
	}
	if s.N <= 0 {
		return nil, nil
	}
	g := guard{s, o, text{u}}
	var list []Warning
	for _, look := range []func() (Warning, bool){
		g.ammoniaDepth, g.ammoniaBand, g.ammoniaRate, g.ammoniaWait, g.ammoniaAngle, g.slot, g.depthInGround,
		g.surfaceUrea, g.rainAfterUrea, g.uanOverCorn, g.lateSidedress, g.fallAmmonia, g.fallCoarse, g.securityProduct, g.ammoniaCare,
	} {
		if w, ok := look(); ok {
			list = append(list, w)
		}
	}
	return list, nil
}

// season is that of the application by crop, dates and what is said, in this order; a
// planned date is one of fall where planting is more than FallDays away.
func (g guard) season() Season {
	n, known := g.s.days()
	switch {
	case g.s.Stage != nil && g.s.Stage.High >= growth.Emergence(), known && n < 0:
		return Sidedress
	case g.s.Season != "":
		return g.s.Season
	case known && n > g.o.FallDays:
		return Fall
	case known:
		return Spring
	}
	return ""
}

// say makes a warning with its whole text, of which what comes first.
func (w Warning) say(what string) (Warning, bool) {
	if w.Defer == "" {
		w.Defer = deferAll
	}
	if w.Unchecked {
		w.Level = Note
		what = notKnown + what
	}
	parts := []string{upper(what) + "."}
	if w.Published != "" {
		parts = append(parts, "Published: "+w.Published+".")
	}
	if w.Practice != "" {
		parts = append(parts, "Practice: "+w.Practice+".")
	}
	w.Words = strings.Join(append(parts, "Source: "+w.Source+".", w.Defer), " ")
	return w, true
}

// above and below tell whether a figure passes a bound by more than rounding does: nine
// steps of 10 lb/ac are 90 lb/ac.
func above[T ~float64](v, bound T) bool { return v > bound+slack(bound) }

func below[T ~float64](v, bound T) bool { return v < bound-slack(bound) }

func slack[T ~float64](bound T) T { return 1e-9 * max(1, bound) }

// silent is no warning.
func silent() (Warning, bool) { return Warning{}, false }

// missing lists what is not known of what a guard needs; empty where all is.
func missing(known map[string]bool) string {
	var names []string
	for name, is := range known {
		if !is {
			names = append(names, name)
		}
	}
	slices.Sort(names)
	switch len(names) {
	case 0:
		return ""
	case 1:
		return names[0] + " is not known"
	}
	last := len(names) - 1
	return strings.Join(names[:last], ", ") + " and " + names[last] + " are not known"
}

func upper(s string) string { return strings.ToUpper(s[:1]) + s[1:] }
