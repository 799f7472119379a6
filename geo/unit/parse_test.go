package unit

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// parsers are all the readers of a quantity, as float64 in SI, with what their
// String method writes.
var parsers = map[string]struct {
	parse    func(string) (float64, error)
	print    func(float64) string
	negative bool
}{
	"length":   {as(ParseLength), printed[Length], true},
	"area":     {as(ParseArea), printed[Area], false},
	"mass":     {as(ParseMass), printed[Mass], false},
	"volume":   {as(ParseVolume), printed[Volume], false},
	"density":  {as(ParseDensity), printed[Density], false},
	"speed":    {as(ParseSpeed), printed[Speed], false},
	"duration": {as(ParseDuration), printed[Duration], true},
}

func as[T ~float64](parse func(string) (T, error)) func(string) (float64, error) {
	return func(s string) (float64, error) {
		v, err := parse(s)
		return float64(v), err
	}
}

func printed[T interface {
	~float64
	String() string
}](v float64) string {
	return T(v).String()
}

func TestParse(t *testing.T) {
	tests := []struct {
		kind, in string
		want     float64
	}{
		{"length", "60 ft", 18.288},
		{"length", "60ft", 18.288},
		{"length", "  60   FT ", 18.288},
		{"length", "60 feet", 18.288},
		{"length", "60 [ft_i]", 18.288},
		{"length", "7 in", 0.1778},
		{"length", "7 in.", 0.1778},
		{"length", "7 [in_i]", 0.1778},
		{"length", "-2.5 m", -2.5},
		{"length", "+.5 Metres", 0.5},
		{"length", "3937 ftUS", 1200},
		{"length", "3937 US survey feet", 1200},
		{"length", "3937 [ft_us]", 1200},
		{"length", "36\u00a0m", 36},
		{"length", "1.5e2 cm", 1.5},
		{"length", "2 [mi_i]", 3218.688},
		{"area", "0.01 ac", 40.468564224},
		{"area", "1 [acr_us]", 4046.8564224},
		{"area", "2 ha", 20000},
		{"area", "2 har", 20000},
		{"area", "3 m²", 3},
		{"area", "43560 sq ft", 4046.8564224},
		{"mass", "1 ton", 907.18474},
		{"mass", "1 short ton", 907.18474},
		{"mass", "1 [ston_av]", 907.18474},
		{"mass", "1 t", 1000},
		{"mass", "1 metric ton", 1000},
		{"mass", "10 lbs", 4.5359237},
		{"mass", "10 [lb_av]", 4.5359237},
		{"volume", "1600 gal", 6056.6588544},
		{"volume", "1 [gal_us]", 3.785411784},
		{"volume", "6 l", 6},
		{"volume", "6 m3", 6000},
		{"density", "11.06 lb/gal", 1.325280286},
		{"density", "11.06 lbs per gallon", 1.325280286},
		{"density", "11.06 [lb_av]/[gal_us]", 1.325280286},
		{"density", "1.325 kg/L", 1.325},
		{"density", "1.325 g/mL", 1.325},
		{"density", "1325 kg/m3", 1.325},
		{"speed", "6 mph", 2.68224},
		{"speed", "6 [mi_i]/h", 2.68224},
		{"speed", "36 km/h", 10},
		{"speed", "2 m / s", 2},
		{"speed", "10 ft/s", 3.048},
		{"duration", "5 s", 5},
		{"duration", "-0.5 sec", -0.5},
		{"duration", "2 min", 120},
		{"duration", "1 h", 3600},
	}
	for _, tt := range tests {
		got, err := parsers[tt.kind].parse(tt.in)
		if assert.NoError(t, err) {
			assert.InEpsilon(t, tt.want, got, 1e-9, tt.in)
		}
	}
}

func TestParseFraction(t *testing.T) {
	for in, want := range map[string]float64{"10 %": 0.1, "10%": 0.1, "2.5 percent": 0.025, "0 %": 0, "150 %": 1.5} {
		got, err := ParseFraction(in)
		require.NoError(t, err, in)
		assert.InDelta(t, want, got, 1e-15, in)
	}
	for in, want := range map[string]string{
		"0.1":    `"0.1" is a bare number; add a unit to make it a share: %`,
		"10 ft":  `"10 ft": unit "ft" makes it a length, not a share; write %`,
		"-1 %":   `"-1 %": a share cannot be negative`,
		"":       `a share is missing; write a number and a unit, such as "10 %"`,
		"some %": `"some %" does not begin with a number; write a share such as "10 %"`,
	} {
		_, err := ParseFraction(in)
		assert.EqualError(t, err, want)
	}
}

func TestParseRefuses(t *testing.T) {
	tests := []struct{ kind, in, want string }{
		{"length", "60", `"60" is a bare number; add a unit to make it a length: m, cm, mm, km, ft, in, yd, mi, ftUS`},
		{"length", "", `a length is missing; write a number and a unit, such as "60 ft"`},
		{"length", "  ", `a length is missing; write a number and a unit, such as "60 ft"`},
		{"length", "ft", `"ft" does not begin with a number; write a length such as "60 ft"`},
		{"length", "180 lb/ac", `"180 lb/ac": unit "lb/ac" makes it a rate, not a length; write m, cm, mm, km, ft, in, yd, mi, ftUS`},
		{"length", "60 fathoms", `"60 fathoms": unit "fathoms" is unknown for a length; write m, cm, mm, km, ft, in, yd, mi, ftUS`},
		{"length", "1,5 m", `"1,5 m": a comma stands in the number; write a point for decimals (1.5) and no thousands separators (1600)`},
		{"volume", "1,600 gal", `"1,600 gal": a comma stands in the number; write a point for decimals (1.5) and no thousands separators (1600)`},
		{"volume", "1 600 gal", `"1 600 gal": the number is broken; write it without separators, with a point for decimals (1600.5)`},
		{"volume", "1'600 gal", `"1'600 gal": the number is broken; write it without separators, with a point for decimals (1600.5)`},
		{"volume", "1.600.000 L", `"1.600.000 L": the number is broken; write it without separators, with a point for decimals (1600.5)`},
		{"length", "7 1/2 in", `"7 1/2 in": the number is broken; write it without separators, with a point for decimals (1600.5)`},
		{"length", "1/2 in", `"1/2 in": a fraction stands in the number; write it as a decimal (0.5)`},
		{"length", "NaN ft", `"NaN ft" does not begin with a number; write a length such as "60 ft"`},
		{"length", "Inf m", `"Inf m" does not begin with a number; write a length such as "60 ft"`},
		{"length", "-inf m", `"-inf m" does not begin with a number; write a length such as "60 ft"`},
		{"length", "1e999 m", `"1e999 m": the number is too large`},
		{"length", "1e308 km", `"1e308 km": the number is too large`},
		{"area", "-1 ac", `"-1 ac": an area cannot be negative`},
		{"mass", "-1 lb", `"-1 lb": a mass cannot be negative`},
		{"mass", "1 T", `"1 T": unit "T" could mean short ton or tonne; write kg, g, t, lb, short ton`},
		{"mass", "1600 gal", `"1600 gal": unit "gal" makes it a volume, not a mass; write kg, g, t, lb, short ton`},
		{"volume", "-1 gal", `"-1 gal": a volume cannot be negative`},
		{"density", "0 kg/L", `"0 kg/L": a density must be above zero`},
		{"density", "-1 kg/L", `"-1 kg/L": a density cannot be negative`},
		{"speed", "-1 mph", `"-1 mph": a speed cannot be negative`},
		{"speed", "6 ft", `"6 ft": unit "ft" makes it a length, not a speed; write m/s, km/h, mph`},
		{"duration", "5 m", `"5 m": unit "m" makes it a length, not a duration; write s, ms, min, h`},
		{"length", strings.Repeat("é", 50), `"` + strings.Repeat("é", 20) + `…" does not begin with a number; write a length such as "60 ft"`},
	}
	for _, tt := range tests {
		_, err := parsers[tt.kind].parse(tt.in)
		assert.EqualError(t, err, tt.want)
	}
}

// What String writes parses back to the very same value.
func TestParsePrintRoundTrip(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for name, p := range parsers {
		for range 2000 {
			v := math.Ldexp(r.Float64()+0.5, r.IntN(2000)-1000)
			if p.negative && r.IntN(2) == 0 {
				v = -v
			}
			got, err := p.parse(p.print(v))
			require.NoError(t, err, name)
			require.Equal(t, v, got, "%s %s", name, p.print(v))
		}
	}
	for range 2000 {
		v := math.Ldexp(r.Float64()+0.5, r.IntN(1000)-500)
		for _, u := range rateUnits() {
			got, err := ParseRate(Rate{v, u}.String())
			require.NoError(t, err)
			require.Equal(t, Rate{v, u}, got)
		}
	}
}

// What a table shows parses back to within half of its last digit.
func TestTableTextParsesBack(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for range 2000 {
		v := r.Float64() * 500
		for _, s := range []System{US, SI} {
			l, err := ParseLength(s.Length(Metres(v)))
			require.NoError(t, err)
			require.InDelta(t, v, l.Metres(), s.half(Feet(0.05).Metres(), 0.005))
			d, err := ParseLength(s.Depth(Metres(v)))
			require.NoError(t, err)
			require.InDelta(t, v, d.Metres(), s.half(Inches(0.05).Metres(), 0.0005))
			a, err := ParseArea(s.Area(Hectares(v)))
			require.NoError(t, err)
			require.InDelta(t, v, a.Hectares(), s.half(Acres(0.005).Hectares(), 0.0005))
			sp, err := ParseSpeed(s.Speed(MetresPerSecond(v)))
			require.NoError(t, err)
			require.InDelta(t, v, sp.MetresPerSecond(), s.half(MilesPerHour(0.05).MetresPerSecond(), 0.05/3.6))
		}
		for _, u := range rateUnits() {
			got, err := ParseRate(Rate{v, u}.Text())
			require.NoError(t, err)
			require.Equal(t, u, got.Unit)
			require.InDelta(t, v, got.Value, 0.5001*math.Pow10(-u.decimals()))
		}
	}
}

// half is the tolerance for the system, with room for the last bit.
func (s System) half(us, si float64) float64 {
	if s == SI {
		return si * 1.0001
	}
	return us * 1.0001
}

func rateUnits() []RateUnit {
	return []RateUnit{PoundsPerAcre, KgPerHectare, GallonsPerAcre, LitresPerHectare, ShortTonsPerAcre, TonnesPerHectare}
}

// Every unit is found under each of its spellings, in capitals too unless it is
// a UCUM code, and none is claimed by two units of one kind.
func TestSpellingsAreFoundAndDistinct(t *testing.T) {
	for _, k := range kinds {
		seen := map[string]string{}
		for _, e := range k.units {
			for _, s := range append([]string{e.name}, e.also...) {
				got, ok := k.find(s)
				require.True(t, ok, "%s of %s", s, k.noun)
				require.Equal(t, e.name, got.name, s)
				if other, twice := seen[s]; twice {
					t.Errorf("%q is both %s and %s", s, other, e.name)
				}
				seen[s] = e.name
				if !strings.Contains(s, "[") && s != "t" && s != "Mg" && s != "ftUS" {
					up, ok := k.find(" " + strings.ToUpper(s) + " ")
					require.True(t, ok, strings.ToUpper(s))
					require.Equal(t, e.name, up.name)
				}
			}
		}
	}
}

// No text makes a parser panic, nor gives a value that is not finite or is
// negative where it may not be; what is accepted prints and parses back.
func FuzzParse(f *testing.F) {
	for _, s := range []string{"60 ft", "7in", "1,5 m", "-0 s", "1e3 kg", "10 %", "11.06 lb/gal", "NaN m", "1e-400 L", "5 lb per ac", "5 /", "5 T", "\xff", "1\u202f000 m"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		for name, p := range parsers {
			v, err := p.parse(s)
			if err != nil {
				assert.NotEmpty(t, err.Error())
				continue
			}
			if !finite(v) || v < 0 && !p.negative {
				t.Fatalf("%s %q gave %g", name, s, v)
			}
			back, err := p.parse(p.print(v))
			if err != nil || back != v {
				t.Fatalf("%s %q: %g printed as %q gave %g, %v", name, s, v, p.print(v), back, err)
			}
		}
		if v, err := ParseFraction(s); err == nil && !(v >= 0 && finite(v)) {
			t.Fatalf("fraction %q gave %g", s, v)
		}
		if r, err := ParseRate(s); err == nil {
			if !(r.PerHa() >= 0 && finite(r.PerHa())) {
				t.Fatalf("rate %q gave %g", s, r.PerHa())
			}
			if back, err := ParseRate(r.String()); err != nil || back != r {
				t.Fatalf("rate %q printed as %q gave %v, %v", s, r, back, err)
			}
		}
		fuzzUnits(t, s)
	})
}

func fuzzUnits(t *testing.T, s string) {
	for name, parse := range map[string]func(string) (float64, error){
		"length": ParseLengthUnit, "area": ParseAreaUnit, "speed": ParseSpeedUnit, "duration": ParseDurationUnit,
	} {
		if v, err := parse(s); (err == nil) != (v > 0 && finite(v)) {
			t.Fatalf("%s unit %q gave %g, %v", name, s, v, err)
		}
	}
	if u, err := ParseFlowUnit(s); (err == nil) != (u.PerSecond > 0) {
		t.Fatalf("flow unit %q gave %v, %v", s, u, err)
	}
	if u, err := ParseAmountUnit(s); (err == nil) != (u.Factor() > 0) {
		t.Fatalf("amount unit %q gave %v, %v", s, u, err)
	}
	if u, err := ParseRateUnit(s); (err == nil) != (u.PerHa() > 0) {
		t.Fatalf("rate unit %q gave %v, %v", s, u, err)
	}
}
