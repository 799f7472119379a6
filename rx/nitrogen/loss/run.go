package loss

import (
	"math"

	"ratewright/rx/nitrogen/water"
)

// cohort is the nitrate that formed between two days of drainage, with the water that
// had drained by then (mm).
type cohort struct{ drainedMM, all, cleared float64 }

// ground is the course on its way, in shares: first of everything, then of what was
// cleared from the surface.
type ground struct {
	urea, ammonia        float64 // on the surface
	soilUrea             float64
	ammonium, clearedNH4 float64
	drainedMM            float64
	turned, lag          float64 // sum of nitrification's rates so far, and what of it passes before any turns
	kept                 float64 // share of phi that tillage leaves
	frontMM              float64 // water that drains until the front is below the roots
	granular             bool
	stays                float64 // share of the surface's ammonium that a day leaves
	hydrolysis           float64 // per day at 0 °C on a moist surface
	slowed               float64 // hydrolysis in soil, relative to none inhibited
}

func (s *Shape) run(a Application, season *water.Season, days []water.State) {
	c := &s.c
	g := s.start(a, season)
	s.rows, s.cohorts = grown(s.rows, len(days)), s.cohorts[:0]
	_, _, nitrate := shares(a.Source)
	s.cohorts = append(s.cohorts, cohort{all: nitrate})
	tillage := -1
	if a.Tillage != nil {
		tillage = number(a.Tillage.Date) - number(a.Date)
	}
	total := row{nitrate: nitrate}
	fine := season.Soil.Group != coarse
	for i := range days {
		d := &days[i]
		if i == tillage {
			g.kept = c.depthFactor(100 * a.Tillage.Depth.Metres())
		}
		c.surface(&g, &total, d, i)
		s.nitrify(&g, &total, d, season)
		if fine {
			s.denitrify(&total, d)
		}
		if d.DrainedMM > 0 {
			s.leach(&g, &total, d.DrainedMM)
		}
		total.urea, total.ammonium, total.clearedAmmonium = g.urea+g.soilUrea, g.ammonia+g.ammonium, g.clearedNH4
		s.rows[i] = total
	}
}

func grown(rows []row, n int) []row {
	if cap(rows) < n {
		return make([]row, n)
	}
	return rows[:n]
}

// start splits the nitrogen.
func (s *Shape) start(a Application, season *water.Season) ground {
	c := &s.c
	urea, ammonium, _ := shares(a.Source)
	g := ground{urea: urea, ammonia: ammonium, kept: 1, granular: granular(a.Source), slowed: 1, stays: math.Exp(-c.Clearing)}
	switch {
	case a.Inhibitor == Urease:
		g.hydrolysis = c.HydrolysisUrease
	case a.Inhibitor == UreaseAndNitrification:
		g.hydrolysis = c.HydrolysisBoth
	default:
		g.hydrolysis = c.Hydrolysis
	}
	if c.Hydrolysis > 0 {
		g.slowed = g.hydrolysis / c.Hydrolysis
	}
	if a.Source.Ammonia {
		g.ammonium, g.ammonia = ammonium, 0
		g.lag = c.LagAmmonia
		if a.Inhibitor.ofNitrification() {
			g.lag += c.LagInhibitorAmmonia
		}
	} else if a.Inhibitor.ofNitrification() {
		g.lag = c.LagInhibitor
	}
	front := c.FrontFactor
	if season.Soil.Group == coarse {
		front *= c.FrontCoarse
	}
	g.frontMM = 1000 * c.RootDepth * season.AvailableShare / front
	return g
}

// surface takes a day's water, hydrolysis and clearing from the surface.
func (c *Coefficients) surface(g *ground, total *row, d *water.State, day int) {
	if d.ArrivedMM > 0 {
		stays := math.Exp(-c.WashUrea * d.ArrivedMM)
		g.soilUrea += g.urea * (1 - stays)
		g.urea *= stays
		stays = math.Exp(-c.WashAmmonia * d.ArrivedMM)
		g.ammonium += g.ammonia * (1 - stays)
		g.ammonia *= stays
	}
	if g.urea+g.ammonia == 0 {
		return
	}
	kh := 0.0
	if !g.granular || float64(day) >= c.GranularLag {
		kh = g.hydrolysis * math.Exp(c.HydrolysisPerDegree*d.SoilC) * (c.DryShare + (1-c.DryShare)*d.Surface)
	}
	eh := math.Exp(-kh)
	urea, ammonia := g.urea*eh, g.ammonia*g.stays+g.urea*made(kh, c.Clearing, eh, g.stays)
	cleared := max(0, g.urea+g.ammonia-urea-ammonia) // rounding may leave less than nothing
	g.urea, g.ammonia = urea, ammonia
	total.cleared += g.kept * cleared
	g.ammonium += cleared
	g.clearedNH4 += g.kept * cleared
}

// made is the ammonium on the surface at the end of a day, per urea at its start:
// hydrolysed at a rate kh, cleared at kc; eh and ec are the shares that escape either.
func made(kh, kc, eh, ec float64) float64 {
	if math.Abs(kc-kh) < 1e-6 {
		return kh * math.Exp(-(kh+kc)/2) // the limit where the two rates are the same
	}
	return kh / (kc - kh) * (eh - ec)
}

// nitrify turns a day's urea in the soil into ammonium, and ammonium into nitrate.
func (s *Shape) nitrify(g *ground, total *row, d *water.State, season *water.Season) {
	c := &s.c
	if g.soilUrea > 0 {
		moist := (d.SoilMM-season.WiltingMM)/(season.CapacityMM-season.WiltingMM) + c.SoilOffset
		warm := d.SoilC*c.SoilPerDegree + c.SoilOffset
		stays := math.Exp(-g.slowed * c.SoilHydrolysis * min(1, max(0, min(moist, warm))))
		g.ammonium += g.soilUrea * (1 - stays)
		g.soilUrea *= stays
	}
	before := max(0, g.turned-g.lag)
	g.turned += c.nitrification(d.SoilC)
	k := max(0, g.turned-g.lag) - before
	if k <= 0 {
		return
	}
	turns := -math.Expm1(-k)
	all, cleared := g.ammonium*turns, g.clearedNH4*turns
	g.ammonium -= all
	g.clearedNH4 -= cleared
	total.nitrate += all
	total.clearedNitrate += cleared
	last := &s.cohorts[len(s.cohorts)-1]
	last.all += all
	last.cleared += cleared
}

// nitrification is the share of ammonium that turns in a short time, per day.
//
// Source: Parton et al. 1996, Glob. Biogeochem. Cycles (temperature), times a rate
// fitted to Tiessen et al. 2003; below 3 °C the half-time of Tiessen et al., none when
// frozen.
func (c *Coefficients) nitrification(soilC float64) float64 {
	switch {
	case soilC <= 0:
		return 0
	case soilC < c.ColdBelow:
		return c.NitrificationCold
	}
	return c.Nitrification * max(0, c.NitrificationA+c.NitrificationB*math.Exp(c.NitrificationPerDegree*soilC))
}

// denitrify takes a saturated day's share of the nitrate.
func (s *Shape) denitrify(total *row, d *water.State) {
	c := &s.c
	if float64(d.WetDays) <= c.SaturatedFirst {
		return
	}
	share := c.denitrification(d.SoilC)
	if share == 0 {
		return
	}
	total.denitrified += share * total.nitrate
	total.clearedDenitrified += share * total.clearedNitrate
	total.nitrate -= share * total.nitrate
	total.clearedNitrate -= share * total.clearedNitrate
	for i := range s.cohorts {
		s.cohorts[i].all *= 1 - share
		s.cohorts[i].cleared *= 1 - share
	}
}

// denitrification is the share of nitrate that a saturated day takes at a temperature
// of the soil.
//
// Source: Illinois-based extension: 2 to 3 % at 55 to 65 °F, 4 to 5 % above; the cool
// class is ours.
func (c *Coefficients) denitrification(soilC float64) float64 {
	switch {
	case soilC < c.CoolFrom:
		return 0
	case soilC < c.MildFrom:
		return c.DenitrifiedCool
	case soilC <= c.WarmAbove:
		return c.DenitrifiedMild
	}
	return c.DenitrifiedWarm
}

// leach moves the nitrate down with the day's drained water. Each cohort lies evenly
// from the surface to its front; what is below the roots is lost.
//
// Source: Univ. of Nebraska 2013 (the front lies as deep as the water divided by what
// the soil holds per depth); Univ. of Minnesota, Waseca (6 in per inch drained, up to
// 12 in coarse soil).
func (s *Shape) leach(g *ground, total *row, drainedMM float64) {
	before := g.drainedMM
	g.drainedMM += drainedMM
	for i := range s.cohorts {
		c := &s.cohorts[i]
		passed := g.drainedMM - c.drainedMM
		if passed <= g.frontMM {
			break // younger ones are higher still
		}
		// above the roots' end: frontMM / passed, today over yesterday
		share := 1 - max(g.frontMM, before-c.drainedMM)/passed
		all, cleared := c.all*share, c.cleared*share
		c.all -= all
		c.cleared -= cleared
		total.nitrate -= all
		total.clearedNitrate -= cleared
		total.leached += all
		total.clearedLeached += cleared
	}
	s.cohorts = append(s.cohorts, cohort{drainedMM: g.drainedMM})
}
