// Package starter says how much nitrogen and potash may lie with the seed or beside it.
// Salt and ammonia there keep corn from coming up. States and soils differ, so a limit
// is always that of a named table, and the label and local advice decide.
package starter

import (
	"fmt"
	"math"

	"ratewright/geo/unit"
)

// Placement is where a starter lies.
type Placement string

// The placements.
const (
	WithSeed  Placement = "with-seed"
	TwoByTwo  Placement = "2x2" // 2 in beside and 2 in below the seed
	Elsewhere Placement = ""
)

// Soil is how much salt a soil bears.
type Soil string

// The soils.
const (
	Medium Soil = "medium" // silt and clay loams
	Sandy  Soil = "sandy"  // sands and sandy loams
)

// Tables are the names of the tables of limits with the seed.
func Tables() []string { return []string{"kansas-state", "michigan-state", "virginia-tech"} }

// Start is a starter as it is put down.
type Start struct {
	Placement Placement
	Table     string // with the seed: one of Tables
	Soil      Soil
	Rows      unit.Length
	N         unit.NRate
	K2O       unit.NRate // potash, kg K2O/ha
	// Urea, UAN and thiosulfate give off ammonia or burn: never with the seed.
	Urea, Thiosulfate bool
	Ammonia           bool // anhydrous: never with the seed nor beside it
	Unknown           bool // how the nitrogen of the source is bound is not known
	// Limit takes the place of the table's where it is above zero.
	Limit unit.NRate
	Units unit.System // of the sentence
}

// Verdict is what may lie there against what does.
type Verdict struct {
	Sum, Limit unit.NRate // N and K2O together
	Source     string
	Within     bool
	Words      string
}

// Check compares a starter with its limit. It refuses what must never lie with the
// seed, and what cannot be.
func Check(s Start) (Verdict, error) {
	if s.Placement != WithSeed && s.Placement != TwoByTwo {
		return Verdict{}, fmt.Errorf("a starter lies with-seed or 2x2, not %q; say which", s.Placement)
	}
	for _, of := range []struct {
		what string
		v    unit.NRate
	}{{"nitrogen", s.N}, {"potash", s.K2O}, {"a limit", s.Limit}} {
		if f := of.v.KgNPerHa(); !(f >= 0) || math.IsInf(f, 0) {
			return Verdict{}, fmt.Errorf("%s of %g kg/ha in a starter cannot be", of.what, f)
		}
	}
	if s.Ammonia {
		return Verdict{}, fmt.Errorf("anhydrous ammonia is no starter: it kills seedlings with the seed or 2 in from it (common practice); take another source")
	}
	if s.Placement == WithSeed && (s.Urea || s.Thiosulfate) {
		return Verdict{}, fmt.Errorf("urea, UAN and ammonium thiosulfate are never put with the seed: ammonia and salt kill seedlings (Hergert & Wortmann 2006, Univ. of Nebraska); put them 2 in away at least, or take another source")
	}
	v := Verdict{Sum: s.N + s.K2O}
	var err error
	if v.Limit, v.Source, err = s.limit(); err != nil {
		return Verdict{}, err
	}
	v.Within = v.Sum <= v.Limit*(1+1e-9)
	than := "within"
	if !v.Within {
		than = "above"
	}
	sum, limit := s.perArea(v.Sum, 1), s.perArea(v.Limit, 1)
	for digits := 2; !v.Within && sum == limit && digits <= 6; digits++ { // rounded, they would read alike
		sum, limit = s.perArea(v.Sum, digits), s.perArea(v.Limit, digits)
	}
	v.Words = fmt.Sprintf("%s of N + K2O %s is %s the limit of %s by %s; limits differ between states, and the label and local advice decide",
		sum, s.Placement, than, limit, v.Source)
	if s.Placement == WithSeed && s.Unknown {
		v.Words += "; how the nitrogen of the source is bound is not known: make sure that it holds no urea, UAN or thiosulfate"
	}
	return v, nil
}

// perArea is N and K2O together, which are not N alone.
func (s Start) perArea(n unit.NRate, digits int) string {
	if s.Units == unit.SI {
		return fmt.Sprintf("%.*f kg/ha", digits, n.KgNPerHa())
	}
	return fmt.Sprintf("%.*f lb/ac", digits, n.LbNPerAcre())
}

func (s Start) limit() (unit.NRate, string, error) {
	if s.Limit > 0 {
		return s.Limit, "the limit given in the job", nil
	}
	if s.Placement == TwoByTwo {
		return unit.LbNPerAcre(besideLimit), "Ohio State Univ.", nil
	}
	if s.Soil != Medium && s.Soil != Sandy {
		return 0, "", fmt.Errorf("the soil is %q; a limit with the seed is known for medium and sandy soils", s.Soil)
	}
	switch s.Table {
	case "kansas-state":
		lb, err := kansas(s.Soil, s.Rows.Inches())
		source := "Kansas State Univ. (Ruiz Diaz)"
		if in := s.Rows.Inches(); in < 19.9 || in > 40.1 {
			source += fmt.Sprintf(", carried on to rows of %s from its %s to %s", s.Units.Depth(s.Rows), s.Units.DepthNumber(unit.Inches(20)), s.Units.DepthNumber(unit.Inches(40)))
		}
		return unit.LbNPerAcre(lb), source, err
	case "virginia-tech": // counts N and K, so that N and K2O are the stricter sum
		return unit.LbNPerAcre(virginia), "Virginia Tech and Penn State", nil
	case "michigan-state":
		if s.Soil == Sandy {
			return unit.LbNPerAcre(michiganSandy), "Michigan State Univ.", nil
		}
		return unit.LbNPerAcre(michiganMedium), "Michigan State Univ.", nil
	}
	return 0, "", fmt.Errorf("no table of limits is called %q; there are %v", s.Table, Tables())
}

// kansas is the limit by the width of rows. Between the widths of the table it runs with
// 1/width, so that a wider row never has the higher limit; beyond them the limit for a foot
// of row is that of the nearest width.
func kansas(soil Soil, rowsIn float64) (float64, error) {
	if !(rowsIn >= 10 && rowsIn <= 60) {
		return 0, fmt.Errorf("rows of %.1f in cannot be; write their distance, such as 30 in", rowsIn)
	}
	at20, at30, at40 := float64(kansasMedium20), float64(kansasMedium30), float64(kansasMedium40)
	if soil == Sandy {
		at20, at30, at40 = kansasSandy20, kansasSandy30, kansasSandy40
	}
	switch {
	case rowsIn <= 20:
		return at20 * 20 / rowsIn, nil
	case rowsIn <= 30:
		return between(rowsIn, 20, at20, 30, at30), nil
	case rowsIn <= 40:
		return between(rowsIn, 30, at30, 40, at40), nil
	}
	return at40 * 40 / rowsIn, nil
}

// between runs from the limit at one width to that at a wider one, in a line over 1/width.
func between(rowsIn, narrow, atNarrow, wide, atWide float64) float64 {
	share := (1/narrow - 1/rowsIn) / (1/narrow - 1/wide)
	return atNarrow + share*(atWide-atNarrow)
}
