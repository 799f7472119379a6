package unit

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestSystemPrints(t *testing.T) {
	tests := []struct{ us, si, wantUS, wantSI string }{
		{US.Area(Acres(12.3)), SI.Area(Acres(12.3)), "12.30 ac", "4.978 ha"},
		{US.NMass(Pounds(1240)), SI.NMass(Pounds(1240)), "1240.0 lb N", "562.5 kg N"},
		{US.NRate(LbNPerAcre(120)), SI.NRate(LbNPerAcre(120)), "120.0 lb N/ac", "134.5 kg N/ha"},
		{US.Yield(BushelsPerAcre(200)), SI.Yield(BushelsPerAcre(200)), "200.0 bu/ac", "12.55 t/ha"},
		{US.Return(2.4710538), SI.Return(2.4710538), "1.00 $/ac", "2.47 $/ha"},
		{US.NPrice(NPrice(1)), SI.NPrice(NPrice(1)), "0.454 $/lb", "1.000 $/kg"},
		{US.GrainPrice(GrainPrice(0.2)), SI.GrainPrice(GrainPrice(0.2)), "5.08 $/bu", "200.0 $/t"},
		{US.Length(Feet(60)), SI.Length(Feet(60)), "60.0 ft", "18.29 m"},
		{US.Depth(Inches(3.5)), SI.Depth(Inches(3.5)), "3.5 in", "8.9 cm"},
		{US.Speed(MilesPerHour(6)), SI.Speed(MilesPerHour(6)), "6.0 mph", "9.7 km/h"},
		{US.Area(SquareMetres(-1e-9)), SI.Area(SquareMetres(-1e-9)), "0.00 ac", "0.000 ha"},
		{US.Area(SquareMetres(math.NaN())), SI.Length(Metres(math.Inf(1))), "n/a ac", "n/a m"},
	}
	for _, tt := range tests {
		assert.Equal(t, tt.wantUS, tt.us)
		assert.Equal(t, tt.wantSI, tt.si)
	}
}

func TestStringsHoldNoNaN(t *testing.T) {
	assert.Equal(t, "n/a", Metres(math.NaN()).String())
	assert.Equal(t, "n/a", KgNPerHa(math.Inf(-1)).String())
	assert.Equal(t, "134.5 kg N/ha", KgNPerHa(134.5).String())
	assert.Equal(t, "292 kg/ha", KgPerHa(292).String())
}

func TestParseSystem(t *testing.T) {
	for _, s := range []System{US, SI} {
		got, err := ParseSystem(s.String())
		require.NoError(t, err)
		assert.Equal(t, s, got)
	}
	got, err := ParseSystem(" SI ")
	require.NoError(t, err)
	assert.Equal(t, SI, got)
	_, err = ParseSystem("metric")
	assert.EqualError(t, err, `units "metric" are unknown; write us or si`)
}
