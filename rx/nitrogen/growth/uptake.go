package growth

import (
	"errors"
	"fmt"
	"math"
	"time"
)

// Share is how much of the season's nitrogen the crop has taken up by a stage, from
// low to high, in percent of what it holds at maturity.
type Share struct {
	Stage           Stage
	LowPct, HighPct float64
}

// Band is the course of uptake; its stages rise, and so do both its edges.
type Band []Share

// DefaultBand is the band of published and remembered figures; see the constants for
// the source of each. At emergence nothing is taken up.
func DefaultBand() Band {
	v := func(leaf int) Stage { return Stage(leaf) }
	return Band{
		{Emergence(), 0, 0},
		{v(4), v4Low, v4High},
		{v(6), v6Low, v6High},
		{v(8), v8Low, v8High},
		{v(10), v10Low, v10High},
		{v(14), v14Low, v14High},
		{VT, silkLow, silkHigh},
		{R1, silkLow, silkHigh},
		{R2, r2Share - lateSpread, r2Share + lateSpread},
		{R4, r4Share - lateSpread, r4Share + lateSpread},
		{R6, allTakenUp, allTakenUp},
	}
}

// check refuses a band that falls or has shares out of 0 to 100.
func (b Band) check() error {
	if len(b) < 2 {
		return errors.New("band of uptake: give two stages at least")
	}
	for i, s := range b {
		if !finite(float64(s.Stage)) || !(s.LowPct >= 0 && s.LowPct <= s.HighPct && s.HighPct <= 100) {
			return fmt.Errorf("band of uptake at %s: from %g to %g %%; give percents from 0 to 100, the lower first", s.Stage, s.LowPct, s.HighPct)
		}
		if i > 0 && (s.Stage <= b[i-1].Stage || s.LowPct < b[i-1].LowPct || s.HighPct < b[i-1].HighPct) {
			return fmt.Errorf("band of uptake at %s: stages and shares must rise from %s on", s.Stage, b[i-1].Stage)
		}
	}
	return nil
}

// At is the share of the season's nitrogen taken up between two stages, in percent:
// the lower edge at low and the upper edge at high, each by straight lines between the
// stages of the band. Before the first of these the share lies between nothing and
// that of the first, after the last between that of the last and everything. It is an
// error where the band falls, or high is before low.
func (b Band) At(low, high Stage) (lowPct, highPct float64, err error) {
	if err := b.check(); err != nil {
		return 0, 0, err
	}
	if !finite(float64(low)) || !finite(float64(high)) || low > high {
		return 0, 0, fmt.Errorf("uptake from %s to %s: give the earlier stage first", low, high)
	}
	lowPct, _ = b.edges(low)
	_, highPct = b.edges(high)
	return lowPct, highPct, nil
}

func (b Band) edges(s Stage) (low, high float64) {
	if s < Emergence() {
		return 0, 0
	}
	if s < b[0].Stage {
		return 0, b[0].HighPct
	}
	for i := 1; i < len(b); i++ {
		p, q := b[i-1], b[i]
		if s < q.Stage {
			t := float64((s - p.Stage) / (q.Stage - p.Stage))
			return p.LowPct + t*(q.LowPct-p.LowPct), p.HighPct + t*(q.HighPct-p.HighPct)
		}
	}
	last := b[len(b)-1]
	if s > last.Stage {
		return last.LowPct, allTakenUp
	}
	return last.LowPct, last.HighPct
}

// TimingNote says in words how much is taken up on a date at the stages of s: "on 5
// June about V6: 5 to 11 % of the season's N is taken up". Percents are rounded
// outwards. Its errors are those of At.
func TimingNote(on time.Time, s Spread, b Band) (string, error) {
	low, high, err := b.At(s.Low, s.High)
	if err != nil {
		return "", err
	}
	const rounding = 1e-9
	a, z := math.Floor(low+rounding), math.Ceil(high-rounding)
	when := "on " + on.Format("2 January") + " " + s.Words + ": "
	switch {
	case z <= 0:
		return when + "none of the season's N is taken up", nil
	case a == z:
		return when + fmt.Sprintf("%.0f %% of the season's N is taken up", a), nil
	}
	return when + fmt.Sprintf("%.0f to %.0f %% of the season's N is taken up", a, z), nil
}
