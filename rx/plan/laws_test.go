package plan

import (
	"math/rand/v2"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ratewright/geo/unit"
	"ratewright/rx/nitrogen/loss"
	"ratewright/rx/nitrogen/water"
)

// drawn is a plan of few zones on random soils under random weather.
func drawn(t *rapid.T, base Input) Input {
	in := base
	in.Zones, in.Stations = nil, []Station{drawnStation(t)}
	n := rapid.IntRange(1, 3).Draw(t, "zones")
	for i := range n {
		z := base.Zones[0]
		z.ID, z.AreaHa = string(rune('A'+i)), rapid.Float64Range(1, 50).Draw(t, "ha")
		z.Soil = water.Soil{
			Group:      rapid.SampledFrom([]string{"coarse", "medium", "fine"}).Draw(t, "group"),
			Drainage:   rapid.SampledFrom([]string{"", "excessively drained", "well drained", "somewhat poorly drained", "very poorly drained"}).Draw(t, "drainage"),
			Hydrologic: rapid.SampledFrom([]string{"", "A", "C", "B/D"}).Draw(t, "hydrologic"),
			Tiled:      rapid.Bool().Draw(t, "tiled"),
		}
		z.Site = loss.Site{PH: rapid.Float64Range(5, 8.2).Draw(t, "pH"), Cover: rapid.Float64Range(0, 1).Draw(t, "cover")}
		in.Zones = append(in.Zones, z)
	}
	return in
}

func drawnStation(t *rapid.T) Station {
	warm, wet := rapid.Float64Range(-4, 6).Draw(t, "warmer"), rapid.Float64Range(0, 0.7).Draw(t, "wetness")
	heavy := rapid.Float64Range(2, 25).Draw(t, "mm")
	s := madeUp(2, rapid.Uint64().Draw(t, "weather"))
	r := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "rain"), 3))
	for y := range s.Years {
		for i := range s.Years[y].Days {
			d := &s.Years[y].Days[i]
			d.MaxC, d.MinC, d.SoilC, d.RainMM = d.MaxC+warm, d.MinC+warm, d.SoilC+warm, 0
			if r.Float64() < wet {
				d.RainMM = heavy * r.ExpFloat64()
			}
		}
	}
	return s
}

// The nitrogen of every strategy is still there, held or lost to 1e-12; the low end of
// what is still there is not above the mean, nor that above the high end; and the band of
// returns holds their mean.
func TestSumsAndBandsOfRandomPlans(t *testing.T) {
	base := spring(t, 1, 1, 1)
	rapid.Check(t, func(t *rapid.T) {
		in := drawn(t, base)
		rate := unit.KgNPerHa(rapid.Float64Range(10, 240).Draw(t, "rate"))
		for i := range in.Zones {
			in.Zones[i].Target = &rate
		}
		r, err := Compare(in)
		require.NoError(t, err)
		for i := range r.Outcomes {
			for s := range r.Outcomes[i] {
				o, name := &r.Outcomes[i][s], in.Strategies[s].Name
				require.InDelta(t, o.Rate.KgNPerHa(), o.Lost.Total()+o.Lost.Held+o.Left, 1e-12*o.Rate.KgNPerHa(), name)
				require.LessOrEqual(t, o.LeftLow, o.Left+1e-9, name)
				require.LessOrEqual(t, o.Left, o.LeftHigh+1e-9, name)
				require.LessOrEqual(t, o.LeftWorst, o.Left+1e-9, name)
			}
		}
		for _, f := range r.JSON(nil).Fields {
			list := f.Strategies
			for _, z := range f.Zones {
				list = append(list, z.Strategies...)
			}
			for _, s := range list {
				require.LessOrEqual(t, s.ReturnPerHa.Low, s.ReturnPerHa.Mean, s.Name)
				require.LessOrEqual(t, s.ReturnPerHa.Mean, s.ReturnPerHa.High, s.Name)
			}
		}
	})
}

// Where a strategy leaves what the plateau asks for in its worst year it yields the plateau,
// whatever the soil, the weather and the way of putting it down.
func TestNothingIsGainedOnThePlateau(t *testing.T) {
	base := spring(t, 1, 1, 1)
	seen := 0
	rapid.Check(t, func(t *rapid.T) {
		in := drawn(t, base)
		rate := unit.KgNPerHa(rapid.Float64Range(250, 900).Draw(t, "rate"))
		in.Most, in.Step = unit.KgNPerHa(900), unit.KgNPerHa(900)
		for i := range in.Zones {
			in.Zones[i].Target = &rate
		}
		r, err := Compare(in)
		require.NoError(t, err)
		const most, from = 11500, 200 // kg/ha: 5500 and 60²/(4 x 0.15), from 60/(2 x 0.15) kg N/ha on
		for i := range r.Outcomes {
			for s := range r.Outcomes[i] {
				o := &r.Outcomes[i][s]
				require.LessOrEqual(t, o.Yield.KgPerHa(), most+1e-6)
				if o.LeftWorst >= from { // of two years: the worse
					seen++
					require.InEpsilon(t, most, o.Yield.KgPerHa(), 1e-9, in.Strategies[s].Name)
				}
			}
		}
	})
	require.Positive(t, seen)
}

// On the rising part of the curve, with the same day and rate: injected UAN yields no less
// than dribbled, and that no less than broadcast.
func TestInjectedOverDribbledOverBroadcastInYield(t *testing.T) {
	base := spring(t, 1, 1, 1)
	base.Strategies = []Strategy{base.Strategies[4], base.Strategies[3], base.Strategies[2]}
	rapid.Check(t, func(t *rapid.T) {
		in := drawn(t, base)
		on := day(time.April, 15).AddDate(0, 0, rapid.IntRange(0, 60).Draw(t, "day"))
		in.Strategies = nil
		for _, s := range base.Strategies {
			trip := s.Trips[0]
			trip.Date = on
			in.Strategies = append(in.Strategies, Strategy{s.Name, []Trip{trip}})
		}
		rate := unit.KgNPerHa(rapid.Float64Range(20, 190).Draw(t, "rate"))
		for i := range in.Zones {
			in.Zones[i].Target = &rate
		}
		r, err := Compare(in)
		require.NoError(t, err)
		for _, o := range r.Outcomes {
			require.GreaterOrEqual(t, o[0].Yield.KgPerHa(), o[1].Yield.KgPerHa()-1e-6)
			require.GreaterOrEqual(t, o[1].Yield.KgPerHa(), o[2].Yield.KgPerHa()-1e-6)
		}
	})
}

// Residue takes nitrogen once a season: put down in parts on a day it holds what it holds
// of one trip, and never more than its demand as broadcast nitrogen meets it.
func TestResidueTakesItsNitrogenOnce(t *testing.T) {
	base := spring(t, 1, 1, 1)
	c := loss.Mid()
	rapid.Check(t, func(t *rapid.T) {
		in := drawn(t, base)
		whole := rapid.SampledFrom([]Trip{base.Strategies[3].Trips[0], base.Strategies[5].Trips[0], base.Strategies[0].Trips[0]}).Draw(t, "trip")
		parts := Strategy{Name: "in parts"}
		n := rapid.IntRange(2, 5).Draw(t, "parts")
		for range n {
			part := whole
			part.Share = 1 / float64(n)
			parts.Trips = append(parts.Trips, part)
		}
		in.Strategies = append([]Strategy{{"whole", []Trip{whole}}, parts}, base.Strategies...)
		rate := unit.KgNPerHa(rapid.Float64Range(150, 240).Draw(t, "rate"))
		for i := range in.Zones {
			in.Zones[i].Target = &rate
			in.Zones[i].Site.ResidueKgHa = rapid.Float64Range(1, 9000).Draw(t, "residue")
			in.Zones[i].Soil.Group, in.Zones[i].Soil.Drainage = "medium", "well drained" // all of it finds mineral nitrogen
		}
		r, err := Compare(in)
		require.NoError(t, err)
		for i, o := range r.Outcomes {
			if o[0].LeftWorst > 20 && o[1].LeftWorst > 20 {
				require.InDelta(t, o[0].Lost.Held, o[1].Lost.Held, 1e-9)
			}
			demand := in.Zones[i].Site.ResidueKgHa * c.Decomposed * (c.MicrobesNeed - c.ResidueHolds)
			for s := range o {
				require.LessOrEqual(t, o[s].Lost.Held, c.TieUpBroadcast*demand+1e-9, in.Strategies[s].Name)
			}
		}
	})
}
