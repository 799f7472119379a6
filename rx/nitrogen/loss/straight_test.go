package loss

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ratewright/geo/unit"
	"ratewright/rx/nitrogen/water"
)

// The course by following one share after another, with nothing linear about it: the
// shape must give the same.
func TestShapeAgainstAStraightCourse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, c := drawApplication(t), drawCoefficients(t)
		season := drawSeason(t, drawDays(t, 80))
		site, rate := drawSite(t), drawRate(t)
		site.Cover, site.ResidueKgHa = 0, 0 // what is held is taken off at the end in both
		got := ends(t, a, site, rate, season, c)
		want := straight(a, site, rate.KgNPerHa(), season, c)
		kg := 1e-10 * (1 + rate.KgNPerHa())
		require.InDelta(t, want.Urea, got.Urea, kg)
		require.InDelta(t, want.Ammonium, got.Ammonium, kg)
		require.InDelta(t, want.Nitrate, got.Nitrate, kg)
		require.InDelta(t, want.Ammonia, got.Ammonia, kg)
		require.InDelta(t, want.AtInjection, got.AtInjection, kg)
		require.InDelta(t, want.Denitrified, got.Denitrified, kg)
		require.InDelta(t, want.Leached, got.Leached, kg)
	})
}

// straight is the scheme in kg N/ha, by the rules as they are worded: each day's nitrate
// remembers what had drained by then, and hydrolysis goes in a thousand steps a day.
func straight(a Application, site Site, kg float64, season *water.Season, c Coefficients) Balance {
	var b Balance
	if a.Source.Ammonia {
		b.AtInjection = kg * c.InjectionLoss(a.Depth, season.Soil.Group == "coarse")
	}
	in := kg - b.AtInjection
	from, _ := season.Index(a.Date)
	all := a.Source.UreaN + a.Source.AmmoniumN + a.Source.NitrateN
	u, top, soilU, soil := in*a.Source.UreaN/all, in*a.Source.AmmoniumN/all, 0.0, 0.0
	lag := 0.0
	if a.Inhibitor.ofNitrification() {
		lag = c.LagInhibitor
	}
	if a.Source.Ammonia {
		top, soil = 0, top
		lag = c.LagAmmonia
		if a.Inhibitor.ofNitrification() {
			lag += c.LagInhibitorAmmonia
		}
	}
	mean, n := 0.0, 0
	for i := from; i < len(season.Days) && i < from+10; i++ {
		mean, n = mean+season.Days[i].MeanC, n+1
	}
	p, _ := c.Potential(a, site, unit.KgNPerHa(kg), mean/float64(n))
	phi := 0.0
	if exposed := (a.Source.UreaN + a.Source.AmmoniumN) / all; exposed > 0 {
		phi = min(c.MostPhi, p/exposed)
	}
	rate := map[Inhibitor]float64{NoInhibitor: c.Hydrolysis, Nitrification: c.Hydrolysis, Urease: c.HydrolysisUrease, UreaseAndNitrification: c.HydrolysisBoth}[a.Inhibitor]
	type pulse struct{ kg, at float64 }
	nitrate := []pulse{{in * a.Source.NitrateN / all, 0}}
	drained, turned := 0.0, 0.0
	for i := from; i < len(season.Days); i++ {
		d := season.Days[i]
		if a.Tillage != nil && season.First.AddDate(0, 0, i).Equal(a.Tillage.Date) {
			phi *= c.depthFactor(100 * a.Tillage.Depth.Metres())
		}
		washed := u * (1 - math.Exp(-c.WashUrea*d.ArrivedMM))
		u, soilU = u-washed, soilU+washed
		washed = top * (1 - math.Exp(-c.WashAmmonia*d.ArrivedMM))
		top, soil = top-washed, soil+washed
		k := rate * math.Exp(c.HydrolysisPerDegree*d.SoilC) * (c.DryShare + (1-c.DryShare)*d.Surface)
		if granular(a.Source) && float64(i-from) < c.GranularLag {
			k = 0
		}
		cleared := clearInSteps(&u, &top, k, c.Clearing)
		b.Ammonia += phi * cleared
		soil += (1 - phi) * cleared
		moist := (d.SoilMM-season.WiltingMM)/(season.CapacityMM-season.WiltingMM) + 0.2
		k = c.SoilHydrolysis * rate / c.Hydrolysis * math.Max(0, math.Min(1, math.Min(moist, d.SoilC/40+0.2)))
		made := soilU * (1 - math.Exp(-k))
		soilU, soil = soilU-made, soil+made
		step := c.nitrification(d.SoilC)
		part := math.Min(step, math.Max(0, turned+step-lag))
		turned += step
		made = soil * (1 - math.Exp(-part))
		soil -= made
		nitrate = append(nitrate, pulse{made, drained})
		for j := range nitrate {
			if season.Soil.Group != "coarse" && float64(d.WetDays) > c.SaturatedFirst {
				lost := nitrate[j].kg * c.denitrification(d.SoilC)
				nitrate[j].kg -= lost
				b.Denitrified += lost
			}
			above := func(water float64) float64 { // share above the end of the roots
				factor := c.FrontFactor
				if season.Soil.Group == "coarse" {
					factor *= c.FrontCoarse
				}
				front := water / 1000 / season.AvailableShare * factor
				return 1 - math.Max(0, 1-c.RootDepth/front)
			}
			if d.DrainedMM > 0 {
				passed := drained - nitrate[j].at
				lost := nitrate[j].kg * (1 - above(passed+d.DrainedMM)/above(passed))
				nitrate[j].kg -= lost
				b.Leached += lost
			}
		}
		drained += d.DrainedMM
	}
	b.Urea, b.Ammonium = u+soilU, top+soil
	for _, p := range nitrate {
		b.Nitrate += p.kg
	}
	return b
}

// clearInSteps runs a day's two reactions by the exact powers of a small step's matrix,
// and returns what left the surface.
func clearInSteps(u, a *float64, kh, kc float64) float64 {
	const steps = 64
	h := 1.0 / steps
	before := *u + *a
	for range steps {
		// Fourth-order Runge-Kutta of du = -kh u, da = kh u - kc a.
		du := func(u float64) float64 { return -kh * u }
		da := func(u, a float64) float64 { return kh*u - kc*a }
		u1, a1 := du(*u), da(*u, *a)
		u2, a2 := du(*u+h/2*u1), da(*u+h/2*u1, *a+h/2*a1)
		u3, a3 := du(*u+h/2*u2), da(*u+h/2*u2, *a+h/2*a2)
		u4, a4 := du(*u+h*u3), da(*u+h*u3, *a+h*a3)
		*u += h / 6 * (u1 + 2*u2 + 2*u3 + u4)
		*a += h / 6 * (a1 + 2*a2 + 2*a3 + a4)
	}
	return before - *u - *a
}
