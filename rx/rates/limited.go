package rates

import (
	"fmt"
	"strings"

	"ratewright/geo/unit"
	"ratewright/rx"
)

// mostNamed is how many zones a sentence names before it counts the rest.
const mostNamed = 12

// Limited tells in a sentence what an application puts down in place of the rates that were
// worked out, where its limits and step change them; "" where they change none.
func (r Result) Limited(a rx.Application, u unit.System) (string, error) {
	var list []string
	changed := 0
	for _, z := range r.Zones {
		put, _, err := a.Put(z.Rate)
		if err != nil {
			return "", fmt.Errorf("zone %s: %w", z.ID, err)
		}
		if put == z.Rate {
			continue
		}
		if changed++; changed <= mostNamed {
			list = append(list, fmt.Sprintf("%s %s", z.ID, u.NRateNumber(put)))
		}
	}
	if changed == 0 {
		return "", nil
	}
	s := fmt.Sprintf("these are rates before the limits and the step of the application; with them prescribe makes the rate of zone %s %s", strings.Join(list, ", "), u.NRateUnit())
	if changed > mostNamed {
		s += fmt.Sprintf(", and changes %d more zones", changed-mostNamed)
	}
	return s, nil
}
