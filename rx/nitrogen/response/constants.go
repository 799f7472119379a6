package response

import "ratewright/geo/unit"

// What a fit must have before its optimum is given; each can be set otherwise
// in Options.
const (
	// fewestRates is the number of distinct rates that a curve of three
	// coefficients needs to be judged at all.
	//
	// Source: one rate more than the coefficients of each of the three forms.
	// Range: 4 to 6 in published rate trials; more where a join is fitted.
	// Unit: count of rates.
	fewestRates = 4

	// rateSpacing is how far apart two rates must lie to count as two: rates as
	// put down scatter about those planned.
	//
	// Source: a choice of this project; published trials space rates wider.
	// Range: 0.01 to 0.1.
	// Unit: share of the range of rates.
	rateSpacing = 0.05

	// responseLevel is the confidence at which yield must be seen to respond.
	//
	// Source: common practice; F test of the curve against the mean.
	// Range: 0.8 to 0.99.
	// Unit: probability.
	responseLevel = 0.95

	// smallResponseLevel stands in for responseLevel where fewer than
	// smallTrial degrees of freedom are left, for there the test would call
	// nearly every trial unresponsive.
	//
	// Source: a choice of this project: a response that is likelier chance than not is none.
	// Range: 0.5 to 0.95.
	// Unit: probability.
	smallResponseLevel = 0.5

	// smallTrial is the number of residual degrees of freedom below which
	// smallResponseLevel holds.
	//
	// Source: a choice of this project; F(2, 2) is 19 at 0.95, F(2, 3) is 9.6.
	// Range: 2 to 5.
	// Unit: degrees of freedom.
	smallTrial = 3

	// mostBeyond is how far beyond the highest tested rate an optimum may lie and
	// still be given, as an extrapolation; one further out is held there, for a
	// curve says nothing of where yields turn level in rates that nobody tried.
	//
	// Source: a choice of this project. Published work gives optima somewhat beyond
	// the highest rate (Hernandez & Mulla 2008: 14 % in one of five sites) or sets
	// them at that rate (common practice).
	// Range: 1 to 1.5.
	// Unit: share of the highest tested rate.
	mostBeyond = 1.25
)

// Options are the thresholds of a fit. Take them from DefaultOptions.
type Options struct {
	FewestRates        int         // distinct rates, 4 or more
	RateSpacing        float64     // share of the range of rates; rates closer count as one
	ResponseLevel      float64     // confidence at which yield must respond; 0 asks for no test
	SmallResponseLevel float64     // the same for trials of fewer than SmallTrial degrees of freedom
	SmallTrial         int         // residual degrees of freedom
	MostBeyond         float64     // times the highest tested rate, 1 or more, at which an optimum is held; 0 never holds it
	Units              unit.System // of the sentences of curves, fits and refusals
}

// What rates and yields of a trial can be; beyond it a unit went wrong.
const (
	// mostRate is above any rate of nitrogen in a trial.
	//
	// Source: common practice; trials go to some 400 kg/ha.
	// Range: 1000 to 2000.
	// Unit: kg N/ha.
	mostRate = 2000

	// mostYield is above any yield of grain.
	//
	// Source: common practice; record yields of corn are some 40 t/ha.
	// Range: 40000 to 100000.
	// Unit: kg/ha.
	mostYield = 50000

	// leastTopRate is below the highest rate of any trial.
	//
	// Source: common practice.
	// Range: 5 to 20.
	// Unit: kg N/ha.
	leastTopRate = 10

	// leastTopYield is below the best plot of any corn, and the top of its curve.
	//
	// Source: common practice; 12 t/ha called bu/ac are 750 kg/ha.
	// Range: 800 to 2000.
	// Unit: kg/ha.
	leastTopYield = 1000
)

// The price of nitrogen over that of grain, beyond which a unit went wrong.
const (
	// leastRatio is below any ratio of prices.
	//
	// Source: common practice: 3 to 15, which is 0.05 to 0.27 in $/lb over $/bu.
	// Range: 0.1 to 1.
	// Unit: kg grain per kg N.
	leastRatio = 0.2

	// mostRatio is above any ratio of prices.
	//
	// Source: common practice, as above.
	// Range: 50 to 150.
	// Unit: kg grain per kg N.
	mostRatio = 100
)

// DefaultOptions are the package's thresholds.
func DefaultOptions() Options {
	return Options{FewestRates: fewestRates, RateSpacing: rateSpacing, ResponseLevel: responseLevel, SmallResponseLevel: smallResponseLevel, SmallTrial: smallTrial, MostBeyond: mostBeyond}
}

func (o Options) check() error {
	switch {
	case o.FewestRates < fewestRates:
		return refuse(BadCurve, "a curve from %d rates is not possible; ask for %d or more", o.FewestRates, fewestRates)
	case o.MostBeyond != 0 && !(o.MostBeyond >= 1 && o.MostBeyond < 1e6):
		return refuse(BadCurve, "an optimum cannot be held at %s times the highest tested rate; write 1 or more", figure(o.MostBeyond))
	case !(o.RateSpacing >= 0 && o.RateSpacing < 1):
		return refuse(BadCurve, "a spacing of rates of %s of their range is not possible; write a share below 1", figure(o.RateSpacing))
	case !(o.ResponseLevel >= 0 && o.ResponseLevel < 1) || !(o.SmallResponseLevel >= 0 && o.SmallResponseLevel < 1):
		return refuse(BadCurve, "a response at a confidence of %s or %s is not possible; write shares below 1", figure(o.ResponseLevel), figure(o.SmallResponseLevel))
	}
	return nil
}
