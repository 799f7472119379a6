package rates

import (
	"fmt"
	"strings"
)

// byZone gathers sentences about zones, so that one that holds for many is said once.
type byZone struct {
	order []string
	of    map[string][]string // sentence to zones
}

func (b *byZone) add(zone, note string) {
	if b.of == nil {
		b.of = map[string][]string{}
	}
	if b.of[note] == nil {
		b.order = append(b.order, note)
	}
	if ids := b.of[note]; len(ids) == 0 || ids[len(ids)-1] != zone { // zones come one after another
		b.of[note] = append(ids, zone)
	}
}

// words are the sentences, each with its zones; of so many there are.
func (b *byZone) words(zones int) []string {
	var list []string
	for _, n := range b.order {
		switch ids := b.of[n]; {
		case len(ids) == zones && zones > 1:
			list = append(list, "all zones: "+n)
		case len(ids) == 1:
			list = append(list, fmt.Sprintf("zone %s: %s", ids[0], n))
		default:
			list = append(list, fmt.Sprintf("zones %s: %s", strings.Join(ids, ", "), n))
		}
	}
	return list
}
