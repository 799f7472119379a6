package unit

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestParseRateUnit(t *testing.T) {
	spellings := map[RateUnit][]string{
		PoundsPerAcre:    {"lb/ac", "lbs/acre", "lb/acre", "LB/AC", "lb / ac", "lbs per acre", "[lb_av]/[acr_us]"},
		KgPerHectare:     {"kg/ha", "KG/HA", "kg/har", "kg per ha"},
		GallonsPerAcre:   {"gal/ac", "gpa", "GPA", "gallons/acre", "[gal_us]/[acr_us]"},
		LitresPerHectare: {"L/ha", "l/ha", "litres per hectare", "L/har"},
		ShortTonsPerAcre: {"ton/ac", "tons/acre", "short ton/ac", "[ston_av]/[acr_us]"},
		TonnesPerHectare: {"t/ha", "tonnes/ha", "Mg/ha", "t/har"},
	}
	for want, texts := range spellings {
		for _, s := range texts {
			got, err := ParseRateUnit(s)
			require.NoError(t, err)
			assert.Equal(t, want, got, s)
		}
	}
}

func TestRateUnitRefuses(t *testing.T) {
	const fit = "lb/ac, kg/ha, short ton/ac, t/ha, gal/ac, L/ha"
	for in, want := range map[string]string{
		"":        "the unit of the rate is missing; write " + fit,
		"lb":      `unit "lb" makes it a mass, not a rate; write ` + fit,
		"lb/ha":   `unit "lb/ha" is unknown for a rate; write ` + fit,
		"bags/ac": `unit "bags/ac" is unknown for a rate; write ` + fit,
		"lb N/ac": `unit "lb N/ac" mixes in what is counted; write lb/ac and say of: nitrogen`,
		"T/ac":    `unit "T/ac" could mean short ton or tonne; write ` + fit,
		"gal/min": `unit "gal/min" makes it a flow, not a rate; write ` + fit,
	} {
		_, err := ParseRateUnit(in)
		assert.EqualError(t, err, want)
	}
}

func TestRateUnitColumns(t *testing.T) {
	tests := []struct {
		unit              RateUnit
		product, nitrogen string
	}{
		{PoundsPerAcre, "LB_AC", "LB_N_AC"},
		{KgPerHectare, "KG_HA", "KG_N_HA"},
		{GallonsPerAcre, "GAL_AC", "GAL_AC"},
		{LitresPerHectare, "L_HA", "L_HA"},
		{ShortTonsPerAcre, "TON_AC", "TON_N_AC"},
		{TonnesPerHectare, "T_HA", "T_N_HA"},
		{RateUnit{}, "", ""},
	}
	for _, tt := range tests {
		assert.Equal(t, tt.product, tt.unit.Column(Product))
		assert.Equal(t, tt.nitrogen, tt.unit.Column(Nitrogen))
		assert.LessOrEqual(t, len(tt.unit.Column(Nitrogen)), 10, "a dBASE field name holds 10 characters")
	}
}

func TestRateUnitAmounts(t *testing.T) {
	for u, want := range map[RateUnit]string{
		PoundsPerAcre: "lb", KgPerHectare: "kg", GallonsPerAcre: "gal", LitresPerHectare: "L",
		ShortTonsPerAcre: "short ton", TonnesPerHectare: "t", {}: "",
	} {
		assert.Equal(t, want, u.Amount().String())
		assert.Equal(t, u.IsVolume(), u.Amount().IsVolume())
	}
	assert.Zero(t, RateUnit{}.PerHa())
}

func TestParseRate(t *testing.T) {
	for in, want := range map[string]Rate{
		"180 lb/ac":            {180, PoundsPerAcre},
		"33.9gpa":              {33.9, GallonsPerAcre},
		"0 kg/ha":              {0, KgPerHectare},
		"2 tons per acre":      {2, ShortTonsPerAcre},
		"180 [lb_av]/[acr_us]": {180, PoundsPerAcre},
		"  375.6   L / ha  ":   {375.6, LitresPerHectare},
		"1e2 kg/har":           {100, KgPerHectare},
	} {
		got, err := ParseRate(in)
		require.NoError(t, err)
		assert.Equal(t, want, got, in)
	}
	r, err := ParseRate("180 lb/ac")
	require.NoError(t, err)
	assert.InEpsilon(t, LbPerAcre(180).KgPerHa(), r.PerHa(), 1e-15)
}

func TestParseRateRefuses(t *testing.T) {
	const fit = "lb/ac, kg/ha, short ton/ac, t/ha, gal/ac, L/ha"
	for in, want := range map[string]string{
		"180":          `"180" is a bare number; add a unit to make it a rate: ` + fit,
		"60 ft":        `"60 ft": unit "ft" makes it a length, not a rate; write ` + fit,
		"180 lb N/ac":  `"180 lb N/ac": unit "lb N/ac" mixes in what is counted; write lb/ac and say of: nitrogen`,
		"-5 lb/ac":     `"-5 lb/ac": a rate cannot be negative`,
		"NaN lb/ac":    `"NaN lb/ac" does not begin with a number; write a rate such as "180 lb/ac"`,
		"1e308 ton/ac": `"1e308 ton/ac": the number is too large`,
		"1,5 t/ha":     `"1,5 t/ha": a comma stands in the number; write a point for decimals (1.5) and no thousands separators (1600)`,
	} {
		_, err := ParseRate(in)
		assert.EqualError(t, err, want)
	}
}

func TestParseOf(t *testing.T) {
	for _, o := range []Of{Nitrogen, Product} {
		got, err := ParseOf(" " + o.String())
		require.NoError(t, err)
		assert.Equal(t, o, got)
	}
	_, err := ParseOf("n")
	assert.EqualError(t, err, `"n" says not what the rate counts; write nitrogen or product`)
	assert.Equal(t, "unknown", Of(0).String())
}

func TestRateText(t *testing.T) {
	for want, r := range map[string]Rate{
		"33.91 gal/ac":       {33.905967, GallonsPerAcre},
		"375.6 L/ha":         {375.57, LitresPerHectare},
		"260.9 lb/ac":        {260.87, PoundsPerAcre},
		"0.0 lb/ac":          {math.Copysign(0.01, -1), PoundsPerAcre},
		"1.250 short ton/ac": {1.25, ShortTonsPerAcre},
		"n/a kg/ha":          {math.NaN(), KgPerHectare},
	} {
		assert.Equal(t, want, r.Text())
	}
}
