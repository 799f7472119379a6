package nitrogen

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"ratewright/geo/unit"
)

// source returns a known source, with another density where lbPerGallon is set.
func source(t *testing.T, name string, lbPerGallon float64) Source {
	t.Helper()
	s, ok := Known(name)
	require.True(t, ok, name)
	if lbPerGallon != 0 {
		var err error
		s, err = s.WithDensity(unit.LbPerGallon(lbPerGallon))
		require.NoError(t, err)
	}
	return s
}

func poundsN(t *testing.T, s Source, v float64, u unit.RateUnit) float64 {
	t.Helper()
	n, err := s.NRateFrom(unit.Rate{Value: v, Unit: u}, unit.Product)
	require.NoError(t, err)
	return n.LbNPerAcre()
}

func product(t *testing.T, s Source, n unit.NRate, u unit.RateUnit) float64 {
	t.Helper()
	r, err := s.RateFor(n, u, unit.Product)
	require.NoError(t, err)
	require.Equal(t, u, r.Unit)
	return r.Value
}

// Published worked examples, and some by arithmetic from the published densities. Where the
// example states its own density or rounds by a known digit, the tolerance is
// half that digit; else it is 1 percent, by which published densities differ.
func TestPublishedExamples(t *testing.T) {
	const gal, lb, litres = "gal/ac", "lb/ac", "L/ha"
	unitOf := map[string]unit.RateUnit{gal: unit.GallonsPerAcre, lb: unit.PoundsPerAcre, litres: unit.LitresPerHectare}

	toN := []struct {
		example     string
		source      string
		lbPerGallon float64
		rate        float64
		unit        string
		want, delta float64 // lb N/ac
	}{
		{"1 Purdue, Camberato 2023: 28 x 10.6 / 100 = 2.97 lb N/gal", "uan-28", 10.6, 1, gal, 2.97, 0.005},
		{"1 Purdue, Camberato 2023: 20 gal/ac = 59.4 lb N/ac", "uan-28", 10.6, 20, gal, 59.4, 0.05},
		{"1 Purdue, Camberato 2023: 30 gal/ac = 90 (3.0 lb/gal, rounded)", "uan-28", 10.6, 30, gal, 90, 0.011 * 90},
		{"3 Michigan State: 8.6 gal/ac of 10-34-0 at 11.6 lb/gal = 10 lb N", "ammonium-polyphosphate", 11.6, 8.6, gal, 10, 0.01 * 10},
		{"4 Purdue, seed firm: 6.5 gal of 28 % = 20 lb N (rounded down: 4 %)", "uan-28", 0, 6.5, gal, 20, 0.04 * 20},
		{"4 Purdue, seed firm: 200 lb of 10-34-0 = 20 lb N", "ammonium-polyphosphate", 0, 200, lb, 20, 1e-9},
	}
	for _, e := range toN {
		s := source(t, e.source, e.lbPerGallon)
		assert.InDelta(t, e.want, poundsN(t, s, e.rate, unitOf[e.unit]), e.delta, e.example)
	}

	toProduct := []struct {
		example     string
		source      string
		density     unit.Density // stated by the example
		n           unit.NRate
		unit        string
		want, delta float64
	}{
		{"2 Iowa State, Sawyer: 124 lb N/ac as anhydrous = 151 lb/ac (124/0.82 = 151.2)", "anhydrous-ammonia", 0, unit.LbNPerAcre(124), lb, 151.2, 0.05},
		{"6 UAN 28 at 10.67: 120 lb N/ac = 40.17 gal/ac", "uan-28", 0, unit.LbNPerAcre(120), gal, 40.17, 0.005},
		{"6 UAN 28 at 10.67: 120 lb N/ac = 375.7 L/ha", "uan-28", 0, unit.LbNPerAcre(120), litres, 375.7, 0.05},
		{"6 UAN 32 at 11.06: 120 lb N/ac = 33.91 gal/ac", "uan-32", 0, unit.LbNPerAcre(120), gal, 33.91, 0.005},
		{"6 urea: 120 lb N/ac = 260.9 lb/ac", "urea", 0, unit.LbNPerAcre(120), lb, 260.9, 0.05},
		{"6 UAN 28 at 1.279 kg/L: 134.5 kg N/ha = 375.6 L/ha", "uan-28", unit.KgPerLitre(1.279), unit.KgNPerHa(134.5), litres, 375.6, 0.05},
		{"6 NH3: 150 lb N = 182.9 lb/ac", "anhydrous-ammonia", 0, unit.LbNPerAcre(150), lb, 182.9, 0.05},
		{"6 NH3: 150 lb N = 35.5 gal/ac liquid at 60 F", "anhydrous-ammonia", 0, unit.LbNPerAcre(150), gal, 35.5, 0.05},
	}
	for _, e := range toProduct {
		assert.InDelta(t, e.want, product(t, source(t, e.source, e.density.LbPerGallon()), e.n, unitOf[e.unit]), e.delta, e.example)
	}
}

// lb product per lb N, Univ. of California type table "Nitrogen fertilizer
// characteristics" (second-hand).
func TestPoundsOfProductPerPoundOfNitrogen(t *testing.T) {
	for name, want := range map[string]float64{"anhydrous-ammonia": 1.22, "ammonium-sulfate": 4.76, "urea": 2.17, "uan-32": 3.12} {
		got := source(t, name, 0).Product(unit.LbNPerAcre(1)).LbPerAcre()
		assert.InDelta(t, want, got, 0.0051, name) // 3.125 is printed 3.12
	}
	assert.InDelta(t, 0.28, product(t, source(t, "uan-32", 0), unit.LbNPerAcre(1), unit.GallonsPerAcre), 0.005)
}

// Every conversion returns to where it began, in every unit and either count.
func TestRatesRoundTrip(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	units := []unit.RateUnit{
		unit.PoundsPerAcre, unit.KgPerHectare, unit.ShortTonsPerAcre, unit.TonnesPerHectare,
		unit.GallonsPerAcre, unit.LitresPerHectare,
	}
	for _, s := range known() {
		for range 200 {
			n := unit.KgNPerHa(r.Float64() * 400)
			assert.InEpsilon(t, n.KgNPerHa(), s.Nitrogen(s.Product(n)).KgNPerHa(), 1e-14)
			for _, u := range units {
				for _, of := range []unit.Of{unit.Nitrogen, unit.Product} {
					rate, err := s.RateFor(n, u, of)
					if u.IsVolume() && (of == unit.Nitrogen || !s.HasDensity) {
						require.Error(t, err)
						continue
					}
					require.NoError(t, err)
					back, err := s.NRateFrom(rate, of)
					require.NoError(t, err)
					require.InEpsilon(t, n.KgNPerHa(), back.KgNPerHa(), 1e-14)
				}
			}
		}
	}
}

// A short ton is 2000 lb: 300 lb/ac of urea is 0.15 short ton/ac, and a tonne
// is not a short ton.
func TestShortTonsAreSaidAsSuch(t *testing.T) {
	urea := source(t, "urea", 0)
	r, err := urea.RateFor(unit.LbNPerAcre(138), unit.ShortTonsPerAcre, unit.Product)
	require.NoError(t, err)
	assert.Equal(t, "0.150 short ton/ac", r.Text())
	r, err = urea.RateFor(unit.KgNPerHa(138), unit.TonnesPerHectare, unit.Product)
	require.NoError(t, err)
	assert.Equal(t, "0.300 t/ha", r.Text())
}

func TestConversionsRefuse(t *testing.T) {
	urea, uan := source(t, "urea", 0), source(t, "uan-32", 0)
	tests := []struct {
		s    Source
		rate unit.Rate
		of   unit.Of
		want string
	}{
		{urea, unit.Rate{Value: 40, Unit: unit.GallonsPerAcre}, unit.Product, "source urea has no density, so gal/ac cannot be converted; set its density, or use a unit of mass such as lb/ac or kg/ha"},
		{uan, unit.Rate{Value: 40, Unit: unit.GallonsPerAcre}, unit.Nitrogen, "source uan-32: gal/ac is a volume of product and cannot count nitrogen; say of: product, or use lb/ac or kg/ha"},
		{uan, unit.Rate{Value: 40}, unit.Product, "source uan-32: the rate has no unit"},
		{uan, unit.Rate{Value: 40, Unit: unit.PoundsPerAcre}, 0, "source uan-32: the rate in lb/ac does not say whether it counts nitrogen or product"},
		{uan, unit.Rate{Value: -1, Unit: unit.PoundsPerAcre}, unit.Product, "source uan-32: a rate of -1 lb/ac is not possible"},
		{uan, unit.Rate{Value: math.NaN(), Unit: unit.PoundsPerAcre}, unit.Nitrogen, "source uan-32: a rate of NaN lb/ac is not possible"},
		{uan, unit.Rate{Value: math.Inf(1), Unit: unit.GallonsPerAcre}, unit.Product, "source uan-32: a rate of +Inf gal/ac is not possible"},
		{Source{Name: "water"}, unit.Rate{Value: 1, Unit: unit.PoundsPerAcre}, unit.Product, "source water has no nitrogen, so nitrogen and product cannot be converted"},
	}
	for _, tt := range tests {
		_, err := tt.s.NRateFrom(tt.rate, tt.of)
		assert.EqualError(t, err, tt.want)
	}
	for _, n := range []float64{-1, math.NaN(), math.Inf(1), math.MaxFloat64} {
		_, err := uan.RateFor(unit.KgNPerHa(n), unit.KgPerHectare, unit.Product)
		assert.ErrorContains(t, err, "is not possible")
	}
	_, err := urea.RateFor(unit.KgNPerHa(1), unit.LitresPerHectare, unit.Product)
	assert.EqualError(t, err, "source urea has no density, so L/ha cannot be converted; set its density, or use a unit of mass such as lb/ac or kg/ha")
}
