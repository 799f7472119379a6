package guard

import (
	"testing"

	"github.com/stretchr/testify/require"

	"ratewright/geo/unit"
	"ratewright/rx/nitrogen"
)

func words(t *testing.T, s Situation, u unit.System, key string) string {
	t.Helper()
	list, err := Check(s, DefaultOptions(), u)
	require.NoError(t, err)
	for _, w := range list {
		if w.Key == key {
			return w.Words
		}
	}
	return ""
}

// A figure just past its bound is printed so that it can be told from the bound.
func TestAFigureJustPastItsBoundIsToldApart(t *testing.T) {
	corn := overCorn(t)
	corn.Placement = Broadcast
	for _, c := range []struct {
		base   Situation
		change change
		key    string
		us, si string
	}{
		{harmless(t), deep(4.99), AmmoniaDepth, "Ammonia at 4.99 in is shallower than the least depth of practice, 5 in", "Ammonia at 12.67 cm is shallower than the least depth of practice, 12.7 cm"},
		{harmless(t), deep(5.82), AmmoniaDepth, "Ammonia at 5.8 in is shallower than the 6 in", "Ammonia at 14.8 cm is shallower than the 15.2 cm"},
		{corn, both(rate(90.4), func(s *Situation) { s.Stage = &Stages{3, 4} }), UANOverCorn, "90.4 lb N/ac of UAN broadcast over corn at V3 to V4: above the 90 lb N/ac", "101.3 kg N/ha of UAN broadcast over corn at V3 to V4: above the 100.9 kg N/ha"},
		{corn, both(rate(60.2), func(s *Situation) { s.Stage = &Stages{7, 7} }), UANOverCorn, "60.2 lb N/ac of UAN broadcast over corn at V7: above the 60 lb N/ac", "67.5 kg N/ha of UAN broadcast over corn at V7: above the 67.3 kg N/ha"},
		{corn, both(rate(60.2), func(s *Situation) { s.Stage, s.Atrazine = &Stages{3, 4}, Unknown }), UANOverCorn, "60.2 lb N/ac of UAN broadcast over corn at V3 to V4 burns leaves; whether atrazine goes with it is not known, and with it this is above the 60 lb N/ac", "67.5 kg N/ha of UAN broadcast over corn at V3 to V4 burns leaves; whether atrazine goes with it is not known, and with it this is above the 67.3 kg N/ha"},
		{harmless(t), func(s *Situation) { s.Season, s.SoilC = Fall, ptr(10.01) }, FallAmmonia, "into soil of 50.02 °F, above 50 °F", "into soil of 10.01 °C, above 10 °C"},
	} {
		s := c.base
		c.change(&s)
		require.Contains(t, words(t, s, unit.US, c.key), c.us)
		require.Contains(t, words(t, s, unit.SI, c.key), c.si)
	}
}

// The depths asked for are about so many inches: the whole centimetres of metric practice
// count as them, and the same depth is judged alike in both systems.
func TestWholeCentimetresCountAsTheInches(t *testing.T) {
	cm := func(v float64) change { return func(s *Situation) { l := unit.Metres(v / 100); s.Depth = &l } }
	coarse := func(s *Situation) { s.Texture = "coarse" }
	untold := func(s *Situation) { s.Texture = "" }
	for _, c := range []speaks{
		{"15 cm in fine soil", cm(15), AmmoniaDepth, 0, false, ""},
		{"14 cm in fine soil", cm(14), AmmoniaDepth, Note, false, "Ammonia at 5.5 in is shallower than the 6 in"},
		{"20 cm in coarse soil", both(cm(20), coarse), AmmoniaDepth, 0, false, ""},
		{"19 cm in coarse soil", both(cm(19), coarse), AmmoniaDepth, Note, false, "Ammonia at 7.5 in is shallower than the 8 in"},
		{"20 cm in dry soil", both(cm(20), func(s *Situation) { s.Moisture = Dry }), AmmoniaDepth, 0, false, ""},
		{"20 cm, texture not told", both(cm(20), untold), AmmoniaDepth, 0, false, ""},
		{"12.6 cm, no depth of practice", cm(12.6), AmmoniaDepth, Warn, false, "Ammonia at 4.96 in is shallower than the least depth of practice, 5 in"},
	} {
		c.hold(t, harmless(t))
	}
}

// A figure that rounding alone carries past its bound is at it: a plan's rates are steps
// added up, and 90 lb/ac made of nine of them is no more than 90.
func TestRoundingPassesNoBound(t *testing.T) {
	corn := overCorn(t)
	corn.Placement, corn.Stage = Broadcast, &Stages{3, 4}
	step := unit.LbNPerAcre(10)
	steps := func(n int) unit.NRate { return unit.NRate(float64(n) * (1 + 1e-15) * float64(step)) }
	require.NotEqual(t, unit.LbNPerAcre(90), steps(9), "or the test shows nothing")
	for _, c := range []struct {
		base   Situation
		change change
		key    string
		level  Level
	}{
		{corn, func(s *Situation) { s.N = steps(9) }, UANOverCorn, Note},
		{harmless(t), both(soon(2), func(s *Situation) { s.N = unit.NRate(float64(unit.LbNPerAcre(100)) * (1 + 1e-14)) }), AmmoniaRate, 0},
		{harmless(t), func(s *Situation) { s.Season, s.SoilC = Fall, ptr(10*(1+1e-14)) }, FallAmmonia, 0},
		{corn, func(s *Situation) {
			s.Source, s.Residue, s.RainMM = source(t, "urea"), ptr(0.6), []float64{14.6 * (1 - 1e-14), 0}
		}, SurfaceUrea, 0},
		{corn, func(s *Situation) {
			s.Source, s.Residue, s.RainMM = source(t, "urea"), ptr(0.3*(1-1e-14)), []float64{0, 0}
		}, SurfaceUrea, Warn},
		{harmless(t), both(soon(5), func(s *Situation) { s.AngleDeg = ptr(10 * (1 - 1e-14)) }), AmmoniaAngle, 0},
	} {
		s := c.base
		c.change(&s)
		require.Equal(t, c.level, check(t, s)[c.key].Level, c.key)
	}
}

// Rain is told for the days that somebody sees, however long an inhibitor holds.
func TestRainIsToldForTheDaysThatAreSeen(t *testing.T) {
	s := overCorn(t)
	s.Source, s.Residue, s.Inhibitor = source(t, "urea"), ptr(0.6), Urease
	for days, rain := range map[string][]float64{"within 1 day": {2}, "within 2 days": {0, 2}, "within 11 days": {0, 2, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 30}} {
		s.RainMM = rain
		got := check(t, s)
		require.Contains(t, got[SurfaceUrea].Words, "with 0.08 in of rain in sight "+days+";")
		require.Contains(t, got[RainAfterUrea].Words, "0.08 in of rain are in sight "+days+" to wash")
	}
}

// Source: Ernst & Massey 1960: urea mixed into the top quarter inch lost about as much as
// urea on top.
func TestBarelyWorkedInIsOnTheSurface(t *testing.T) {
	at := func(p Placement, inches float64) change {
		return func(s *Situation) {
			s.Source, s.Residue, s.RainMM = source(t, "uan-32"), ptr(0.6), []float64{0, 0, 0}
			s.Placement, s.Depth = p, in(inches)
		}
	}
	for _, c := range []speaks{
		{"mixed into a quarter inch", at(Incorporated, 0.25), SurfaceUrea, Warn, false, "Urea lies 0.25 in deep, no better than on a surface with 60 % of residue cover"},
		{"its source", at(Incorporated, 0.25), SurfaceUrea, Warn, false, "mixed into the top 0.25 in it lost about as much as on top. Practice: inject or dribble, add a urease inhibitor, or go ahead of rain; half of the loss of urea is to be expected of UAN. Source: Ernst & Massey 1960"},
		{"and rain for it", at(Incorporated, 0.25), RainAfterUrea, Note, false, "no rain"},
		{"deeper", at(Incorporated, 0.26), SurfaceUrea, 0, false, ""},
		{"deeper, and rain", at(Incorporated, 0.26), RainAfterUrea, 0, false, ""},
		{"in a slot as shallow", at(Injected, 0.2), SurfaceUrea, Warn, false, "0.2 in deep"},
		{"in a slot", at(Injected, 2), SurfaceUrea, 0, false, ""},
	} {
		if c.key == RainAfterUrea && c.level > 0 {
			c.words = "No rain is in sight within 2 days"
		}
		c.hold(t, overCorn(t))
	}
	s := overCorn(t)
	at(Injected, 2)(&s)
	s.Depth = nil
	require.NotContains(t, check(t, s), SurfaceUrea, "a slot whose depth is not told")
}

// What is worked in soon lies on the surface for so long, and no advice asks for what is
// done.
func TestUreaThatIsWorkedInSoon(t *testing.T) {
	after := func(n int) change {
		return func(s *Situation) {
			s.Source, s.Placement, s.Residue, s.RainMM, s.WorkedIn = source(t, "urea"), Broadcast, ptr(0.6), []float64{0, 0}, &n
		}
	}
	for _, c := range []speaks{
		{"the next day", after(1), SurfaceUrea, Note, false, "Urea stays on a surface with 60 % of residue cover until it is worked in 1 day later, with 0 in of rain"},
		{"within the window", after(2), SurfaceUrea, Note, false, "worked in 2 days later"},
		{"too late", after(3), SurfaceUrea, Warn, false, "worked in 3 days later"},
		{"and rain", after(1), RainAfterUrea, Note, false, "No rain is in sight within 2 days to wash the urea in until it is worked in 1 day later"},
		{"not yet dribbled", after(3), SurfaceUrea, Warn, false, "Practice: inject or dribble, add"},
		{"dribbled", both(after(3), func(s *Situation) { s.Placement, s.Source = SurfaceBand, source(t, "uan-32") }), SurfaceUrea, Warn, false, "Practice: inject, add"},
	} {
		c.hold(t, overCorn(t))
	}
	s := overCorn(t)
	after(-2)(&s)
	_, err := Check(s, DefaultOptions(), unit.US)
	require.ErrorContains(t, err, "worked in 2 days before it is applied")
}

// A heap of ammonium nitrate is one whatever its density is said to be; a solution of it is
// none, and neither is another nitrate.
func TestWhatIsDryAmmoniumNitrate(t *testing.T) {
	made := func(s nitrogen.Source) nitrogen.Source {
		s.Name = "of the user's own"
		made, err := nitrogen.Define(s)
		require.NoError(t, err)
		return made
	}
	dense := func(s nitrogen.Source, lbPerGallon float64) nitrogen.Source {
		s.Density, s.HasDensity = unit.LbPerGallon(lbPerGallon), true
		return s
	}
	half := func(other string) nitrogen.Source {
		s, err := nitrogen.Blend("half", []nitrogen.Part{{Source: source(t, "ammonium-nitrate"), Share: 0.5}, {Source: source(t, other), Share: 0.5}}, false)
		require.NoError(t, err)
		return s
	}
	for name, c := range map[string]struct {
		source nitrogen.Source
		speaks bool
	}{
		"as known":                        {source(t, "ammonium-nitrate"), true},
		"with the density of its grains":  {dense(source(t, "ammonium-nitrate"), 7), true},
		"in solution":                     {dense(made(nitrogen.Source{PercentN: 20, AmmoniumN: 10, NitrateN: 10}), 10.5), false},
		"half sulfate":                    {half("ammonium-sulfate"), true},
		"with limestone":                  {made(nitrogen.Source{PercentN: 27, AmmoniumN: 13.5, NitrateN: 13.5}), true},
		"just below a share of 30 %":      {made(nitrogen.Source{PercentN: 10.4, AmmoniumN: 5.2, NitrateN: 5.2}), false},
		"just above it":                   {made(nitrogen.Source{PercentN: 10.6, AmmoniumN: 5.3, NitrateN: 5.3}), true},
		"calcium nitrate":                 {made(nitrogen.Source{PercentN: 15.5, AmmoniumN: 1.1, NitrateN: 14.4}), false},
		"potassium nitrate":               {made(nitrogen.Source{PercentN: 13, NitrateN: 13}), false},
		"UAN":                             {source(t, "uan-32"), false},
		"UAN whose density is not known":  {made(nitrogen.Source{PercentN: 28, UreaN: 14, AmmoniumN: 7, NitrateN: 7}), false},
		"ammonium sulfate, of no nitrate": {source(t, "ammonium-sulfate"), false},
	} {
		s := overCorn(t)
		s.Source = c.source
		w, got := check(t, s)[SecurityProduct]
		require.Equal(t, c.speaks, got, name)
		if got {
			require.Contains(t, w.Words, "Dry ammonium nitrate", name)
		}
	}
}
