package unit

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestColumnUnits(t *testing.T) {
	tests := []struct {
		parse func(string) (float64, error)
		in    string
		want  float64
	}{
		{ParseLengthUnit, "ft", 0.3048},
		{ParseLengthUnit, "IN", 0.0254},
		{ParseLengthUnit, "us-ft", 1200.0 / 3937},
		{ParseAreaUnit, "acres", 4046.8564224},
		{ParseSpeedUnit, "mph", 0.44704},
		{ParseSpeedUnit, "km/h", 1 / 3.6},
		{ParseSpeedUnit, "m/s", 1},
		{ParseSpeedUnit, "ft/min", 0.3048 / 60},
		{ParseDurationUnit, "ms", 0.001},
		{ParseDurationUnit, "min", 60},
	}
	for _, tt := range tests {
		got, err := tt.parse(tt.in)
		require.NoError(t, err)
		assert.InEpsilon(t, tt.want, got, 1e-15, tt.in)
	}
	_, err := ParseSpeedUnit("ft")
	assert.EqualError(t, err, `unit "ft" makes it a length, not a speed; write m/s, km/h, mph`)
	_, err = ParseLengthUnit("")
	assert.EqualError(t, err, "the unit of a length is missing")
}

// 1 gpm is 231 cubic inches in 60 s; 60 lb/min is 1 lb/s.
func TestFlowUnits(t *testing.T) {
	for in, want := range map[string]FlowUnit{
		"kg/s":            {false, 1},
		"lb/s":            {false, 0.45359237},
		"lbs per min":     {false, 0.45359237 / 60},
		"kg/h":            {false, 1.0 / 3600},
		"gal/min":         {true, 3.785411784 / 60},
		"GPM":             {true, 3.785411784 / 60},
		"[gal_us]/min":    {true, 3.785411784 / 60},
		"L/min":           {true, 1.0 / 60},
		"l/s":             {true, 1},
		"short tons / hr": {false, 907.18474 / 3600},
	} {
		got, err := ParseFlowUnit(in)
		require.NoError(t, err)
		assert.Equal(t, want.IsVolume, got.IsVolume, in)
		assert.InEpsilon(t, want.PerSecond, got.PerSecond, 1e-14, in)
	}
	_, err := ParseFlowUnit("lb/ac")
	assert.EqualError(t, err, `unit "lb/ac" makes it a rate, not a flow; write kg/s, kg/h, lb/s, lb/min, L/s, L/min, gal/min`)
}

func TestAmountUnits(t *testing.T) {
	tests := []struct {
		in, name string
		volume   bool
		factor   float64
	}{
		{"kg", "kg", false, 1},
		{"lbs", "lb", false, 0.45359237},
		{"ton", "short ton", false, 907.18474},
		{"t", "t", false, 1000},
		{"Gallons", "gal", true, 3.785411784},
		{"L", "L", true, 1},
	}
	for _, tt := range tests {
		u, err := ParseAmountUnit(tt.in)
		require.NoError(t, err)
		assert.Equal(t, tt.name, u.String())
		assert.Equal(t, tt.volume, u.IsVolume())
		assert.InEpsilon(t, tt.factor, u.Factor(), 1e-14)
	}
	_, err := ParseAmountUnit("bags")
	assert.EqualError(t, err, `unit "bags" is unknown for a mass; write kg, g, t, lb, short ton, L, m3, gal`)
	assert.Zero(t, AmountUnit{}.Factor())
}
