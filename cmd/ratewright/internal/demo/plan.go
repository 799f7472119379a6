package demo

import (
	"math"

	"github.com/paulmach/orb"
)

// pass is one straight drive with the bar, from a to b. The spans are metres
// from its start.
type pass struct {
	a, b   orb.Point
	ground func(orb.Point) bool // where a section is wanted on

	drift   float64 // metres that the machine runs to the right of its line
	late    int     // records by which the sections act too late
	slow    float64 // seconds in which the rate follows a change; usualSlow if zero
	lifted  span    // the bar is out of the ground
	shallow span    // the bar runs at shallowDepth
	leftOn  span    // all sections stay on, whatever lies below
	stuck   span    // the pump gives stuckRate, whatever is asked
	again   span    // driven to its end, then once more from its start
}

type span struct{ from, to float64 }

func (s span) has(m float64) bool { return m >= s.from && m < s.to }

// Fault is one thing that is wrong in the log on purpose.
type Fault struct {
	What  string
	Where string
}

// Faults lists what the log has wrong on purpose.
func Faults() []Fault {
	return []Fault{
		{"skip and overlap", "pass 7 runs 2 ft too far east: a strip is missed on one side and doubled on the other"},
		{"overlap", "pass 13 starts 130 ft back after a refill"},
		{"shallow stretch", "pass 17 runs at 2 in for 500 ft"},
		{"sections late", "on passes 20 to 22 the sections act 3 s late, at the waterway and at the headlands"},
		{"lifted bar", "pass 27 is driven with the bar up for 120 ft"},
		{"product in the setback", "pass 33 keeps its sections on beside the well"},
		{"rates off the map", "on passes 36 to 39 the rate follows the map with 20 s delay; on pass 40 the pump stays at 95 lb N/ac"},
	}
}

// passes is the plan of the work: two passes along each headland, then up and
// down from west to east. Pass numbers of Faults count the latter from 1.
func passes() []pass {
	var list []pass
	for i := range 2 {
		y := (float64(i) + 0.5) * barWidth
		list = append(list, turned(pass{a: orb.Point{-10, y}, b: orb.Point{800, y}, ground: wanted}, i))
	}
	for i := range 2 {
		list = append(list, turned(northPass(i), i))
	}
	const count = 44
	for i := range count {
		x := (float64(i) + 0.5) * barWidth
		north, slope := northEdge(x)
		end := north - headland*math.Hypot(1, slope) + 6
		if x > 700-barWidth {
			// Here the field ends at its slanting east edge.
			end = math.Min(end, 790-(x-barWidth/2-700)*3.7+6)
		}
		p := pass{a: orb.Point{x, headland - 6}, b: orb.Point{x, end}, ground: inner}
		list = append(list, withFaults(turned(p, i), i+1))
	}
	return list
}

// northPass runs along the slanting north edge.
func northPass(i int) pass {
	_, slope := northEdge(0)
	down := (float64(i) + 0.5) * barWidth * math.Hypot(1, slope)
	at := func(x float64) orb.Point {
		y, _ := northEdge(x)
		return orb.Point{x, y - down}
	}
	return pass{a: at(-10), b: at(760), ground: wanted}
}

// turned lets every second pass come back.
func turned(p pass, i int) pass {
	if i%2 == 1 {
		p.a, p.b = p.b, p.a
	}
	return p
}

func withFaults(p pass, number int) pass {
	switch {
	case number == 7:
		p.drift = 2 * feet // this pass goes north
	case number == 13:
		p.again = span{260, 300}
	case number == 17:
		p.shallow = span{330, 330 + 500*feet}
	case number >= 20 && number <= 22:
		p.late = 3
	case number == 27:
		p.lifted = span{430, 430 + 120*feet}
	case number == 33:
		p.leftOn = span{440, 620}
	case number >= 36 && number <= 39:
		p.slow = 20
	case number == 40:
		p.stuck = span{60, 400}
	}
	return p
}
