package guard

import (
	"fmt"
	"math"

	"ratewright/geo/unit"
	"ratewright/rx/nitrogen/loss"
)

// beforePlanting tells whether ammonia goes on before planting in spring, or may.
func (g guard) beforePlanting() bool {
	season := g.season()
	return g.s.Source.Ammonia && (season == Spring || season == "")
}

// knives is the distance of the knives, or of the rows where that alone is known.
func (g guard) knives() (spacing *unit.Length, as string) {
	if g.s.InjectionSpacing != nil {
		return g.s.InjectionSpacing, "knives"
	}
	return g.s.RowSpacing, "rows, taken for that of the knives,"
}

// apart is the distance from the seed to the middle of the band; false where the depth
// is not known. Where the band lies sideways of the row is not known it is taken to lie
// below it.
func (g guard) apart() (unit.Length, bool) {
	if g.s.Depth == nil {
		return 0, false
	}
	beside := 0.0
	if g.s.Offset != nil {
		beside = g.s.Offset.Metres()
	}
	below := max((*g.s.Depth - g.o.SeedDepth).Metres(), 0)
	return unit.Metres(math.Hypot(below, beside)), true
}

// separate tells whether soil is known to keep seed and band apart.
func (g guard) separate() bool {
	d, known := g.apart()
	return known && (!below(d, g.o.Reach) || g.harmless())
}

// harmless tells whether the ammonia is known to lie as deep as none did harm.
func (g guard) harmless() bool { return g.s.Depth != nil && !below(*g.s.Depth, g.o.DepthSafe) }

// soon tells whether planting follows within so many days; unknown counts as soon.
func (g guard) soon(within int) bool {
	n, known := g.s.days()
	return !known || n < within
}

// ammoniaDepth guards the depth of ammonia by texture and moisture.
func (g guard) ammoniaDepth() (Warning, bool) {
	if !g.s.Source.Ammonia {
		return silent()
	}
	w := Warning{
		Key: AmmoniaDepth,
		Published: fmt.Sprintf("Illinois %s on fine and %s on coarse soil at the right moisture; Iowa %s, and more when dry; a knife at %s lost 1 to 2 %% on every texture, a disc at %s lost 3 to 7 %% on loam and clay loam and 21 to 52 %% on fine sandy loam",
			g.t.inches(depthFine), g.t.inches(depthCoarse), g.t.inchRange(7, 8), g.t.inches(6), g.t.inchRange(2, 4)),
		Practice: fmt.Sprintf("deeper than %s even in a wet spring; in wet soil more depth does not cure a slot that stays open", g.t.depth(g.o.DepthFloor)),
		Source:   "Univ. of Illinois Extension; Iowa State Univ. Extension; Texas A&M AgriLife Extension for dry soil; Hanna et al. 2004/2005, Iowa State Univ.; " + commonRule,
	}
	asked, of := g.o.DepthFine, "in "+g.s.Texture+" soil"
	switch {
	case g.s.Texture == "coarse":
		asked = g.o.DepthCoarse
	case g.s.Texture == "":
		of = "in fine soil"
	}
	if g.s.Moisture == Dry && g.o.DepthDry > asked {
		asked, of = g.o.DepthDry, "in dry soil"
	}
	if g.s.Depth == nil {
		w.Unchecked = true
		return w.say(fmt.Sprintf("the depth of the ammonia is not known; %s is asked for %s", g.t.depth(asked), of))
	}
	enough := asked - g.o.DepthAbout
	switch {
	case below(*g.s.Depth, g.o.DepthFloor):
		w.Level = Warn
		depth, floor := g.t.depths(*g.s.Depth, g.o.DepthFloor)
		return w.say(fmt.Sprintf("ammonia at %s is shallower than the least depth of practice, %s; %s is asked for %s", depth, floor, g.t.depth(asked), of))
	case below(*g.s.Depth, enough):
		w.Level = Note
		depth, deep := g.t.depths(*g.s.Depth, asked)
		return w.say(fmt.Sprintf("ammonia at %s is shallower than the %s asked for %s", depth, deep, of))
	case g.s.Texture == "" && below(*g.s.Depth, g.o.DepthCoarse-g.o.DepthAbout):
		w.Unchecked = true
		depth, deep := g.t.depths(*g.s.Depth, g.o.DepthCoarse)
		return w.say(fmt.Sprintf("the texture of the soil is not known; %s is enough in fine soil and not in coarse, where %s is asked for", depth, deep))
	}
	return silent()
}

// ammoniaBand guards the seed against ammonia in the band below or beside it.
func (g guard) ammoniaBand() (Warning, bool) {
	if !g.beforePlanting() || !g.soon(g.o.GoneDays) {
		return silent()
	}
	w := Warning{
		Key: AmmoniaBand,
		Published: fmt.Sprintf("corn was held back at %d ppm and hardly came up at %d ppm in the laboratory; in the field stands fell above about %d ppm near the seed, most with ammonia at %s right before planting; at %s there was next to no injury at any rate or time",
			germinationPPM, stoppedPPM, int(warnPPM), g.t.inches(4), g.t.inches(10)),
		Practice: "depth first, then waiting; and no second pass over the same ground",
		Source:   colliver + "; zone of the band from Iowa State Univ., ppm by geometry",
	}
	spacing, as := g.knives()
	_, planting := g.s.days()
	lacks := missing(map[string]bool{"the depth": g.s.Depth != nil, "the distance of the knives": spacing != nil, "the time to planting": planting})
	if spacing == nil {
		w.Unchecked = true
		return w.say("ammonia near the seed: " + lacks)
	}
	mean, err := loss.BandPPM(g.s.N, *spacing, g.o.ZoneRadius, unit.KgPerLitre(g.o.SoilDensity/1000))
	if err != nil { // knives closer than the band is wide
		w.Unchecked = true
		return w.say("ammonia near the seed: " + err.Error())
	}
	if below(mean, g.o.NotePPM) {
		return silent()
	}
	what := fmt.Sprintf("%s at %s between %s makes %s in a band of %s around the knife, more in its core, and %s where passes double",
		g.t.rate(g.s.N), g.t.depth(*spacing), as, ppm(mean), g.t.depth(g.o.ZoneRadius), ppm(2*mean))
	if lacks != "" {
		if g.harmless() {
			return silent()
		}
		w.Unchecked = true
		return w.say(what + "; whether it reaches the seed cannot be told, for " + lacks)
	}
	apart, _ := g.apart()
	w.Level = g.bandLevel(mean)
	if w.Level < Note {
		return silent()
	}
	n, _ := g.s.days()
	return w.say(fmt.Sprintf("%s; planting follows %s, with the middle of the band %s from the seed", what, after(n), g.t.depth(apart)))
}

// bandLevel is by ppm, less where soil or time keeps seed and ammonia apart.
func (g guard) bandLevel(mean unit.PPM) Level {
	level := Note
	if !below(mean, g.o.WarnPPM) {
		level = Warn
	}
	if g.separate() {
		level--
	}
	if !g.soon(g.o.HelpDays) {
		level--
	}
	if g.harmless() {
		return 0
	}
	return level
}

// ammoniaRate asks for less at once where planting follows soon.
func (g guard) ammoniaRate() (Warning, bool) {
	if !g.beforePlanting() || !g.soon(g.o.WaitLongDays) || !above(g.s.N, g.o.GentleRate) || g.harmless() {
		return silent()
	}
	w := Warning{
		Key:   AmmoniaRate,
		Level: Note,
		Published: fmt.Sprintf("%s cost no stand with ammonia at %s, %s or %s and planting on the day or later, and twice that cost much at %s; a shallow opener hurt stands at %s and more before planting, a knife at none",
			g.t.rate(unit.LbNPerAcre(gentleRate)), g.t.inches(4), g.t.inches(7), g.t.inches(10), g.t.inches(4), g.t.rate(unit.KgNPerHa(harmRate))),
		Practice: "with planting soon, apply less now and the rest beside the rows later",
		Source:   colliver + ", as told by Iowa State Univ. Extension 2009; Woli et al. 2014, Agron. J.; " + commonRule,
	}
	n, known := g.s.days()
	if !known {
		w.Unchecked = true
		return w.say(fmt.Sprintf("%s of ammonia at once: the time to planting is not known", g.t.rate(g.s.N)))
	}
	if !below(g.s.N, g.o.HarmRate) && !g.separate() {
		w.Level = Warn
	}
	return w.say(fmt.Sprintf("%s of ammonia go %s; a lower rate now and a split would keep the seed safer", g.t.rate(g.s.N), ahead(n)))
}

// ammoniaWait guards the days from ammonia to planting.
func (g guard) ammoniaWait() (Warning, bool) {
	if !g.beforePlanting() || !g.soon(g.o.WaitLongDays) {
		return silent()
	}
	w := Warning{
		Key:       AmmoniaWait,
		Level:     Note,
		Published: fmt.Sprintf("Missouri waits %d to %d days; Iowa has no set number and plants the same day where soil separates seed and ammonia; waiting 1 to 2 weeks helped less than depth", waitDays, waitLongDays),
		Practice:  "wait longer after a high rate, a shallow slot or dry soil",
		Source:    "Univ. of Missouri Extension; Iowa State Univ. Extension; " + colliver,
	}
	n, known := g.s.days()
	if !known {
		w.Unchecked = true
		return w.say("the days from ammonia to planting are not known")
	}
	if n < g.o.WaitDays && !g.separate() {
		w.Level = Warn
		return w.say(fmt.Sprintf("planting follows ammonia %s, and soil is not known to separate them", after(n)))
	}
	return w.say(fmt.Sprintf("planting follows ammonia %s", after(n)))
}

// ammoniaAngle asks for bands across the rows to come; never after planting.
func (g guard) ammoniaAngle() (Warning, bool) {
	if !g.beforePlanting() || !g.soon(g.o.GoneDays) || g.s.Offset != nil && !below(*g.s.Offset, g.o.LeastOffset) {
		return silent()
	}
	w := Warning{
		Key:       AmmoniaAngle,
		Level:     Note,
		Published: fmt.Sprintf("keep rows %s off the bands by guidance, or run at an angle, so that no row stands on a band over its length", g.t.inchRange(leastOffset, 6)),
		Practice:  "across the rows to come, before planting only; between rows that stand it is not for this",
		Source:    "Iowa State Univ. Extension; " + commonRule,
	}
	if g.s.AngleDeg == nil {
		w.Unchecked = true
		return w.say("the angle between the bands of ammonia and the rows to come is not known")
	}
	if a := folded(*g.s.AngleDeg); below(a, g.o.LeastAngleDeg) {
		return w.say(fmt.Sprintf("the bands of ammonia run along the rows to come (%s degrees), so that a row may stand on a band over its length", plain(a, 0)))
	}
	return silent()
}

// folded is an angle between two lines, from 0 to 90 degrees.
func folded(deg float64) float64 {
	a := math.Mod(math.Abs(deg), 180)
	return min(a, 180-a)
}
