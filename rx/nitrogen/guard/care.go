package guard

import "fmt"

// fallAmmonia guards ammonia in fall against warm soil.
func (g guard) fallAmmonia() (Warning, bool) {
	season := g.season()
	if !g.s.Source.Ammonia || season == Spring || season == Sidedress {
		return silent()
	}
	w := Warning{
		Key:       FallAmmonia,
		Level:     Note,
		Published: fmt.Sprintf("wait until the soil at %s is below %s and falling; Iowa's long-term dates are the first week of November in the north and the second to third week elsewhere; 68 to 86 %% of fall ammonia was nitrate by mid-May in Wisconsin", g.t.inches(4), g.t.warmth(celsius(fallSoil))),
		Practice:  "only ammonia, and with a nitrification inhibitor; look at the forecast of the coming week and not at one cold night",
		Source:    "Iowa State Univ. ICM, 17 October 2012; Iowa, Minnesota and Kansas advice; Agron. J. 67:33-37, 1975; " + commonRule,
		Defer:     "State rules on nitrogen in fall, the product label and licensed practice decide.",
	}
	if g.s.SoilC == nil {
		w.Unchecked = true
		return w.say(fmt.Sprintf("fall ammonia: the temperature of the soil is not known; %s is the bound", g.t.warmth(g.o.FallSoilC)))
	}
	is := g.t.warmth(*g.s.SoilC)
	switch {
	case above(*g.s.SoilC+g.s.SoilErrorC, g.o.FallSoilC) && season == "":
		w.Unchecked = true
		return w.say(fmt.Sprintf("ammonia into soil of %s: whether it goes on in fall is not known; in fall %s is the bound", is, g.t.warmth(g.o.FallSoilC)))
	case above(*g.s.SoilC, g.o.FallSoilC):
		w.Level = Warn
		warm, bound := g.t.warmths(*g.s.SoilC, g.o.FallSoilC)
		return w.say(fmt.Sprintf("fall ammonia into soil of %s, above %s, turns to nitrate before winter", warm, bound))
	case above(*g.s.SoilC+g.s.SoilErrorC, g.o.FallSoilC):
		return w.say(fmt.Sprintf("fall ammonia into soil of %s by estimate, give or take %s, which reaches over %s: measure it", is, g.t.degrees(g.s.SoilErrorC), g.t.warmth(g.o.FallSoilC)))
	}
	return silent()
}

// fallCoarse guards coarse soils against nitrogen in fall.
func (g guard) fallCoarse() (Warning, bool) {
	season := g.season()
	if season == Spring || season == Sidedress || g.s.Texture == "fine" || g.s.Texture == "medium" {
		return silent()
	}
	w := Warning{
		Key:      FallCoarse,
		Level:    Warn,
		Practice: "no nitrogen in fall on sands and other coarse soils: nitrate leaches before the crop is there",
		Source:   commonRule + ", " + fromMemory,
		Defer:    "State rules on nitrogen in fall, the product label and licensed practice decide.",
	}
	if lacks := missing(map[string]bool{"the season": season != "", "the texture of the soil": g.s.Texture != ""}); lacks != "" {
		w.Unchecked = true
		return w.say("nitrogen on coarse soil in fall: " + lacks)
	}
	return w.say("nitrogen in fall on coarse soil")
}

// securityProduct reminds of the rules on products that are stolen and misused.
func (g guard) securityProduct() (Warning, bool) {
	src := g.s.Source
	if !src.Ammonia && !g.dryNitrate() {
		return silent()
	}
	w := Warning{
		Key:      SecurityProduct,
		Level:    Note,
		Practice: "ask the supplier early about registration and records; lock, light and count it; never leave a tank or a load unwatched over night; report theft and offers to buy",
		Source:   commonRule,
		Defer:    "Federal, state and local law on sale, storage and transport decides.",
	}
	if src.Ammonia {
		return w.say("anhydrous ammonia is a product under rules of safety and security")
	}
	return w.say("dry ammonium nitrate is a product under rules of security")
}

// dryNitrate tells whether a product is dry and holds much ammonium nitrate. With urea it
// is a solution, for grains of both melt together.
func (g guard) dryNitrate() bool {
	src := g.s.Source
	salt := 100 * 2 * min(src.AmmoniumN, src.NitrateN) / nitrogenInNitrate
	dissolved := src.UreaN > 0 || src.HasDensity && !below(src.Density, g.o.LightestSolution)
	return !src.Ammonia && !dissolved && !below(salt, g.o.NitratePercent)
}

// ammoniaCare are the usual cautions for the handling of ammonia.
func (g guard) ammoniaCare() (Warning, bool) {
	if !g.s.Source.Ammonia {
		return silent()
	}
	return Warning{
		Key:       AmmoniaCare,
		Level:     Note,
		Published: "it is held under pressure, seeks water in eyes, skin and airways, and is smelt at about 50 ppm in air; the law asks for trained people and protective gear",
		Practice:  "unvented goggles, lined gloves, clean water at hand, upwind; flush with water for 15 minutes at least and get medical help",
		Source:    "North Dakota State Univ. AE1149; Univ. of Minnesota DC2326; 29 CFR 1910.111, " + fromMemory,
		Defer:     "The equipment maker's manual, the supplier's safety sheet and the law decide.",
	}.say("anhydrous ammonia burns and can kill")
}
