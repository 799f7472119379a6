package soil

import (
	"fmt"

	"ratewright/geo/vector"
)

// readHorizons adds the horizons between top and bottom, cm, to their components. strays
// are horizons whose component the table of components does not have.
func readHorizons(t table, owner map[string]*component, top, bottom float64) (strays int, err error) {
	const deepest = 1000 // cm
	err = rows(t, func(line int, row []string) error {
		key := t.text(row, "cokey")
		if key == "" {
			return &vector.InputError{File: t.path, Place: fmt.Sprintf("line %d", line), What: "has no cokey", Fix: "download the survey area again"}
		}
		c, listed := owner[key]
		if !listed {
			strays++
		}
		if c == nil {
			return nil
		}
		from, okFrom, err := t.number(line, row, "hzdept_r", 0, deepest)
		if err != nil {
			return err
		}
		to, okTo, err := t.number(line, row, "hzdepb_r", 0, deepest)
		if err != nil {
			return err
		}
		if !okFrom || !okTo {
			c.nowhere++
			return nil
		}
		if to < from {
			return &vector.InputError{File: t.path, Place: fmt.Sprintf("line %d", line), What: fmt.Sprintf("a horizon of %s ends at %g cm, above its top at %g cm", c.name, to, from), Fix: "correct the depths"}
		}
		thick := min(to, bottom) - max(from, top)
		if thick <= 0 {
			return nil
		}
		for _, s := range c.spans {
			if min(to, s[1])-max(from, s[0]) > 1e-9 {
				return &vector.InputError{File: t.path, Place: fmt.Sprintf("line %d", line), What: fmt.Sprintf("two horizons of %s overlap between %g and %g cm", c.name, max(from, s[0]), min(to, s[1])), Fix: "correct the depths"}
			}
		}
		c.spans = append(c.spans, [2]float64{from, to})
		described := false
		for i, p := range properties {
			for k, end := range []string{"_l", "_r", "_h"} {
				v, ok, err := t.number(line, row, p.column+end, 0, p.most)
				if err != nil {
					return err
				}
				if ok {
					described = true
					c.sum[i][k] += thick * v
					c.thick[i][k] += thick
				}
			}
		}
		if described { // else rock, water: it has depths and nothing else
			c.hasHorizon = true
			c.reach = max(c.reach, min(to, bottom)-top)
		}
		return nil
	})
	return strays, err
}
