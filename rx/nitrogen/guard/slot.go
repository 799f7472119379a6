package guard

import "fmt"

// injected tells whether the nitrogen goes below the surface by knife or coulter.
func (g guard) injected() bool { return g.s.Source.Ammonia || g.s.Placement == Injected }

// slot guards the closing of the slot behind the knife.
func (g guard) slot() (Warning, bool) {
	if !g.injected() {
		return silent()
	}
	w := Warning{
		Key:       Slot,
		Level:     Note,
		Published: "of ammonia in dry, cloddy soil more than 50 % can be lost; in wet soil the knife track does not seal and is a way out for the gas, and closing helps more than depth; the least loss is at 15 to 20 % moisture",
		Practice:  "closing discs or wings behind the knife; go back after a round, look and smell",
		Source:    "Kansas State Univ.; Univ. of Illinois Extension; " + commonRule,
	}
	switch {
	case !g.s.Source.Ammonia && g.s.SlotClosed == No && g.s.Source.UreaN > 0:
		w.Published = "injected UAN still lost about 5 % as ammonia"
		w.Practice = "close the slot, or the urea in it behaves as on the surface"
		w.Source = "Mäenpää & Hutchings 2025, J. Cleaner Prod. 147438; " + commonRule
		return w.say("the slot behind the coulter stays open")
	case !g.s.Source.Ammonia:
		return silent()
	case g.s.SlotClosed == No:
		w.Level = Warn
		return w.say("the slot behind the knife stays open and ammonia escapes")
	case g.s.SlotClosed == Unknown:
		w.Unchecked = true
		return w.say("whether the slot behind the knife closes is not known")
	case g.s.Moisture == Dry || g.s.Moisture == Wet:
		return w.say(fmt.Sprintf("the soil is %s, in which slots that looked closed let ammonia out", g.s.Moisture))
	}
	return silent()
}

// depthInGround asks for the depth to be measured in the ground.
func (g guard) depthInGround() (Warning, bool) {
	if !g.injected() || g.s.DepthChecked == Yes {
		return silent()
	}
	w := Warning{
		Key:      DepthInGround,
		Level:    Note,
		Practice: "dig across the slot behind several knives and measure, in each kind of ground and after each change of speed; knives behind wheels and on wings run at other depths than the gauge says",
		Source:   commonRule,
	}
	if g.s.DepthChecked == Unknown {
		w.Unchecked = true
		return w.say("whether the depth was measured in the ground is not known; a gauge tells where the bar is, not the nitrogen")
	}
	return w.say("the depth was not measured in the ground; a gauge tells where the bar is, not the nitrogen")
}
