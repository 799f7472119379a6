package course

import (
	"math"
	"slices"

	"ratewright/rx/nitrogen/loss"
	"ratewright/rx/nitrogen/water"
	"ratewright/rx/weather"
)

// tally gathers the runs of a zone, or of the field.
type tally struct {
	mid             []loss.Balance // by day, the mean over the weathers
	still, lost     [3][]float64   // by run and day, means: low, middle and high losses
	byYear          [][]float64    // still there in the middle run, by weather and day
	potential       [3]float64     // by run
	stills, lostest [][]float64    // by day and draw
}

func (f *follower) tallies(years int) []tally {
	n := f.in.days()
	list := make([]tally, len(f.in.Zones)+1)
	for i := range list {
		t := &list[i]
		if n < 1 || f.field.Rate == 0 || i < len(f.in.Zones) && f.in.Zones[i].Rate == 0 {
			continue
		}
		t.mid = make([]loss.Balance, n)
		for k := range t.still {
			t.still[k], t.lost[k] = make([]float64, n), make([]float64, n)
		}
		t.byYear = grid(years, n)
		t.stills, t.lostest = grid(n, f.in.Draws), grid(n, f.in.Draws)
	}
	return list
}

func grid(n, m int) [][]float64 {
	rows := make([][]float64, n)
	all := make([]float64, n*m)
	for i := range rows {
		rows[i] = all[i*m : (i+1)*m]
	}
	return rows
}

// weights are the shares of the zones in the area.
func (f *follower) weights() []float64 {
	w := make([]float64, len(f.in.Zones))
	for i, z := range f.in.Zones {
		w[i] = float64(z.Area / f.field.Area)
	}
	return w
}

// three makes the runs of low, middle and high losses.
func (f *follower) three(list []weather.Scenario) ([]tally, error) {
	t, w, field := f.tallies(len(list)), f.weights(), len(f.in.Zones)
	share := 1 / float64(len(list))
	r := &f.in.Runs
	for y := range list {
		days := weatherDays(&list[y])
		for k, run := range []struct {
			l *loss.Coefficients
			w water.Coefficients
		}{{&r.Low, r.LowWater}, {&r.Mid, r.MidWater}, {&r.High, r.HighWater}} {
			err := f.each(days, run.l, run.w, func(zone, day int, b *loss.Balance) {
				for _, to := range [2]struct {
					at     *tally
					weight float64
				}{{&t[zone], 1}, {&t[field], w[zone]}} {
					to.at.add(k, y, day, b, to.weight, share)
				}
				if day == 0 {
					potential, _ := f.shape.Potential(f.in.Zones[zone].Site, f.in.Zones[zone].Rate) // At has refused what it would
					t[zone].potential[k] += share * potential
					t[field].potential[k] += share * potential * w[zone] * float64(f.in.Zones[zone].Rate/f.field.Rate)
				}
			})
			if err != nil {
				return nil, err
			}
		}
	}
	return t, nil
}

// add puts a day of a run under a weather to the tally.
func (t *tally) add(run, year, day int, b *loss.Balance, weight, share float64) {
	t.still[run][day] += weight * share * b.StillThere()
	t.lost[run][day] += weight * share * b.Lost()
	if run != 1 {
		return
	}
	t.byYear[year][day] += weight * b.StillThere()
	to, by := &t.mid[day], weight*share
	to.Applied += by * b.Applied
	to.Urea += by * b.Urea
	to.Ammonium += by * b.Ammonium
	to.Nitrate += by * b.Nitrate
	to.Ammonia += by * b.Ammonia
	to.AtInjection += by * b.AtInjection
	to.Denitrified += by * b.Denitrified
	to.Leached += by * b.Leached
	to.Held += by * b.Held
}

// drawNumber is the number of draw k of a seed. Seeds lie far apart, so that two have no
// draw in common.
func drawNumber(seed uint64, k int) uint64 {
	const apart = 0x9e3779b97f4a7c15 // odd, so that no two seeds meet
	return (seed-1)*apart + 1 + uint64(k)
}

// draws makes the runs at random, each under a weather in turn.
func (f *follower) draws(list []weather.Scenario, t []tally) error {
	w, field := f.weights(), len(f.in.Zones)
	days := make([][]water.Day, len(list))
	for i := range list {
		days[i] = weatherDays(&list[i])
	}
	for k := range f.in.Draws {
		l, water := f.in.Runs.Draw(drawNumber(f.in.Seed, k))
		err := f.each(days[k%len(list)], &l, water, func(zone, day int, b *loss.Balance) {
			t[zone].stills[day][k], t[zone].lostest[day][k] = b.StillThere(), b.Lost()
			t[field].stills[day][k] += w[zone] * b.StillThere()
			t[field].lostest[day][k] += w[zone] * b.Lost()
		})
		if err != nil {
			return err
		}
	}
	return nil
}

// finish turns a tally into a course.
func (t *tally) finish(list []weather.Scenario, draws int) Spread {
	p := band(t.potential, nil)
	s := Spread{Days: make([]Day, len(t.mid)), Potential: p.Mid, PotentialLow: p.Low, PotentialHigh: p.High, Draws: draws}
	for i := range s.Days {
		s.Days[i] = Day{
			Balance: t.mid[i],
			Still:   band([3]float64{t.still[0][i], t.mid[i].StillThere(), t.still[2][i]}, t.stills[i]),
			Lost:    band([3]float64{t.lost[0][i], t.mid[i].Lost(), t.lost[2][i]}, t.lostest[i]),
		}
	}
	if len(s.Days) == 0 {
		return s
	}
	worst := t.worst()
	s.Worst = make([]float64, len(s.Days))
	for _, y := range worst {
		s.WorstOf = append(s.WorstOf, list[y].Year)
		for i, v := range t.byYear[y] {
			s.Worst[i] += v / float64(len(worst))
		}
	}
	slices.Sort(s.WorstOf)
	return s
}

// worst are the fifth of the years with the least still there on the last day, at least
// one.
func (t *tally) worst() []int {
	order := make([]int, len(t.byYear))
	for i := range order {
		order[i] = i
	}
	last := len(t.mid) - 1
	slices.SortStableFunc(order, func(a, b int) int {
		switch d := t.byYear[a][last] - t.byYear[b][last]; {
		case d < 0:
			return -1
		case d > 0:
			return 1
		}
		return 0
	})
	return order[:(len(order)+4)/5]
}

func band(runs [3]float64, draws []float64) Band {
	b := Band{Mid: runs[1], Low: min(runs[0], runs[1], runs[2]), High: max(runs[0], runs[1], runs[2])}
	if len(draws) > 0 {
		slices.Sort(draws)
		b.P5, b.P95 = quantile(draws, 0.05), quantile(draws, 0.95)
	}
	return b
}

// quantile of values in order, by a straight line between neighbours.
//
// Source: Hyndman & Fan 1996, Am. Stat. 50:361, definition 7.
func quantile(sorted []float64, p float64) float64 {
	at := p * float64(len(sorted)-1)
	i := int(math.Floor(at))
	if i+1 >= len(sorted) {
		return sorted[len(sorted)-1]
	}
	return sorted[i] + (at-float64(i))*(sorted[i+1]-sorted[i])
}
