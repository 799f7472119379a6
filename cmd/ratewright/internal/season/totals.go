package season

import (
	"fmt"
	"strconv"
	"strings"

	"ratewright/cmd/ratewright/page"
	"ratewright/geo/unit"
)

// Totals are sums over the rows of a season. A figure that a row does not know is not
// in the sum; Known says how many rows do.
type Totals struct {
	Fields       int `json:"fields"`        // jobs
	FieldsFailed int `json:"fields_failed"` // those of which an application failed
	Findings     int `json:"findings"`      // beyond what the jobs accept
	// FieldM2 is the ground of the fields, each once however many applications it has;
	// null where none is known.
	FieldM2 *float64 `json:"field_m2"`
	// AreaM2 and NitrogenKg have the keys of the rows; null where no row knows one.
	AreaM2     map[string]*float64 `json:"area_m2"`
	NitrogenKg map[string]*float64 `json:"nitrogen_kg"`
	Known      KnownRows           `json:"known"`
}

// KnownRows counts the rows whose figures are in a sum.
type KnownRows struct {
	AreaM2     map[string]int `json:"area_m2"`
	NitrogenKg map[string]int `json:"nitrogen_kg"`
}

// totalsOf adds up the rows.
func totalsOf(rows []Row) Totals {
	t := Totals{
		Fields: fields(rows), AreaM2: unknown(areaKeys), NitrogenKg: unknown(nitrogenKeys),
		Known: KnownRows{AreaM2: map[string]int{}, NitrogenKg: map[string]int{}},
	}
	failed, measured := map[int]bool{}, map[int]bool{}
	for i := range rows {
		r := &rows[i]
		t.Findings += len(r.Findings)
		if r.State == Failed {
			failed[r.Number] = true
		}
		if m2 := r.AreaM2["field"]; m2 != nil && !measured[r.Number] {
			measured[r.Number] = true
			added(&t.FieldM2, *m2)
		}
		sum(areaKeys, r.AreaM2, t.AreaM2, t.Known.AreaM2)
		sum(nitrogenKeys, r.NitrogenKg, t.NitrogenKg, t.Known.NitrogenKg)
	}
	t.FieldsFailed = len(failed)
	return t
}

func sum(keys []string, row, into map[string]*float64, known map[string]int) {
	for _, k := range keys {
		known[k] += 0 // there, also where no row has it
		if v := row[k]; v != nil {
			known[k]++
			total := into[k]
			added(&total, *v)
			into[k] = total
		}
	}
}

func added(to **float64, v float64) {
	if *to != nil {
		v += **to
	}
	*to = &v
}

// totalFigures are the sums as the page has them.
func (s *Season) totalFigures() []page.Figure {
	t, u, rows := &s.Totals, unitsOf(s.Rows), len(s.Rows)
	list := []page.Figure{{Name: "fields with errors", Value: strconv.Itoa(t.FieldsFailed), Key: "totals.fields_failed", Alarm: t.FieldsFailed > 0, More: fmt.Sprintf("of %d", t.Fields)}}
	list = append(list, page.Figure{Name: "findings", Value: strconv.Itoa(t.Findings), Key: "totals.findings", Alarm: t.Findings > 0})
	if t.FieldM2 != nil {
		list = append(list, page.Figure{Name: "fields", Value: u.AreaNumber(unit.SquareMetres(*t.FieldM2)), Unit: u.AreaUnit(), Key: "totals.field_m2"})
	}
	part := func(known int) string {
		if known == rows {
			return ""
		}
		return fmt.Sprintf("known of %d of %d", known, rows)
	}
	for _, k := range []struct{ key, name string }{{"covered", "covered"}, {"missed", "missed"}, {"doubled", "doubled"}, {"shallow", "too shallow"}} {
		if v := t.AreaM2[k.key]; v != nil {
			list = append(list, page.Figure{
				Name: k.name, Value: u.AreaNumber(unit.SquareMetres(*v)), Unit: u.AreaUnit(),
				Key: "totals.area_m2." + k.key, More: part(t.Known.AreaM2[k.key]),
			})
		}
	}
	for _, k := range []struct{ key, name string }{
		{"prescribed", "nitrogen prescribed"}, {"applied", "nitrogen applied"}, {"short", "short of the prescription"}, {"excess", "beyond the prescription"},
	} {
		if v := t.NitrogenKg[k.key]; v != nil {
			m := unit.Kilograms(*v)
			list = append(list, page.Figure{
				Name: k.name, Value: u.NMassNumber(m), Unit: u.NMassUnit(), Key: "totals.nitrogen_kg." + k.key,
				More: joinedWords(tons(u, m), part(t.Known.NitrogenKg[k.key])),
			})
		}
	}
	return list
}

// tons is a mass of nitrogen as it is bought; "" for less than one.
func tons(u unit.System, m unit.Mass) string {
	v, name := m.ShortTons(), "tons"
	if u == unit.SI {
		v, name = m.Kilograms()/1000, "t"
	}
	if v < 1 {
		return ""
	}
	return strconv.FormatFloat(v, 'f', 2, 64) + " " + name
}

func joinedWords(parts ...string) string {
	var list []string
	for _, p := range parts {
		if p != "" {
			list = append(list, p)
		}
	}
	return strings.Join(list, ", ")
}

// unitsOf are the units of sums: SI where all jobs that could be read speak in it.
func unitsOf(rows []Row) unit.System {
	si := false
	for i := range rows {
		switch rows[i].Units {
		case unit.US.String():
			return unit.US
		case unit.SI.String():
			si = true
		}
	}
	if si {
		return unit.SI
	}
	return unit.US
}
