package guard

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"ratewright/geo/unit"
	"ratewright/rx/internal/cited"
	"ratewright/rx/nitrogen"
	"ratewright/rx/nitrogen/growth"
)

func TestConstantsAreCited(t *testing.T) {
	n, faults, err := cited.Constants(".")
	require.NoError(t, err)
	require.Empty(t, faults)
	require.GreaterOrEqual(t, n, 30)
}

func in(v float64) *unit.Length { l := unit.Inches(v); return &l }

func on(m time.Month, d int) time.Time { return time.Date(2026, m, d, 0, 0, 0, 0, time.UTC) }

func source(t require.TestingT, name string) nitrogen.Source {
	s, ok := nitrogen.Known(name)
	require.True(t, ok)
	return s
}

// harmless is spring ammonia against which nothing speaks but the reminders.
func harmless(t require.TestingT) Situation {
	return Situation{
		Source: source(t, "anhydrous-ammonia"), Inhibitor: NoInhibitor, Placement: Injected, N: unit.LbNPerAcre(160), Depth: in(8),
		Texture: "fine", Moisture: Moist, Residue: ptr(0.1), RowSpacing: in(30), InjectionSpacing: in(30), AngleDeg: ptr(20),
		SlotClosed: Yes, DepthChecked: Yes, Atrazine: No, Season: Spring, Date: on(4, 1), Planting: on(5, 5),
		SoilC: ptr(8), RainMM: []float64{0, 30},
	}
}

// overCorn is UAN dribbled between rows of small corn.
func overCorn(t require.TestingT) Situation {
	return Situation{
		Source: source(t, "uan-32"), Inhibitor: NoInhibitor, Placement: SurfaceBand, N: unit.LbNPerAcre(50),
		Texture: "medium", Residue: ptr(0.1), SlotClosed: Yes, DepthChecked: Yes, Atrazine: No,
		Season: Sidedress, Date: on(6, 1), Planting: on(5, 1), Stage: &Stages{4, 4.5}, RainMM: []float64{30},
	}
}

func check(t require.TestingT, s Situation) map[string]Warning {
	list, err := Check(s, DefaultOptions(), unit.US)
	require.NoError(t, err)
	got := map[string]Warning{}
	for _, w := range list {
		require.NotContains(t, got, w.Key, "one warning a guard")
		require.Contains(t, Keys(), w.Key)
		require.Contains(t, w.Words, w.Source, "the words name the source")
		require.NotEmpty(t, w.Source)
		require.NotEmpty(t, w.Practice)
		require.Contains(t, w.Words, "decide", "and who decides")
		if w.Published != "" {
			require.Less(t, strings.Index(w.Words, w.Published), strings.Index(w.Words, w.Practice), "the published figure comes first")
		}
		require.Equal(t, w.Unchecked, strings.HasPrefix(w.Words, "Not checked: "))
		got[w.Key] = w
	}
	return got
}

func TestNothingSpeaksAgainstGoodPractice(t *testing.T) {
	got := check(t, harmless(t))
	require.Len(t, got, 2)
	require.Equal(t, Note, got[SecurityProduct].Level)
	require.Equal(t, Note, got[AmmoniaCare].Level)
	require.Empty(t, check(t, overCorn(t)))
	urea := overCorn(t)
	urea.Source, urea.Season, urea.Stage, urea.Planting = source(t, "urea"), Spring, nil, on(7, 1)
	require.Empty(t, check(t, urea))
}

type change func(*Situation)

type speaks struct {
	name      string
	change    change
	key       string
	level     Level // 0: silent
	unchecked bool
	words     string
}

func (c speaks) hold(t *testing.T, base Situation) {
	t.Helper()
	c.change(&base)
	w, ok := check(t, base)[c.key]
	require.Equal(t, c.level > 0, ok, c.name)
	require.Equal(t, c.level, w.Level, c.name)
	require.Equal(t, c.unchecked, w.Unchecked, c.name)
	require.Contains(t, w.Words, c.words, c.name)
}

func soon(days int) change { return func(s *Situation) { s.Planting = s.Date.AddDate(0, 0, days) } }

func both(a, b change) change { return func(s *Situation) { a(s); b(s) } }

func deep(v float64) change { return func(s *Situation) { s.Depth = in(v) } }

func rate(v float64) change { return func(s *Situation) { s.N = unit.LbNPerAcre(v) } }

func TestAmmonia(t *testing.T) {
	for _, c := range []speaks{
		{"Illinois, fine", deep(6), AmmoniaDepth, 0, false, ""},
		{"above Illinois", deep(5.5), AmmoniaDepth, Note, false, "Ammonia at 5.5 in is shallower than the 6 in asked for in fine soil. Published: Illinois 6 in on fine and 8 in on coarse soil"},
		{"above the floor of practice", deep(4.5), AmmoniaDepth, Warn, false, "the least depth of practice, 5 in"},
		{"coarse at 7 in", both(deep(7), func(s *Situation) { s.Texture = "coarse" }), AmmoniaDepth, Note, false, "8 in asked for in coarse soil"},
		{"coarse at 8 in", func(s *Situation) { s.Texture = "coarse" }, AmmoniaDepth, 0, false, ""},
		{"dry at 7 in", both(deep(7), func(s *Situation) { s.Moisture = Dry }), AmmoniaDepth, Note, false, "in dry soil"},
		{"texture unknown, 7 in", both(deep(7), func(s *Situation) { s.Texture = "" }), AmmoniaDepth, Note, true, "texture of the soil is not known"},
		{"texture unknown, 8 in", func(s *Situation) { s.Texture = "" }, AmmoniaDepth, 0, false, ""},
		{"depth unknown", func(s *Situation) { s.Depth = nil }, AmmoniaDepth, Note, true, "depth of the ammonia is not known"},

		{"band far ahead of planting", soon(34), AmmoniaBand, 0, false, ""},
		{"200 lb at 4 in on the day", both(soon(0), both(deep(4), rate(200))), AmmoniaBand, Warn, false, "2075 ppm where passes double; planting follows on the same day, with the middle of the band 2 in from the seed"},
		{"the same, knives known by the rows", both(soon(0), both(deep(4), both(rate(200), func(s *Situation) { s.InjectionSpacing = nil }))), AmmoniaBand, Warn, false, "30 in between rows, taken for that of the knives, makes 1037 ppm"},
		{"200 lb at 8 in on the day", both(soon(0), rate(200)), AmmoniaBand, Note, false, "1037 ppm"},
		{"160 lb at 8 in on the day", soon(0), AmmoniaBand, 0, false, ""},
		{"160 lb at 4 in on the day", both(soon(0), deep(4)), AmmoniaBand, Note, false, "830 ppm"},
		{"100 lb at 4 in on the day", both(soon(0), both(deep(4), rate(100))), AmmoniaBand, 0, false, ""},
		{"200 lb at 4 in, two weeks", both(soon(14), both(deep(4), rate(200))), AmmoniaBand, Note, false, ""},
		{"200 lb at 10 in on the day", both(soon(0), both(deep(10), rate(200))), AmmoniaBand, 0, false, ""},
		{"knives unknown", both(soon(0), func(s *Situation) { s.InjectionSpacing, s.RowSpacing = nil, nil }), AmmoniaBand, Note, true, "the distance of the knives is not known"},
		{"planting unknown", both(rate(200), func(s *Situation) { s.Planting = time.Time{} }), AmmoniaBand, Note, true, "1037 ppm"},
		{"depth unknown", both(soon(3), func(s *Situation) { s.Depth = nil }), AmmoniaBand, Note, true, "the depth is not known"},
		{"in fall", both(rate(200), func(s *Situation) { s.Season, s.Date = Fall, on(11, 10); s.Planting = s.Date.AddDate(0, 0, 170) }), AmmoniaBand, 0, false, ""},

		{"high rate, planting soon, deep", both(soon(5), rate(200)), AmmoniaRate, Note, false, "lower rate now and a split"},
		{"high rate, planting soon, shallow", both(soon(5), both(deep(5), rate(200))), AmmoniaRate, Warn, false, ""},
		{"high rate on the day", both(soon(0), rate(200)), AmmoniaRate, Note, false, "200 lb N/ac of ammonia go on the day of planting"},
		{"wait on the day", soon(0), AmmoniaWait, Note, false, "Planting follows ammonia on the same day"},
		{"100 lb", both(soon(5), rate(100)), AmmoniaRate, 0, false, ""},
		{"high rate, 10 days", both(soon(10), rate(200)), AmmoniaRate, 0, false, ""},
		{"planting unknown", func(s *Situation) { s.Planting = time.Time{} }, AmmoniaRate, Note, true, "time to planting is not known"},

		{"10 days", soon(10), AmmoniaWait, 0, false, ""},
		{"8 days", soon(8), AmmoniaWait, Note, false, "Missouri waits 7 to 10 days; Iowa has no set number"},
		{"1 day, 8 in", soon(1), AmmoniaWait, Note, false, "Planting follows ammonia after 1 day."},
		{"1 day, 5 in", both(soon(1), deep(5)), AmmoniaWait, Warn, false, "soil is not known to separate them"},
		{"1 day, 5 in, 5 in beside the row", both(soon(1), both(deep(5), func(s *Situation) { s.Offset = in(5) })), AmmoniaWait, Note, false, ""},
		{"planting unknown", func(s *Situation) { s.Planting = time.Time{} }, AmmoniaWait, Note, true, "are not known"},

		{"across", soon(10), AmmoniaAngle, 0, false, ""},
		{"along", both(soon(10), func(s *Situation) { s.AngleDeg = ptr(0) }), AmmoniaAngle, Note, false, "run along the rows to come (0 degrees)"},
		{"along, the other way", both(soon(10), func(s *Situation) { s.AngleDeg = ptr(-177) }), AmmoniaAngle, Note, false, "(3 degrees)"},
		{"along, a month ahead", func(s *Situation) { s.AngleDeg = ptr(0) }, AmmoniaAngle, 0, false, ""},
		{"along, rows 5 in beside", both(soon(10), func(s *Situation) { s.AngleDeg, s.Offset = ptr(0), in(5) }), AmmoniaAngle, 0, false, ""},
		{"angle unknown", both(soon(10), func(s *Situation) { s.AngleDeg = nil }), AmmoniaAngle, Note, true, "angle between the bands"},

		{"slot open", func(s *Situation) { s.SlotClosed = No }, Slot, Warn, false, "ammonia escapes"},
		{"slot unknown", func(s *Situation) { s.SlotClosed = Unknown }, Slot, Note, true, "slot behind the knife"},
		{"closed, wet", func(s *Situation) { s.Moisture = Wet }, Slot, Note, false, "The soil is wet"},
		{"closed, dry", func(s *Situation) { s.Moisture = Dry }, Slot, Note, false, "The soil is dry"},
		{"closed, moisture unknown", func(s *Situation) { s.Moisture = "" }, Slot, 0, false, ""},
		{"gauge alone", func(s *Situation) { s.DepthChecked = No }, DepthInGround, Note, false, "a gauge tells where the bar is"},
		{"measured or not", func(s *Situation) { s.DepthChecked = Unknown }, DepthInGround, Note, true, ""},
	} {
		c.hold(t, harmless(t))
	}
}

// Angle, waiting and rate are for ammonia before planting: between the rows of standing
// corn they would be wrong.
func TestSidedressedAmmoniaIsNotAskedToWaitOrToCross(t *testing.T) {
	for _, how := range []change{
		func(s *Situation) { s.Season, s.Planting = Sidedress, time.Time{} },
		func(s *Situation) { s.Season, s.Date = "", s.Planting.AddDate(0, 0, 30) },
		func(s *Situation) { s.Season, s.Planting, s.Stage = "", time.Time{}, &Stages{5, 5.5} },
		func(s *Situation) { s.Stage = &Stages{5, 5.5} },
	} {
		s := harmless(t)
		s.N, s.Depth, s.AngleDeg = unit.LbNPerAcre(200), in(5.2), ptr(0)
		how(&s)
		got := check(t, s)
		for _, key := range []string{AmmoniaAngle, AmmoniaWait, AmmoniaRate, AmmoniaBand} {
			require.NotContains(t, got, key)
		}
		require.Contains(t, got, AmmoniaDepth)
	}
}

func TestFall(t *testing.T) {
	fall := func(s *Situation) { s.Season, s.Date, s.Planting = Fall, on(11, 1), time.Time{} }
	for _, c := range []speaks{
		{"cold soil", fall, FallAmmonia, 0, false, ""},
		{"50 °F", both(fall, func(s *Situation) { s.SoilC = ptr(10) }), FallAmmonia, 0, false, ""},
		{"51 °F", both(fall, func(s *Situation) { s.SoilC = ptr(10.6) }), FallAmmonia, Warn, false, "into soil of 51 °F, above 50 °F"},
		{"cold by estimate", both(fall, func(s *Situation) { s.SoilErrorC = 2.9 }), FallAmmonia, Note, false, "46 °F by estimate, give or take 5 °F"},
		{"unknown", both(fall, func(s *Situation) { s.SoilC = nil }), FallAmmonia, Note, true, "temperature of the soil is not known"},
		{"in spring", func(s *Situation) { s.SoilC = ptr(20) }, FallAmmonia, 0, false, ""},
		{"by dates", func(s *Situation) { s.Season, s.SoilC = "", ptr(15); s.Planting = s.Date.AddDate(0, 0, 180) }, FallAmmonia, Warn, false, ""},
		{"warm, season unknown", func(s *Situation) { s.Season, s.SoilC, s.Planting = "", ptr(15), time.Time{} }, FallAmmonia, Note, true, "whether it goes on in fall is not known"},
		{"urea", both(fall, func(s *Situation) { s.Source, s.SoilC = source(t, "urea"), ptr(20) }), FallAmmonia, 0, false, ""},
		{"sand", both(fall, func(s *Situation) { s.Texture = "coarse" }), FallCoarse, Warn, false, "from memory"},
		{"no texture", both(fall, func(s *Situation) { s.Texture = "" }), FallCoarse, Note, true, ""},
		{"clay", fall, FallCoarse, 0, false, ""},
	} {
		c.hold(t, harmless(t))
	}
}

func TestSurface(t *testing.T) {
	bare := func(name string) change {
		return func(s *Situation) {
			s.Source, s.Placement, s.Residue, s.RainMM = source(t, name), Broadcast, ptr(0.6), []float64{0, 0, 0}
			s.Season, s.Stage, s.Planting = Spring, nil, on(7, 1)
		}
	}
	rain := func(mm ...float64) change { return func(s *Situation) { s.RainMM = mm } }
	with := func(i Inhibitor) change { return func(s *Situation) { s.Inhibitor = i } }
	at := func(p Placement) change { return func(s *Situation) { s.Placement = p } }
	for _, c := range []speaks{
		{"urea on residue", bare("urea"), SurfaceUrea, Warn, false, "Urea stays on a surface with 60 % of residue cover, with 0 in of rain in sight within 2 days and no urease inhibitor"},
		{"UAN on residue", bare("uan-28"), SurfaceUrea, Warn, false, ""},
		{"dribbled UAN on residue", both(bare("uan-28"), at(SurfaceBand)), SurfaceUrea, Warn, false, ""},
		{"at the bound of residue", both(bare("urea"), func(s *Situation) { s.Residue = ptr(0.3) }), SurfaceUrea, Warn, false, ""},
		{"below it", both(bare("urea"), func(s *Situation) { s.Residue = ptr(0.29) }), SurfaceUrea, 0, false, ""},
		{"injected", both(bare("uan-28"), at(Injected)), SurfaceUrea, 0, false, ""},
		{"incorporated", both(bare("urea"), at(Incorporated)), SurfaceUrea, 0, false, ""},
		{"ammonium nitrate", bare("ammonium-nitrate"), SurfaceUrea, 0, false, ""},
		{"some rain", both(bare("urea"), rain(0, 8)), SurfaceUrea, Note, false, "0.31 in of rain"},
		{"enough rain", both(bare("urea"), rain(15)), SurfaceUrea, 0, false, ""},
		{"rain too late", both(bare("urea"), rain(0, 0, 30)), SurfaceUrea, Warn, false, ""},
		{"the same with an inhibitor", both(bare("urea"), both(rain(0, 0, 30), with(Urease))), SurfaceUrea, 0, false, ""},
		{"no rain with an inhibitor", both(bare("urea"), with(Both)), SurfaceUrea, Note, false, "within 3 days; the inhibitor holds it for a time only"},
		{"nitrification inhibitor", both(bare("urea"), with(Nitrification)), SurfaceUrea, Warn, false, "raised the loss of ammonia by 36 %"},
		{"rain unknown", both(bare("urea"), rain()), SurfaceUrea, Note, true, "the rain of the coming days is not known"},
		{"residue unknown", both(bare("urea"), func(s *Situation) { s.Residue = nil }), SurfaceUrea, Note, true, "the residue cover is not known"},
		{"inhibitor unknown", both(bare("urea"), with("")), SurfaceUrea, Note, true, "whether an inhibitor goes with it is not known"},
		{"placement unknown", both(bare("urea"), at("")), SurfaceUrea, Note, true, "bound or placed"},
		{"two things unknown", both(bare("urea"), both(rain(), at(""))), SurfaceUrea, Note, true, "how the nitrogen is bound or placed and the rain of the coming days are not known"},
		{"forms unknown", both(bare("urea"), func(s *Situation) { s.Source.UreaN = 0 }), SurfaceUrea, Note, true, "bound or placed"},

		{"no rain", bare("urea"), RainAfterUrea, Note, false, "Published: 0.3 in right after urea cut the loss by 71 %, 0.57 in by 90 %; Iowa asks for 0.25 to 0.5 in within about two days; on dry soil repeated light rain lost more (39 %) than none (33 %). Practice: about 1 in to wash it in"},
		{"20 mm: most by the figure, little by the rule", both(bare("urea"), rain(20)), RainAfterUrea, Note, false, "0.79 in of rain are in sight"},
		{"an inch", both(bare("urea"), rain(25.4)), RainAfterUrea, 0, false, ""},
		{"bare soil too", both(bare("urea"), func(s *Situation) { s.Residue = ptr(0) }), RainAfterUrea, Note, false, ""},
		{"unknown", both(bare("urea"), rain()), RainAfterUrea, Note, true, "rain of the coming days is not known"},
		{"injected", both(bare("uan-28"), at(Injected)), RainAfterUrea, 0, false, ""},

		{"open slot of UAN", both(bare("uan-28"), both(at(Injected), func(s *Situation) { s.SlotClosed = No })), Slot, Note, false, "about 5 %"},
		{"slot of UAN unknown", both(bare("uan-28"), both(at(Injected), func(s *Situation) { s.SlotClosed = Unknown })), Slot, 0, false, ""},
		{"depth of UAN", both(bare("uan-28"), both(at(Injected), func(s *Situation) { s.DepthChecked = No })), DepthInGround, Note, false, ""},
		{"dry ammonium nitrate", bare("ammonium-nitrate"), SecurityProduct, Note, false, "Source: common practice. Federal, state and local law"},
		{"UAN is none", bare("uan-28"), SecurityProduct, 0, false, ""},
		{"urea is none", bare("urea"), SecurityProduct, 0, false, ""},
	} {
		c.hold(t, overCorn(t))
	}
}

// Source of the figures: Iowa State Univ. ICM, 24 May 1999 and 14 May 2001; Scharf et
// al. 2002; Bender et al. 2013.
func TestStandingCorn(t *testing.T) {
	over := func(low, high growth.Stage, lb float64) change {
		return func(s *Situation) { s.Placement, s.N, s.Stage = Broadcast, unit.LbNPerAcre(lb), &Stages{low, high} }
	}
	atrazine := func(a Answer) change { return func(s *Situation) { s.Atrazine = a } }
	for _, c := range []speaks{
		{"90 lb at V3", over(3, 3.9, 90), UANOverCorn, Note, false, "90 lb N/ac of UAN broadcast over corn at V3 burns leaves"},
		{"91 lb at V4", over(4, 4.9, 91), UANOverCorn, Warn, false, "above the 90 lb N/ac for that stage. Published: at most 90 lb N/ac at V3 to V4, 60 lb N/ac at V7, none over the leaves of larger corn"},
		{"90 lb at V3 with atrazine", both(over(3, 3.9, 90), atrazine(Yes)), UANOverCorn, Warn, false, "above the 60 lb N/ac"},
		{"90 lb at V3, atrazine unknown", both(over(3, 3.9, 90), atrazine(Unknown)), UANOverCorn, Note, false, "whether atrazine goes with it is not known"},
		{"60 lb at V7", over(7, 7.9, 60), UANOverCorn, Note, false, ""},
		{"61 lb at V7", over(7, 7.9, 61), UANOverCorn, Warn, false, "above the 60 lb"},
		{"70 lb, V4 to V5", over(4, 5, 70), UANOverCorn, Warn, false, "at V4 to V5"},
		{"10 lb at V8", over(8, 8, 10), UANOverCorn, Warn, false, "no UAN goes over the leaves"},
		{"not up", both(over(-1, -1, 150), func(s *Situation) { s.Season = Spring }), UANOverCorn, 0, false, ""},
		{"dribbled", both(over(8, 8, 100), func(s *Situation) { s.Placement = SurfaceBand }), UANOverCorn, 0, false, ""},
		{"urea", both(over(8, 8, 100), func(s *Situation) { s.Source = source(t, "urea") }), UANOverCorn, 0, false, ""},
		{"stage unknown", both(over(8, 8, 100), func(s *Situation) { s.Stage = nil }), UANOverCorn, Note, true, "stage of the crop is not known"},
		{"nothing of time known", both(over(8, 8, 100), func(s *Situation) { s.Stage, s.Season, s.Date = nil, "", time.Time{} }), UANOverCorn, Note, true, ""},
		{"before planting", both(over(8, 8, 100), func(s *Situation) { s.Stage, s.Season, s.Planting = nil, Spring, on(7, 1) }), UANOverCorn, 0, false, ""},

		{"V6", over(6, 6.9, 50), LateSidedress, 0, false, ""},
		{"V7", over(7, 7.5, 50), LateSidedress, Note, false, "at V7 comes when the crop has taken up 10 to 20 % of its nitrogen"},
		{"V11", over(11, 11.9, 50), LateSidedress, Note, false, "Scharf et al. 2002"},
		{"V12", over(12, 12, 50), LateSidedress, Warn, false, "some yield is lost if it was short"},
		{"past silking", over(growth.R1, growth.R2, 50), LateSidedress, Warn, false, "at R1 to R2"},
		{"stage unknown", func(s *Situation) { s.Stage = nil }, LateSidedress, Note, true, "its stage is not known"},
		{"before planting", func(s *Situation) { s.Stage, s.Season, s.Planting = nil, Spring, on(7, 1) }, LateSidedress, 0, false, ""},
	} {
		c.hold(t, overCorn(t))
	}
}

// Injury at 180 and 225 kg/ha with a shallow opener: Woli et al. 2014. The ppm are those
// of package loss.
func TestAmmoniaInItsBand(t *testing.T) {
	s := harmless(t)
	s.Depth, s.Planting = in(4), s.Date
	s.InjectionSpacing = ptrLength(unit.Metres(0.76))
	for kg, level := range map[float64]Level{180: Note, 225: Warn} {
		s.N = unit.KgNPerHa(kg)
		require.Equal(t, level, check(t, s)[AmmoniaBand].Level)
	}
	s.InjectionSpacing = in(4)
	w := check(t, s)[AmmoniaBand]
	require.True(t, w.Unchecked, "knives closer than the band is wide")
	require.Contains(t, w.Words, "narrower than the spacing")
}

func ptrLength(l unit.Length) *unit.Length { return &l }
