package rates

import (
	"fmt"
	"slices"
	"strings"
)

// zoneNotes are what is to be noted of a zone.
type zoneNotes struct {
	id    string
	notes []string
}

// named puts the notes of zones one after another, each with the zones that it is of; one
// that is of all of them has no name.
func named(zones []zoneNotes) []string {
	of := map[string][]string{}
	var order []string
	for _, z := range zones {
		for _, n := range z.notes {
			if of[n] == nil {
				order = append(order, n)
			}
			if !slices.Contains(of[n], z.id) {
				of[n] = append(of[n], z.id)
			}
		}
	}
	for i, n := range order {
		switch ids := of[n]; {
		case len(ids) == 1 && len(zones) > 1:
			order[i] = fmt.Sprintf("zone %s: %s", ids[0], n)
		case len(ids) < len(zones):
			order[i] = fmt.Sprintf("zones %s: %s", strings.Join(ids, ", "), n)
		}
	}
	return order
}
