package budget

import (
	"fmt"

	"ratewright/geo/unit"
)

// OrganicMatter is what the yield, organic matter and nitrate rule asks for.
type OrganicMatter struct {
	Yield   unit.Yield
	Nitrate unit.PPM // mean nitrate-N of the root zone, 2 to 4 ft
	Percent float64  // organic matter of the top soil
	Credits []Credit
	// Price and Timing multiply the rate where they are given. Their published values are
	// not built in.
	Price, Timing *float64
}

// YieldOrganicMatterNitrate is
//
//	N = [35 + 1.2 EY - 8 ppm - 0.14 EY OM - credits] x price x timing   (lb/ac, bu/ac, %)
//
// with organic matter held between 0.5 and 3 %. A sum below zero is zero.
// Source: Univ. of Nebraska EC117 as quoted by J. Rees 2021; Shapiro et al. 2009.
func (co Coefficients) YieldOrganicMatterNitrate(in OrganicMatter) (Budget, error) {
	const source = "Univ. of Nebraska EC117"
	w := words{co.Units}
	b := Budget{words: w}
	if err := in.check(w); err != nil {
		return b, err
	}
	ey := in.Yield.BushelsPerAcre()
	om := min(max(in.Percent, co.OmLeast), co.OmMost)
	if om != in.Percent {
		b.note("organic matter of %.3g %% was taken as %g %%: the rule counts %g to %g %%%s", in.Percent, om, co.OmLeast, co.OmMost, co.aside(source, &co.OmLeast, &co.OmMost))
	}
	b.add("constant", unit.LbNPerAcre(co.OmBase), w.cite(source, fmt.Sprintf("%g lb N/ac", co.OmBase), co.own(&co.OmBase)))
	b.add(w.perYield(co.OmPerBushel)+" x "+w.Yield(in.Yield), unit.LbNPerAcre(co.OmPerBushel*ey), w.cite(source, fmt.Sprintf("%g lb N/bu", co.OmPerBushel), co.own(&co.OmPerBushel)))
	b.add(fmt.Sprintf("%s x %.4g ppm of nitrate-N", w.perPPM(co.OmPerPPM), in.Nitrate.MgPerKg()), unit.LbNPerAcre(-co.OmPerPPM*in.Nitrate.MgPerKg()), w.cite(source, fmt.Sprintf("%g lb N/ac per ppm", co.OmPerPPM), co.own(&co.OmPerPPM)))
	b.add(fmt.Sprintf("%s and %% x %s x %.3g %% of organic matter", w.perYield(co.OmPerBushelPercent), w.Yield(in.Yield), om), unit.LbNPerAcre(-co.OmPerBushelPercent*ey*om), w.cite(source, fmt.Sprintf("%g lb N/bu and %%", co.OmPerBushelPercent), co.own(heldBy(&co, in.Percent)...)))
	if err := b.take(in.Credits); err != nil {
		return b, err
	}
	b.floor()
	for _, f := range []struct {
		what string
		v    *float64
	}{{"price", in.Price}, {"timing", in.Timing}} {
		if f.v != nil {
			b.add(fmt.Sprintf("x %g for %s", *f.v, f.what), b.Rate*unit.NRate(*f.v-1), "given in the job")
		}
	}
	return b.checked()
}

// heldBy are the coefficients of the term of organic matter: the bound counts that holds it.
func heldBy(co *Coefficients, percent float64) []*float64 {
	used := []*float64{&co.OmPerBushelPercent}
	switch {
	case percent < co.OmLeast:
		used = append(used, &co.OmLeast)
	case percent > co.OmMost:
		used = append(used, &co.OmMost)
	}
	return used
}

func (in OrganicMatter) check(w words) error {
	if err := w.checkYield(in.Yield); err != nil {
		return err
	}
	if err := checkPPM("mean nitrate-N", in.Nitrate); err != nil {
		return err
	}
	if in.Percent > 0 && in.Percent < leastOM {
		return fmt.Errorf("organic matter of %g %% is less than any soil of a field has; was it given as a fraction? write it in percent", in.Percent)
	}
	if err := bounded("organic matter", in.Percent, 0, mostOM, "%", "write it in percent of a mineral soil"); err != nil {
		return err
	}
	for what, f := range map[string]*float64{"price": in.Price, "timing": in.Timing} {
		if f != nil {
			if err := bounded("a factor of "+what, *f, 0.3, 2, "", "it lies near 1; leave it out for none"); err != nil {
				return err
			}
		}
	}
	return nil
}
