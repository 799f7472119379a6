package course

import (
	"encoding/csv"
	"io"
	"strconv"
)

// WriteCSV writes a row for each application, zone and day, with the keys of loss.json
// as columns: those of the years of the record, and behind actual_ those of the year
// itself, empty where that is not known.
func (doc *JSON) WriteCSV(w io.Writer) error {
	out := csv.NewWriter(w)
	head := []string{"application", "zone", "area_m2", "n_rate_kg_ha", "day", "date"}
	for _, prefix := range []string{"years_", "actual_"} {
		for _, c := range (&FateJSON{}).columns() {
			head = append(head, prefix+c.name)
		}
		if prefix == "years_" {
			head = append(head, prefix+"still_there_worst_fifth_kg_ha")
		}
	}
	if err := out.Write(head); err != nil {
		return err
	}
	for _, a := range doc.Applications {
		for _, z := range a.Zones {
			for _, d := range z.Days {
				row := []string{a.Name, z.ID, number(z.AreaM2), number(z.NRateKgHa), strconv.Itoa(d.Day), d.Date}
				for _, c := range d.Years.columns() {
					row = append(row, c.text())
				}
				row = append(row, number(d.Years.WorstFifth))
				for _, c := range d.Actual.columns() {
					row = append(row, c.text())
				}
				if err := out.Write(row); err != nil {
					return err
				}
			}
		}
	}
	out.Flush()
	return out.Error()
}

type column struct {
	name string
	v    *float64
}

func (c column) text() string {
	if c.v == nil {
		return ""
	}
	return number(*c.v)
}

func number(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }

// columns are the figures with their keys, in the order of the JSON; none has a value
// where nothing is known.
func (f *FateJSON) columns() []column {
	if f == nil {
		list := (&FateJSON{}).columns()
		for i := range list {
			list[i].v = nil
		}
		return list
	}
	return []column{
		{"still_there_kg_ha", &f.StillThere},
		{"still_there_low_kg_ha", &f.StillLow},
		{"still_there_high_kg_ha", &f.StillHigh},
		{"still_there_p5_kg_ha", f.StillP5},
		{"still_there_p95_kg_ha", f.StillP95},
		{"urea_kg_ha", &f.Urea},
		{"ammonium_kg_ha", &f.Ammonium},
		{"nitrate_kg_ha", &f.Nitrate},
		{"held_kg_ha", &f.Held},
		{"lost_kg_ha", &f.Lost},
		{"lost_low_kg_ha", &f.LostLow},
		{"lost_high_kg_ha", &f.LostHigh},
		{"lost_p5_kg_ha", f.LostP5},
		{"lost_p95_kg_ha", f.LostP95},
		{"ammonia_kg_ha", &f.Ammonia},
		{"at_injection_kg_ha", &f.AtInjection},
		{"denitrified_kg_ha", &f.Denitrified},
		{"leached_kg_ha", &f.Leached},
	}
}
