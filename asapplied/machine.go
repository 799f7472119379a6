package asapplied

import (
	"fmt"
	"math"

	"ratewright/geo/unit"
)

// Machine is the bar that puts the product down.
type Machine struct {
	Name string
	// Width is the full working width; zero where every record of the log
	// carries its own.
	Width unit.Length
	// SectionCount is the number of equal sections, and SectionWidths are
	// unequal ones from left to right seen from behind; with neither, the log's
	// own sections are taken as equal.
	SectionCount  int
	SectionWidths []unit.Length
	// Behind and Right place the middle of the bar from the logged position,
	// positive behind and to the right of it in the direction of travel.
	Behind, Right unit.Length
	// Lag says that a logged value belongs to the position this much earlier.
	Lag unit.Duration
}

// cell is a part of the bar with one section, one rate lane and one depth lane.
type cell struct {
	from, to             float64 // fractions of the width, 0 at the left tip
	section, rate, depth int     // -1 where the log has none
}

// layout is how a bar is divided for one log.
type layout struct{ cells []cell }

// newLayout divides the bar of a machine at every edge of its sections and of
// the log's rate and depth lanes. Lanes as many as the sections are the
// sections; other lanes divide the bar evenly.
func newLayout(m Machine, sections, rates, depths int) (layout, error) {
	edges, err := m.sectionEdges(sections)
	if err != nil {
		return layout{}, err
	}
	lanes := func(n int) []float64 {
		if n == len(edges)-1 {
			return edges
		}
		return evenEdges(n)
	}
	rateEdges, depthEdges := lanes(rates), lanes(depths)
	var l layout
	for _, s := range mergeEdges(edges, rateEdges, depthEdges) {
		c := cell{from: s[0], to: s[1], section: -1, rate: -1, depth: -1}
		mid := (s[0] + s[1]) / 2
		if sections > 0 {
			c.section = laneAt(edges, mid)
		}
		if rates > 0 {
			c.rate = laneAt(rateEdges, mid)
		}
		if depths > 0 {
			c.depth = laneAt(depthEdges, mid)
		}
		l.cells = append(l.cells, c)
	}
	return l, nil
}

// sections is how many sections the machine is said to have; 0 where it is not.
func (m Machine) sections() int {
	if len(m.SectionWidths) > 0 {
		return len(m.SectionWidths)
	}
	return m.SectionCount
}

// sectionEdges returns the fractions of the width at which sections meet.
func (m Machine) sectionEdges(logged int) ([]float64, error) {
	n := m.sections()
	if n > 0 && logged > 0 && n != logged {
		return nil, fmt.Errorf("machine %s has %d sections but the log has %d for each record; correct `sections` of the machine, or map the right column", m.Name, n, logged)
	}
	if len(m.SectionWidths) == 0 {
		return evenEdges(logged), nil
	}
	if logged == 0 {
		return evenEdges(0), nil
	}
	edges := []float64{0}
	var at, total float64
	for _, w := range m.SectionWidths {
		total += w.Metres()
	}
	for _, w := range m.SectionWidths {
		at += w.Metres()
		edges = append(edges, at/total)
	}
	edges[n] = 1
	return edges, nil
}

func evenEdges(n int) []float64 {
	n = max(n, 1)
	edges := make([]float64, n+1)
	for i := range edges {
		edges[i] = float64(i) / float64(n)
	}
	return edges
}

// mergeEdges returns the parts of the bar between all edges. Edges closer than a
// millionth of the width are one.
func mergeEdges(lists ...[]float64) [][2]float64 {
	at := make([]int, len(lists))
	var parts [][2]float64
	from := 0.0
	for from < 1 {
		to := 1.0
		for i, l := range lists {
			for at[i] < len(l) && l[at[i]] <= from+1e-6 {
				at[i]++
			}
			if at[i] < len(l) {
				to = math.Min(to, l[at[i]])
			}
		}
		if to > 1-1e-6 {
			to = 1
		}
		parts = append(parts, [2]float64{from, to})
		from = to
	}
	return parts
}

func laneAt(edges []float64, f float64) int {
	for i := 1; i < len(edges); i++ {
		if f < edges[i] {
			return i - 1
		}
	}
	return len(edges) - 2
}
