package loss

import (
	"math"

	"ratewright/geo/unit"
	"ratewright/rx/nitrogen"
)

// group is a group of sources in the mixed model.
type group int

const (
	ureaGroup group = iota
	uanGroup
	sulfateGroup // ammonium+1: mainly ammonium sulfate
	nitrateGroup // ammonium+2: mainly ammonium nitrate
)

// groupOf is the group of a source by how its nitrogen is bound: urea from three
// quarters of urea on, UAN from a fifth, else ammonium nitrate from a quarter of
// nitrate, else ammonium sulfate. The limits are ours, for blends.
func groupOf(s nitrogen.Source) group {
	urea, _, nitrate := shares(s)
	switch {
	case urea >= 0.75:
		return ureaGroup
	case urea >= 0.2:
		return uanGroup
	case nitrate >= 0.25:
		return nitrateGroup
	}
	return sulfateGroup
}

// shares are the parts of a source's nitrogen as urea, ammonium and nitrate; they sum
// to 1.
func shares(s nitrogen.Source) (urea, ammonium, nitrate float64) {
	all := s.UreaN + s.AmmoniumN + s.NitrateN
	urea, nitrate = s.UreaN/all, s.NitrateN/all
	return urea, max(0, 1-urea-nitrate), nitrate
}

// granular tells whether the urea of a source must first dissolve. Dry products have
// no density here, or one below that of any solution.
func granular(s nitrogen.Source) bool {
	const lightest = 1.05 // kg/L
	return groupOf(s) == ureaGroup && !(s.HasDensity && s.Density.KgPerLitre() >= lightest)
}

// root is the mixed model on its scale, the square root of percent plus 4, for the
// broadcast source.
func (c *Coefficients) root(g group, highPH bool, rateKgHa, meanC float64) float64 {
	s := c.MixedBase + c.StudyShift + c.MixedPerKg*min(max(rateKgHa, c.LeastRate), c.MostRate) + c.MixedPerDegree*min(max(meanC, 0), c.Warmest)
	if highPH {
		s += c.HighPH
	}
	switch g {
	case uanGroup:
		s += c.UAN
		if highPH {
			s += c.HighPHUAN
		}
	case sulfateGroup:
		s += c.Sulfate
		if highPH {
			s += c.HighPHSulfate
		}
	case nitrateGroup:
		s += c.Nitrate
		if highPH {
			s += c.HighPHNitrate
		}
	}
	return s
}

// percent takes a value off the model's scale; below 2 there is no loss.
func percent(root float64) float64 {
	root = max(root, 2)
	return root*root - 4
}

// Potential is the share of the nitrogen that an application may lose as ammonia
// where nothing hinders it: no rain, a moist surface. meanC is the mean temperature of
// the air over the first ten days, held between 0 and 30 °C, as the rate is between 20
// and 250 kg N/ha. It is an error where the application, the site or a number cannot be.
//
// Source: Maenpaa & Hutchings 2025, J. Cleaner Prod., doi 10.1016/j.jclepro.2025.147438
// (broadcast, micrometeorological), times factors of residue, depth, band and
// inhibitor, each named at its constant.
func (c Coefficients) Potential(a Application, site Site, rate unit.NRate, meanC float64) (float64, error) {
	if err := c.check(); err != nil {
		return 0, err
	}
	if err := a.Check(); err != nil {
		return 0, err
	}
	if err := checkAt(site, rate); err != nil {
		return 0, err
	}
	if !finite(meanC) {
		return 0, errNoTemperature
	}
	k := c.kindOf(a)
	return c.potential(&k, site, rate.KgNPerHa(), meanC), nil
}

// kind is what the potential loss needs of an application.
type kind struct {
	group     group
	placement Placement
	ammonia   bool
	depth     float64 // factor of depth
	inhibitor float64 // factor of inhibitor
}

func (c *Coefficients) kindOf(a Application) kind {
	k := kind{group: groupOf(a.Source), placement: a.Placement, ammonia: a.Source.Ammonia, depth: c.depthFactor(100 * a.Depth.Metres()), inhibitor: 1}
	switch urea := k.group == ureaGroup || k.group == uanGroup; {
	case a.Inhibitor == UreaseAndNitrification && urea:
		k.inhibitor = c.UreaseFactor * c.NitrificationFactor
	case a.Inhibitor == Urease && urea:
		k.inhibitor = c.UreaseFactor
	case a.Inhibitor.ofNitrification():
		k.inhibitor = c.NitrificationFactor
	}
	return k
}

func (c *Coefficients) potential(k *kind, site Site, rateKgHa, meanC float64) float64 {
	if k.ammonia {
		return 0 // closed slots hold it; what is lost at injection is another figure
	}
	broadcast := c.root(k.group, site.PH > c.HighPHFrom, rateKgHa, meanC)
	root := broadcast
	if k.group == uanGroup {
		root += c.Liquid
	}
	p := percent(root) / 100 * k.depth
	switch {
	case k.placement == Injected:
		p = max(p, c.InjectedFloor*percent(broadcast+c.InjectedTerm)/100)
	case k.placement.onSurface() && (k.group == ureaGroup || k.group == uanGroup):
		p *= 1 + c.ResidueGain*site.Cover
	}
	if k.placement == Dribbled && k.group == uanGroup {
		p *= c.BandFactor
	}
	return p * k.inhibitor
}

// depthFactor is the share of the surface loss that is left at a depth.
//
// Source: Rochette et al. 2011, banded urea: 50, 37, 7 and no percent lost at 0, 2.5, 5
// and 7.5 cm; straight lines between. DepthShift is added below the surface.
func (c *Coefficients) depthFactor(cm float64) float64 {
	if cm <= 0 {
		return 1
	}
	f := 0.0
	switch {
	case cm < c.DepthNear:
		f = 1 + (c.FactorNear-1)*cm/c.DepthNear
	case cm < c.DepthMiddle:
		f = c.FactorNear + (c.FactorMiddle-c.FactorNear)*(cm-c.DepthNear)/(c.DepthMiddle-c.DepthNear)
	case cm < c.DepthNone:
		f = c.FactorMiddle * (c.DepthNone - cm) / (c.DepthNone - c.DepthMiddle)
	}
	return min(1, max(0, f+c.DepthShift))
}

// InjectionLoss is the share of anhydrous ammonia that is lost on the way into the
// ground at a depth, in a slot that closes: one that stays open may lose more than
// half, which is not reckoned here.
//
// Source: Hanna, Boyd, Baker & Colvin 2004/2005 (Iowa State Univ., USDA-ARS): 1 to 2 %
// with a knife at 15 cm on every texture; 3 to 7 % with a disc at 5 to 10 cm in loams
// and clay loams, 21 to 52 % in fine sandy loam. The ends of the ranges are given to
// the depths by us.
func (c Coefficients) InjectionLoss(depth unit.Length, coarse bool) float64 {
	at5, at10, at15 := c.InjectionFine5, c.InjectionFine10, c.InjectionDeep
	if coarse {
		at5, at10 = c.InjectionCoarse5, c.InjectionCoarse10
	}
	cm := 100 * depth.Metres()
	share := 0.0
	switch {
	case !(cm > 5):
		share = at5
	case cm < 10:
		share = at5 + (at10-at5)*(cm-5)/5
	case cm < 15:
		share = at10 + (at15-at10)*(cm-10)/5
	default:
		share = at15
	}
	return min(1, share*c.InjectionScale)
}

// tieUp is what residue holds of an application from the fortieth day on, kg N/ha.
func (c *Coefficients) tieUp(p Placement, site Site) float64 {
	residue := site.ResidueKgHa
	if residue == 0 && site.Cover > 0 {
		const mostCover = 0.98 // the relation has no end at full cover
		residue = 1000 * -math.Log(1-min(site.Cover, mostCover)) / c.CoverPerMass
	}
	share := c.TieUpBroadcast
	switch p {
	case Dribbled:
		share = c.TieUpBand
	case Injected:
		share = c.TieUpBelow
	}
	if site.Part > 0 {
		share *= site.Part
	}
	return c.TieUpScale * share * residue * c.Decomposed * max(0, c.MicrobesNeed-c.ResidueHolds)
}
