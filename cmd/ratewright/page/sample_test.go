package page

import (
	"fmt"
	"math"
	"math/rand/v2"

	"github.com/paulmach/orb"
)

// box is a rectangle as a polygon, in metres.
func box(x0, y0, x1, y1 float64) orb.Polygon {
	return orb.Polygon{{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}, {x0, y0}}}
}

// blob is a wavy round polygon.
func blob(x, y, radius float64, seed uint64) orb.Polygon {
	r := rand.New(rand.NewPCG(seed, 1))
	a, b := r.Float64()*6, r.Float64()*6
	var ring orb.Ring
	for i := range 72 {
		t := 2 * math.Pi * float64(i) / 72
		d := radius * (1 + 0.25*math.Sin(2*t+a) + 0.12*math.Sin(5*t+b))
		ring = append(ring, orb.Point{x + d*math.Cos(t), y + d*math.Sin(t)})
	}
	return orb.Polygon{append(ring, ring[0])}
}

// sample is a made-up field of 800 m by 780 m after a pass.
func sample(strides int) Sheet {
	field := orb.Polygon{{{-400, -390}, {400, -390}, {400, 250}, {330, 390}, {-400, 390}, {-400, -390}}}
	low, mid := blob(-180, 120, 170, 3), blob(210, -150, 120, 5)
	rest := orb.Polygon{field[0], low[0], mid[0]}
	s := Sheet{
		Kind: Reconciliation, Field: "North Quarter", Subject: "sidedress, UAN 32", Date: "2026-06-12",
		Lead: []Figure{
			{Name: "missed", Value: "3.41", Unit: "ac", Key: "area_m2.missed", Alarm: true},
			{Name: "doubled", Value: "5.02", Unit: "ac", Key: "area_m2.doubled"},
			{Name: "too shallow", Value: "1.9", Unit: "ac", Key: "area_m2.shallow"},
			{Name: "short of the prescription", Value: "412", Unit: "lb N", Key: "n_kg.short", Alarm: true},
		},
		Tables: []Table{{
			Title: "By zone", Head: []string{"zone", "area", "prescribed"}, Units: []string{"", "ac", "lb N/ac"},
			Rows: [][]Cell{{{Text: "A"}, {"93.1", "zones.A.area_m2"}, {"150", "zones.A.rate"}}},
		}},
		Notes: []string{"Times are from the log."}, Cautions: []string{"Follow the label & the law."},
		Inputs: []Input{{"log.csv", "0123abcd"}}, Program: "ratewright 0",
		Map: Map{
			Lon0: -93.5, Lat0: 42, Boundary: orb.MultiPolygon{field}, RateUnit: "lb N/ac", DepthUnit: "in", Shallow: 3,
			LowRate: 95, HighRate: 185,
			OffLimits: []Place{{"creek", orb.MultiPolygon{box(-400, -120, -260, -80)}}},
			Zones: []Zone{
				{ID: "A", Polygons: orb.MultiPolygon{rest}, Rate: 150, Label: "150", Why: []string{"yield goal"}},
				{ID: "B", Polygons: orb.MultiPolygon{low}, Rate: 185, Label: "185"},
				{ID: "C", Polygons: orb.MultiPolygon{mid}, Rate: 95, Label: "95"},
			},
		},
	}
	add := func(kind, title string, p orb.Polygon) {
		a := math.Abs(signedArea(line(p[0])))
		s.Map.Patches = append(s.Map.Patches, Patch{
			Kind: kind, Title: title, Zone: "A", Polygons: orb.MultiPolygon{p}, AreaM2: a,
			Area: fmt.Sprintf("%.2f ac", a/4046.86), NKg: a / 100, N: "0 lb", ShortKg: a / 60, Short: "12 lb",
		})
	}
	add("missed", "Missed", box(-300, -300, 60, -291))
	add("missed", "Missed", box(120, 60, 126, 240))
	add("doubled", "Doubled", box(-380, 340, 300, 349))
	add("doubled", "Doubled", box(-380, -380, 380, -373))
	add("shallow", "Too shallow", blob(60, 60, 45, 9))
	add("light", "Below the prescription", blob(-80, -200, 50, 11))
	add("heavy", "Above the prescription", blob(260, 120, 40, 12))
	add("off_limits", "Applied off limits", box(-330, -120, -300, -100))
	add("outside", "Outside the field", box(400, -100, 412, 100))
	add("unprescribed", "No rate prescribed", blob(280, -300, 30, 15))
	for i := range 40 {
		y := -350 + 17.5*float64(i)
		add("lapped", "Lapped", box(-390, y, 390, y+0.4))
	}
	s.Map.Tracks = one(track(strides, 1)...)
	return s
}

// track drives up and down a field with 12 sections, as a GNSS receiver sees it.
func track(n int, seed uint64) []Stride {
	r := rand.New(rand.NewPCG(seed, 7))
	strides := make([]Stride, 0, n)
	const step, width = 1.6, 3.0
	odometer, along, lane, section := 0.0, -390.0, 0, 0
	var last [2][2]float32
	for i := range n {
		dir := 1.0
		if lane%2 == 1 {
			dir = -1
		}
		x := float64(lane) * width
		noise := func() float64 { return 0.03 * r.NormFloat64() }
		back := last
		if i == 0 || section == 0 {
			back = [2][2]float32{{float32(x + noise()), float32(along)}, {float32(x + width + noise()), float32(along)}}
		}
		along += dir * (step + noise())
		front := [2][2]float32{{float32(x + noise()), float32(along)}, {float32(x + width + noise()), float32(along + noise())}}
		strides = append(strides, Stride{
			Quad: [4][2]float32{back[0], back[1], front[1], front[0]},
			From: odometer, To: odometer + step/10, Time: 1.78e9 + float64(i)*0.2,
			Rate: float32(150 + 5*r.NormFloat64()), Depth: float32(4 + 0.3*r.NormFloat64()),
		})
		last = front
		odometer += step / 10
		section++
		if math.Abs(along) > 390 {
			lane, section = lane+1, 0
		}
	}
	return strides
}
