package asapplied

import (
	"fmt"
	"math"
)

// Stamps that were cut to the minute, as spreadsheets show and save them, or to ten
// seconds or a day, tell the order of records and little more. Spread over one second
// such records would race: every step would be a jump.

const (
	// tickShare is how many records a stamp has at least, on average, where it is no
	// chance that records share theirs.
	tickShare = 1.5
	// tickMany is how many records of one stamp no receiver writes within a second.
	tickMany = 20
)

// ticks finds out how finely the stamps of a track in order of time tell it: the
// seconds that all steps between them are multiples of where most records share theirs;
// else one second.
func (t *track) ticks(drives []Drive) float64 {
	stamps := 1
	for i := 1; i < len(t.fixes); i++ {
		if t.timeNS(drives, i) != t.timeNS(drives, i-1) {
			stamps++
		}
	}
	if float64(len(t.fixes)) < tickShare*float64(stamps) {
		return 1
	}
	var step int64
	for i := 1; i < len(t.fixes); i++ {
		step = divisor(step, t.timeNS(drives, i)-t.timeNS(drives, i-1))
	}
	return max(1, float64(step)/1e9)
}

// divisor is the greatest common divisor of two numbers not below zero.
func divisor(a, b int64) int64 {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// looseReach is how far the next record of a stamp may lie for the way to it to be
// driven: where stamps tell the order alone, steps are held against the usual one.
func (t *track) looseReach() float64 {
	var steps []float64
	for i := 1; i < len(t.fixes); i += 1 + len(t.fixes)/medianSteps {
		if step := dist(t.fixes[i-1].at, t.fixes[i].at); step > 0 {
			steps = append(steps, step)
		}
	}
	return medianSpeedFactor*median(steps) + stepSlackM
}

// noteLoose tells how the records of coarse stamps were taken; empty where there are
// none.
func (t *track) noteLoose() string {
	if t.loose == 0 {
		return ""
	}
	fine := ""
	if t.tick > 1 {
		fine = ", for the log tells it in " + secondsText(t.tick)
	}
	return fmt.Sprintf("Machine %s: %d records share their time with others%s. They are taken in the order of the file and spread evenly; a stop or gap among them shows where the way jumps, not in the time, and what a flow or a lag makes of them is rough. Export the log with its seconds.", t.name(), t.loose, fine)
}

// secondsText writes a length of time as people say it.
func secondsText(s float64) string {
	for _, u := range []struct {
		seconds   float64
		one, many string
	}{{86400, "whole days", "days"}, {3600, "whole hours", "hours"}, {60, "whole minutes", "minutes"}} {
		if n := s / u.seconds; n == 1 {
			return u.one
		} else if n == math.Trunc(n) {
			return fmt.Sprintf("steps of %.0f %s", n, u.many)
		}
	}
	return fmt.Sprintf("steps of %.3g s", s)
}
