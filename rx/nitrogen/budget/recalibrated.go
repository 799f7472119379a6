package budget

import (
	"fmt"

	"ratewright/geo/unit"
)

// Recalibrated is Penn State's test as recalibrated: 12.9 kg N for each Mg of grain, less
// 5.7 kg/ha for each ppm where manure is put down for years, and 56.2 kg/ha more after a
// mixed cover crop.
// Source: White, Sigdel, Karsten, Meinen & Spargo (abstract seen alone, pp. 2600-2613).
func (co Coefficients) Recalibrated(s Sampled, y unit.Yield, longManure, mixedCover bool) (Budget, error) {
	const source = "White et al., Penn State (abstract)"
	w := words{co.Units}
	b := Budget{words: w}
	if err := s.check(); err != nil {
		return b, err
	}
	if err := w.checkYield(y); err != nil {
		return b, err
	}
	s.gates(co, &b, "PA")
	b.note("of Penn State's recalibrated test the abstract alone was seen, and these are its terms; ask for the whole of it")
	b.add(w.perYield(co.RecalibratedPerBushel)+" x "+w.Yield(y), unit.LbNPerAcre(co.RecalibratedPerBushel*y.BushelsPerAcre()), w.cite(source, "", co.own(&co.RecalibratedPerBushel)))
	if longManure {
		b.add(fmt.Sprintf("%s x %s, with manure for years", ppmText(s.Test), w.perPPM(co.RecalibratedPerPPM)), unit.LbNPerAcre(-co.RecalibratedPerPPM*s.Test.MgPerKg()), w.cite(source, "", co.own(&co.RecalibratedPerPPM)))
	} else {
		b.add(ppmText(s.Test)+" count for nothing without manure for years", 0, source)
	}
	if mixedCover {
		b.add("after a mixed cover crop", unit.LbNPerAcre(co.RecalibratedCover), w.cite(source, "", co.own(&co.RecalibratedCover)))
	}
	b.floor()
	return b.checked()
}
