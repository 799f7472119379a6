package plan

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"ratewright/geo/unit"
	"ratewright/rx/allot"
)

// scarce is a field where UAN and the field's total are short.
func scarce(t testing.TB) Input {
	in := spring(t, 2, 3, 5)
	in.Strategies = in.Strategies[3:6]
	in.Limits = []Limit{{Name: "UAN", Unit: "kg", Amount: 2000}, {Name: "field total", Unit: "kg N", Amount: 1500, PerKgN: 1, Field: "f0"}}
	in.Strategies[0].Trips[0].Uses = []Use{{Limit: 0, PerKgN: 1}}
	in.Strategies[1].Trips[0].Uses = []Use{{Limit: 0, PerKgN: 1}}
	return in
}

func chosen(t testing.TB, in Input) (Result, Choice) {
	t.Helper()
	r, err := Compare(in)
	require.NoError(t, err)
	c, err := r.Choose(allot.DefaultOptions())
	require.NoError(t, err)
	require.NoError(t, r.Follow(&c))
	return r, c
}

// What each zone would get if nothing were scarce is what is chosen without limits, and
// a zone that does not get it is held by limits that its best would pass.
func TestWhatLimitsHoldBack(t *testing.T) {
	in := scarce(t)
	_, c := chosen(t, in)
	free := in
	free.Limits = nil
	free.Strategies = append([]Strategy{}, in.Strategies...)
	for s := range free.Strategies {
		free.Strategies[s].Trips = append([]Trip{}, in.Strategies[s].Trips...)
		free.Strategies[s].Trips[0].Uses = nil
	}
	_, best := chosen(t, free)
	require.InEpsilon(t, best.Value, c.Unlimited, 1e-12)
	require.Greater(t, c.Unlimited, c.Value)
	heldAny := false
	for i := range c.Zones {
		z := &c.Zones[i]
		require.Equal(t, best.Zones[i].Strategy, z.Free.Strategy)
		require.InDelta(t, best.Zones[i].Return, z.Free.Return, 1e-9)
		require.Empty(t, best.Zones[i].Held)
		if z.Return >= z.Free.Return {
			require.Empty(t, z.Held)
			require.Empty(t, z.RateHeld)
			continue
		}
		if z.Strategy == z.Free.Strategy {
			require.Equal(t, z.Held, z.RateHeld)
		}
		heldAny = true
		for k := range in.Limits {
			used := c.Used[k]
			for _, u := range in.uses(&in.Zones[i], level{z.Strategy, z.Rate.KgNPerHa(), 0}) {
				if u.Limit == k {
					used -= u.Amount
				}
			}
			for _, u := range in.uses(&in.Zones[i], level{z.Free.Strategy, z.Free.Rate.KgNPerHa(), 0}) {
				if u.Limit == k {
					used += u.Amount
				}
			}
			passes := used > in.Limits[k].Amount*(1+1e-9)
			require.Equal(t, passes, slices.Contains(z.Held, k), "zone %d, %s: %v of %v", i, in.Limits[k].Name, used, in.Limits[k].Amount)
		}
	}
	require.True(t, heldAny)
	// The other field's total holds no zone of this one.
	for i := range c.Zones {
		if in.Zones[i].Field == "f1" {
			require.NotContains(t, c.Zones[i].Held, 1)
		}
	}
}

// The outcome of the choice is what comparing at its rates gives, and its return is
// the one by which it was chosen.
func TestTheChoiceIsFollowedAtItsOwnRates(t *testing.T) {
	in := scarce(t)
	tight := unit.KgNPerHa(90)
	in.Zones[2].Most = &tight
	in.Strategies[0].Trips = append([]Trip{{
		Name: "starter", Application: in.Strategies[0].Trips[0].Application, Rate: unit.KgNPerHa(33), NPrice: unit.NPrice(1.1),
	}}, in.Strategies[0].Trips...)
	r, c := chosen(t, in)
	sum, value := map[string]float64{}, 0.0
	for i := range c.Zones {
		z := &c.Zones[i]
		require.InDelta(t, z.Rate.KgNPerHa(), z.Outcome.Rate.KgNPerHa(), 1e-9)
		require.InDelta(t, z.Return, z.Outcome.Return, 1e-9)
		require.LessOrEqual(t, z.Outcome.ReturnWorst, z.Outcome.Return+1e-9)
		require.InDelta(t, z.Rate.KgNPerHa(), z.Outcome.Lost.Total()+z.Outcome.Lost.Held+z.Outcome.Left, 1e-9)
		if z.Strategy >= 0 && z.Rate == r.Outcomes[i][z.Strategy].Rate {
			require.InDelta(t, r.Outcomes[i][z.Strategy].LeftLow, z.Outcome.LeftLow, 1e-9)
			require.InDelta(t, r.Outcomes[i][z.Strategy].ReturnHigh, z.Outcome.ReturnHigh, 1e-9)
		}
		sum[in.Zones[i].Field] += z.Return * in.Zones[i].AreaHa
		value += z.Return * in.Zones[i].AreaHa
	}
	require.InEpsilon(t, c.Value, value, 1e-12)
	doc := r.JSON(&c)
	for _, f := range doc.Fields {
		require.InEpsilon(t, sum[f.Field], f.Choice.ValueUSD, 1e-9)
		require.InDelta(t, f.Choice.UnlimitedPerHa-f.Choice.ReturnPerHa.Mean, f.Choice.LimitsCostPerHa, 1e-9)
		require.GreaterOrEqual(t, f.Choice.LimitsCostPerHa, -1e-9)
	}
	_, err := json.Marshal(doc)
	require.NoError(t, err)
}

// With nothing to put down every year returns what the ground yields by itself.
func TestAChoiceOfNothingIsFollowed(t *testing.T) {
	in := spring(t, 1, 2, 4)
	in.Strategies = in.Strategies[4:5]
	in.Strategies[0].Trips[0].Uses = []Use{{Limit: 0, PerKgN: 1}}
	in.Limits = []Limit{{Name: "UAN", Unit: "kg"}}
	r, c := chosen(t, in)
	for i := range c.Zones {
		require.Equal(t, -1, c.Zones[i].Strategy)
		require.Equal(t, []int{0}, c.Zones[i].Held)
		require.Len(t, c.Zones[i].Outcome.Yearly, 4)
		require.Equal(t, c.Zones[i].Return, c.Zones[i].Outcome.ReturnWorst)
		require.Zero(t, c.Zones[i].Outcome.Left)
	}
	total, unlimited, ok := r.ChosenTotal("f0", &c)
	require.True(t, ok)
	require.Zero(t, total.RateKgHa)
	require.Greater(t, unlimited, total.Return)
	_, _, ok = r.ChosenTotal("no such field", &c)
	require.False(t, ok)
}

// With a total for each of many fields the worths are those of a field alone, and a note
// says so; with few limits all fields are chosen again.
func TestWorthsOfManyFields(t *testing.T) {
	in := spring(t, 42, 3, 2)
	in.Strategies = in.Strategies[3:6]
	in.Limits = []Limit{{Name: "UAN", Unit: "kg", Amount: 40000}}
	in.Strategies[0].Trips[0].Uses = []Use{{Limit: 0, PerKgN: 1}}
	in.Strategies[1].Trips[0].Uses = []Use{{Limit: 0, PerKgN: 1}}
	few, c := chosen(t, in)
	require.NotContains(t, strings.Join(c.Notes, " "), "choosing again on that field")
	require.Len(t, few.Input.Limits, len(c.Worth))
	for f := range 42 {
		name := fmt.Sprintf("f%d", f)
		in.Limits = append(in.Limits, Limit{Name: "total of " + name, Unit: "kg N", Amount: 1500, PerKgN: 1, Field: name, More: 150})
	}
	_, c = chosen(t, in)
	require.True(t, c.Worth[1].OnField)
	require.False(t, c.Worth[0].OnField)
	require.Positive(t, c.Worth[1].Dollars)
	require.Contains(t, strings.Join(c.Notes, " "), "with 43 limits, what more of a field's own")
}
