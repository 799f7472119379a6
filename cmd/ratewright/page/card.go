package page

import (
	"math"
	"slices"
	"strings"
)

// Card is a sheet in short, for the page of many fields. It can be kept as JSON:
// what is read back is checked before it is drawn.
type Card struct {
	Figures []Figure `json:"figures"` // the lead of the sheet
	Picture []Shape  `json:"picture"`
	Page    string   `json:"page"` // file name of the page; "" for none
}

// Shape is an outline of the small picture, which is cardWidth by cardHeight.
type Shape struct {
	Fill   string `json:"fill"`   // a colour by its name
	Stroke string `json:"stroke"` // the same, or ""
	Path   string `json:"path"`   // as in SVG: numbers, M, l and z
}

const (
	cardWidth  = 240
	cardHeight = 180
	// cardBytes is about what a small picture may take: a season has hundreds.
	cardBytes = 4000
)

// cardKinds are the findings that a small picture shows, the most important last.
var cardKinds = []string{"heavy", "light", "shallow", "doubled", "missed"}

// Card returns the sheet in short. Outlines that would make the picture large are
// left out, the smallest first.
func (s Sheet) Card() Card {
	lo, hi := metres(Map{Boundary: s.Map.Boundary, Zones: s.Map.Zones})
	w, h := max(hi[0]-lo[0], 1), max(hi[1]-lo[1], 1)
	f := frame{x0: lo[0], y1: hi[1], thin: 0.5, scale: min((cardWidth-6)/w, (cardHeight-6)/h)}
	f.left, f.top = (cardWidth-w*f.scale)/2, (cardHeight-h*f.scale)/2
	c := Card{Figures: s.Lead}
	left := cardBytes
	add := func(fill, stroke string, rings []line) {
		var b svgWriter
		if b.path(rings, true); b.b.Len() > 0 && b.b.Len() <= left {
			left -= b.b.Len()
			c.Picture = append(c.Picture, Shape{fill, stroke, b.b.String()})
		}
	}
	boundary := flat(f.polygons(s.Map.Boundary))
	add("ground", "line", boundary)
	var zones []drawn
	for i, z := range s.Map.Zones {
		for _, rings := range f.polygons(z.Polygons) {
			zones = append(zones, drawn{i, rings, math.Abs(signedArea(rings[0]))})
		}
	}
	slices.SortStableFunc(zones, largestFirst)
	reserve := cardBytes / 2 // for patches
	for _, z := range zones {
		if step := rampStep(s.Map.Zones[z.of].Rate, s.Map.LowRate, s.Map.HighRate); step >= 0 && left > reserve {
			add("r"+digit(step), "", z.rings)
		}
	}
	for _, kind := range cardKinds {
		for _, p := range s.cardPatches(f, kind) {
			add("k-"+kind, "k-"+kind, p.rings) // a skip is often thinner than a pixel
		}
	}
	return c
}

// cardPatches are the largest patches of a kind, as outlines of the small picture.
func (s Sheet) cardPatches(f frame, kind string) []drawn {
	const most = 8
	var largest []int
	for i := range s.Map.Patches {
		if s.Map.Patches[i].Kind == kind {
			largest = append(largest, i)
		}
	}
	slices.SortStableFunc(largest, func(a, b int) int {
		if s.Map.Patches[a].AreaM2 > s.Map.Patches[b].AreaM2 {
			return -1
		}
		return 1
	})
	var list []drawn
	for _, i := range largest[:min(most, len(largest))] {
		for _, rings := range f.polygons(withoutHairlines(s.Map.Patches[i].Polygons)) {
			list = append(list, drawn{i, rings, 0})
		}
	}
	return list
}

func notOfPath(r rune) bool { return !strings.ContainsRune("0123456789.- Mlz", r) }

// svg draws the small picture. Shapes that are none of ours, which only a file that
// was changed by hand can hold, are left out.
func (c Card) svg() string {
	var w svgWriter
	w.s(`<svg class="small" viewBox="0 0 ` + num(cardWidth) + ` ` + num(cardHeight) + `" aria-hidden="true" stroke-linejoin="round">`)
	known := inkNames()
	for _, s := range c.Picture {
		if !slices.Contains(known, s.Fill) || s.Stroke != "" && !slices.Contains(known, s.Stroke) || strings.IndexFunc(s.Path, notOfPath) >= 0 {
			continue
		}
		w.s(`<path`)
		w.inks(s.Fill, s.Stroke, 1.2)
		w.s(` d="` + s.Path + `"/>`)
	}
	w.s("</svg>")
	return w.b.String()
}
