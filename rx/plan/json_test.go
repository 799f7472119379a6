package plan

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"ratewright/geo/unit"
)

// mixed is two fields whose choice under limits takes ammonia, UAN and urea, with losses by
// every pathway.
func mixed(t *testing.T) (Result, Choice) {
	in := spring(t, 2, 4, 6)
	in.Strategies = []Strategy{in.Strategies[0], in.Strategies[3], in.Strategies[5]}
	in.Limits = []Limit{{Name: "ammonia", Unit: "kg N", Amount: 4000}, {Name: "UAN", Unit: "kg N", Amount: 2500}}
	in.Strategies[2].Trips[0].PerHa = 90 // the last to take
	in.Strategies[0].Trips[0].Uses = []Use{{Limit: 0, PerKgN: 1}}
	in.Strategies[1].Trips[0].Uses = []Use{{Limit: 1, PerKgN: 1}}
	in.Strategies[1].Trips = append([]Trip{{
		Name: "starter", Application: in.Strategies[1].Trips[0].Application, Rate: unit.KgNPerHa(20), NPrice: unit.NPrice(1.2), PerHa: 3,
	}}, in.Strategies[1].Trips...)
	r, c := chosen(t, in)
	got := map[int]bool{}
	for i := range c.Zones {
		got[c.Zones[i].Strategy] = true
	}
	require.Len(t, got, 3, "each strategy is chosen somewhere")
	return r, c
}

// sums are means by area over zones, by name, that a test adds up itself.
type sums struct {
	ha     float64
	of     map[string]float64
	yearly []float64
}

func (s *sums) add(ha float64, o *Outcome) {
	if s.of == nil {
		s.of, s.yearly = map[string]float64{}, make([]float64, len(o.Yearly))
	}
	s.ha += ha
	for name, v := range map[string]float64{
		"rate": o.Rate.KgNPerHa(), "ammonia": o.Lost.Ammonia, "at injection": o.Lost.AtInjection, "denitrified": o.Lost.Denitrified,
		"leached": o.Lost.Leached, "held": o.Lost.Held, "left": o.Left, "left, low": o.LeftLow, "left, high": o.LeftHigh, "left, worst": o.LeftWorst,
		"cost": o.Cost, "yield": o.Yield.KgPerHa(), "yield, worst": o.YieldWorst.KgPerHa(), "low losses": o.ReturnLow, "high losses": o.ReturnHigh,
	} {
		s.of[name] += ha * v
	}
	for y, v := range o.Yearly {
		s.yearly[y] += ha * v
	}
}

func (s *sums) mean(name string) float64 { return s.of[name] / s.ha }

// money is the mean return, that of the worst fifth of the years, and the ends of the three
// runs.
func (s *sums) money() (mean, worst, low, high float64) {
	years := slices.Clone(s.yearly)
	slices.Sort(years)
	for i, v := range years {
		mean += v / s.ha / float64(len(years))
		if i < (len(years)+4)/5 {
			worst += v / s.ha / float64((len(years)+4)/5)
		}
	}
	return mean, worst, min(mean, s.mean("low losses"), s.mean("high losses")), max(mean, s.mean("low losses"), s.mean("high losses"))
}

// apart holds that figures that stand side by side differ, so that no two could be swapped.
func apart(t *testing.T, values ...float64) {
	t.Helper()
	for i, v := range values {
		require.NotZero(t, v, "figure %d", i)
		for k := range i {
			require.Greater(t, max(v-values[k], values[k]-v), 1e-6, "figures %d and %d", k, i)
		}
	}
}

const near = 1e-9

func sameLost(t *testing.T, s *sums, got LostJSON, held float64) {
	t.Helper()
	for name, v := range map[string]float64{"ammonia": got.Ammonia, "at injection": got.AtInjection, "denitrified": got.Denitrified, "leached": got.Leached, "held": held} {
		require.InDelta(t, s.mean(name), v, near, name)
	}
}

func sameLeft(t *testing.T, s *sums, got StillThereJSON) {
	t.Helper()
	for name, v := range map[string]float64{"left": got.Mean, "left, low": got.Low, "left, high": got.High, "left, worst": got.WorstFifth} {
		require.InDelta(t, s.mean(name), v, near, name)
	}
}

func sameMoney(t *testing.T, s *sums, got ReturnJSON) {
	t.Helper()
	mean, worst, low, high := s.money()
	require.InDelta(t, mean, got.Mean, near)
	require.InDelta(t, worst, got.WorstFifth, near)
	require.InDelta(t, low, got.Low, near)
	require.InDelta(t, high, got.High, near)
}

// Every figure of a field's choice is that of its zones, summed here.
func TestTheJSONOfAFieldsChoiceIsTheSumOfItsZones(t *testing.T) {
	r, c := mixed(t)
	value := 0.0
	for _, f := range r.JSON(&c).Fields {
		var s sums
		unlimited := 0.0
		for i := range r.Input.Zones {
			if z := &r.Input.Zones[i]; z.Field == f.Field {
				s.add(z.AreaHa, &c.Zones[i].Outcome)
				unlimited += z.AreaHa * c.Zones[i].Free.Return
			}
		}
		got := f.Choice
		require.InDelta(t, 1e4*s.ha, got.AreaM2, 1e-6)
		require.InDelta(t, s.mean("rate"), got.NRateKgHa, near)
		sameLost(t, &s, got.Lost, got.HeldKgHa)
		sameLeft(t, &s, got.StillThere)
		require.InDelta(t, s.mean("cost"), got.CostPerHa, near)
		sameMoney(t, &s, got.ReturnPerHa)
		require.InDelta(t, unlimited/s.ha, got.UnlimitedPerHa, near)
		require.InDelta(t, unlimited/s.ha-got.ReturnPerHa.Mean, got.LimitsCostPerHa, near)
		mean, _, _, _ := s.money()
		require.InDelta(t, s.ha*mean, got.ValueUSD, 1e-6)
		require.InDelta(t, got.NRateKgHa, got.Lost.Ammonia+got.Lost.AtInjection+got.Lost.Denitrified+got.Lost.Leached+got.HeldKgHa+got.StillThere.Mean, near)
		apart(t, got.NRateKgHa, got.Lost.Ammonia, got.Lost.AtInjection, got.Lost.Denitrified, got.Lost.Leached, got.HeldKgHa,
			got.StillThere.Mean, got.StillThere.Low, got.StillThere.High, got.StillThere.WorstFifth, got.CostPerHa,
			got.ReturnPerHa.Mean, got.ReturnPerHa.WorstFifth, got.ReturnPerHa.Low, got.ReturnPerHa.High, got.UnlimitedPerHa, got.LimitsCostPerHa)
		value += got.ValueUSD
	}
	require.InEpsilon(t, c.Value, value, 1e-9)
}

// So is every figure of a strategy over a field, and a zone's are its own.
func TestTheJSONOfAStrategyIsTheSumOfItsZones(t *testing.T) {
	r, c := mixed(t)
	zone := 0
	for _, f := range r.JSON(&c).Fields {
		for k := range r.Input.Strategies {
			var all sums
			for i := range r.Input.Zones {
				if z := &r.Input.Zones[i]; z.Field == f.Field {
					all.add(z.AreaHa, &r.Outcomes[i][k])
				}
			}
			sameStrategy(t, &all, &f.Strategies[k])
		}
		for _, z := range f.Zones {
			in := &r.Input.Zones[zone]
			require.Equal(t, in.ID, z.ID)
			require.InDelta(t, 1e4*in.AreaHa, z.AreaM2, 1e-6)
			for k := range r.Input.Strategies {
				var own sums
				own.add(in.AreaHa, &r.Outcomes[zone][k])
				sameStrategy(t, &own, &z.Strategies[k])
				for n, a := range z.Strategies[k].Applications {
					require.Equal(t, TripJSON{r.Input.Strategies[k].Trips[n].Name, r.Outcomes[zone][k].Trips[n].KgNPerHa()}, a)
				}
			}
			sameChosen(t, &r, &c.Zones[zone], z.Choice)
			zone++
		}
	}
	require.Equal(t, len(r.Input.Zones), zone)
}

func sameStrategy(t *testing.T, s *sums, got *StrategyJSON) {
	t.Helper()
	require.InDelta(t, s.mean("rate"), got.NRateKgHa, near)
	sameLost(t, s, got.Lost, got.HeldKgHa)
	sameLeft(t, s, got.StillThere)
	require.InDelta(t, s.mean("cost"), got.CostPerHa, near)
	require.InDelta(t, s.mean("yield"), got.YieldKgHa.Mean, 1e-6)
	require.InDelta(t, s.mean("yield, worst"), got.YieldKgHa.WorstFifth, 1e-6)
	sameMoney(t, s, *got.ReturnPerHa)
	require.Less(t, got.YieldKgHa.WorstFifth, got.YieldKgHa.Mean+near)
}

func sameChosen(t *testing.T, r *Result, ch *Chosen, got *ChosenJSON) {
	t.Helper()
	s := &r.Input.Strategies[ch.Strategy]
	require.Equal(t, s.Name, *got.Strategy)
	require.InDelta(t, ch.Outcome.Rate.KgNPerHa(), got.NRateKgHa, near)
	require.InDelta(t, ch.Outcome.Return, got.ReturnPerHa, near)
	require.Equal(t, StillThereJSON{ch.Outcome.Left, ch.Outcome.LeftLow, ch.Outcome.LeftHigh, ch.Outcome.LeftWorst}, got.StillThere)
	rate := 0.0
	for n, a := range got.Applications {
		require.Equal(t, s.Trips[n].Name, a.Name)
		rate += a.NRateKgHa
	}
	require.InDelta(t, rate, got.NRateKgHa, near)
	require.Equal(t, r.Input.Strategies[ch.Free.Strategy].Name, *got.Unlimited.Strategy)
	require.InDelta(t, ch.Free.Rate.KgNPerHa(), got.Unlimited.NRateKgHa, near)
	require.InDelta(t, ch.Free.Return, got.Unlimited.ReturnPerHa, near)
}
