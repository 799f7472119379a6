package guard

import (
	"math"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"ratewright/geo/unit"
	"ratewright/rx/nitrogen"
	"ratewright/rx/nitrogen/growth"
)

// maybe is a number that may be unknown.
func maybe(t *rapid.T, name string, low, high float64) *float64 {
	if !rapid.Bool().Draw(t, name+" is known") {
		return nil
	}
	return ptr(rapid.Float64Range(low, high).Draw(t, name))
}

func maybeLength(t *rapid.T, name string, low, high float64) *unit.Length {
	v := maybe(t, name, low, high)
	if v == nil {
		return nil
	}
	return in(*v)
}

// drawn is any situation that can be.
func drawn(t *rapid.T) Situation {
	pick := func(name string, of ...string) string { return rapid.SampledFrom(of).Draw(t, name) }
	answer := func(name string) Answer { return rapid.SampledFrom([]Answer{Unknown, Yes, No}).Draw(t, name) }
	s := Situation{
		Source:    source(t, rapid.SampledFrom(nitrogen.Names()).Draw(t, "source")),
		Inhibitor: Inhibitor(pick("inhibitor", "", "none", "urease", "nitrification", "both")),
		Placement: Placement(pick("placement", "", "broadcast", "surface-band", "incorporated", "injected")),
		N:         unit.LbNPerAcre(rapid.Float64Range(1, 300).Draw(t, "lb")),
		Depth:     maybeLength(t, "depth", 0, 14),
		Texture:   pick("texture", "", "coarse", "medium", "fine"),
		Moisture:  Moisture(pick("moisture", "", "dry", "moist", "wet")),
		Residue:   maybe(t, "residue", 0, 1), RowSpacing: maybeLength(t, "rows", 15, 60), InjectionSpacing: maybeLength(t, "knives", 15, 60),
		Offset: maybeLength(t, "offset", 0, 15), AngleDeg: maybe(t, "angle", -180, 180),
		SlotClosed: answer("slot"), DepthChecked: answer("checked"), Atrazine: answer("atrazine"),
		Season: Season(pick("season", "", "fall", "spring", "sidedress")), SoilC: maybe(t, "soil", -10, 30),
	}
	if s.Source.Ammonia && s.Placement != "" {
		s.Placement = Injected
	}
	if rapid.Bool().Draw(t, "dated") {
		s.Date = on(4, 1).AddDate(0, 0, rapid.IntRange(0, 100).Draw(t, "date"))
	}
	if rapid.Bool().Draw(t, "planted") {
		s.Planting = on(4, 1).AddDate(0, 0, rapid.IntRange(0, 100).Draw(t, "planting"))
	}
	if rapid.Bool().Draw(t, "staged") {
		low := growth.Stage(rapid.Float64Range(-1, 20).Draw(t, "low"))
		s.Stage = &Stages{low, low + growth.Stage(rapid.Float64Range(0, 3).Draw(t, "spread"))}
	}
	if s.SoilC != nil && rapid.Bool().Draw(t, "estimated") {
		s.SoilErrorC = 2.9
	}
	s.RainMM = rapid.SliceOfN(rapid.Float64Range(0, 20), 0, 12).Draw(t, "rain")
	return s
}

// noMore holds that what the better situation is told is no more than the worse is.
func noMore(t *rapid.T, better, worse Situation) {
	b, w := check(t, better), check(t, worse)
	for key, one := range b {
		require.Contains(t, w, key, "%+v", better)
		require.LessOrEqual(t, one.Level, w[key].Level, key)
	}
}

func TestLaws(t *testing.T) {
	for name, improve := range map[string]func(*rapid.T, *Situation, *Situation) bool{
		"deeper": func(t *rapid.T, better, _ *Situation) bool {
			if better.Depth == nil {
				return false
			}
			d := *better.Depth + unit.Inches(rapid.Float64Range(0, 8).Draw(t, "deeper"))
			better.Depth = &d
			return true
		},
		"a later planting": func(t *rapid.T, better, _ *Situation) bool {
			if n, known := better.days(); !known || n < 0 || better.Season == "" {
				return false
			}
			better.Planting = better.Planting.AddDate(0, 0, rapid.IntRange(0, 60).Draw(t, "later"))
			return true
		},
		"a lower rate": func(t *rapid.T, better, _ *Situation) bool {
			better.N = unit.NRate(float64(better.N) * rapid.Float64Range(0, 1).Draw(t, "share"))
			return true
		},
		"more rain": func(t *rapid.T, better, _ *Situation) bool {
			if len(better.RainMM) == 0 {
				return false
			}
			better.RainMM = append([]float64{}, better.RainMM...)
			better.RainMM[rapid.IntRange(0, len(better.RainMM)-1).Draw(t, "day")] += rapid.Float64Range(0, 30).Draw(t, "more")
			return true
		},
		"less residue": func(t *rapid.T, better, _ *Situation) bool {
			if better.Residue == nil {
				return false
			}
			better.Residue = ptr(*better.Residue * rapid.Float64Range(0, 1).Draw(t, "share"))
			return true
		},
		"an earlier stage of the crop that is up": func(t *rapid.T, better, _ *Situation) bool {
			if better.Stage == nil || better.Stage.Low < 0 {
				return false
			}
			share := growth.Stage(rapid.Float64Range(0, 1).Draw(t, "share"))
			better.Stage = &Stages{better.Stage.Low * share, better.Stage.High * share}
			return true
		},
		"a urease inhibitor": func(_ *rapid.T, better, worse *Situation) bool {
			better.Inhibitor, worse.Inhibitor = Urease, NoInhibitor
			return true
		},
		"worked in sooner": func(t *rapid.T, better, worse *Situation) bool {
			soon := rapid.IntRange(0, 5).Draw(t, "days")
			late := soon + rapid.IntRange(0, 5).Draw(t, "more")
			better.WorkedIn = &soon
			if rapid.Bool().Draw(t, "ever") {
				worse.WorkedIn = &late
			}
			return true
		},
		"a closed slot": func(_ *rapid.T, better, worse *Situation) bool {
			better.SlotClosed, worse.SlotClosed = Yes, No
			return true
		},
		"the depth measured": func(_ *rapid.T, better, worse *Situation) bool {
			better.DepthChecked, worse.DepthChecked = Yes, No
			return true
		},
		"no atrazine": func(_ *rapid.T, better, worse *Situation) bool {
			better.Atrazine, worse.Atrazine = No, Yes
			return true
		},
		"colder soil": func(t *rapid.T, better, _ *Situation) bool {
			if better.SoilC == nil {
				return false
			}
			better.SoilC = ptr(*better.SoilC - rapid.Float64Range(0, 20).Draw(t, "colder"))
			return true
		},
		"wider from the row": func(t *rapid.T, better, _ *Situation) bool {
			if better.Offset == nil {
				return false
			}
			d := *better.Offset + unit.Inches(rapid.Float64Range(0, 8).Draw(t, "wider"))
			better.Offset = &d
			return true
		},
		"knives closer together": func(t *rapid.T, better, _ *Situation) bool {
			if better.InjectionSpacing == nil {
				return false
			}
			d := unit.Length(float64(*better.InjectionSpacing) * rapid.Float64Range(0.5, 1).Draw(t, "closer"))
			better.InjectionSpacing = &d
			return true
		},
	} {
		t.Run(name, rapid.MakeCheck(func(t *rapid.T) {
			worse := drawn(t)
			better := worse
			if !improve(t, &better, &worse) {
				return
			}
			noMore(t, better, worse)
		}))
	}
}

// What a guard needs and does not get is told, whatever the rest: nothing unknown
// passes for good.
func TestUnknownIsSaid(t *testing.T) {
	bare := func(name string, p Placement) map[string]Warning {
		return check(t, Situation{Source: source(t, name), Placement: p, N: unit.LbNPerAcre(150)})
	}
	for _, c := range []struct {
		got  map[string]Warning
		keys []string
	}{
		{bare("anhydrous-ammonia", Injected), []string{AmmoniaDepth, AmmoniaBand, AmmoniaRate, AmmoniaWait, AmmoniaAngle, Slot, DepthInGround, LateSidedress, FallAmmonia, FallCoarse}},
		{bare("uan-32", Broadcast), []string{SurfaceUrea, RainAfterUrea, UANOverCorn, LateSidedress, FallCoarse}},
		{bare("urea", ""), []string{SurfaceUrea, RainAfterUrea, LateSidedress, FallCoarse}},
		{bare("uan-32", Injected), []string{DepthInGround, LateSidedress, FallCoarse}},
	} {
		var unchecked []string
		for _, key := range Keys() {
			if c.got[key].Unchecked {
				unchecked = append(unchecked, key)
				require.Equal(t, Note, c.got[key].Level)
				require.Contains(t, c.got[key].Words, "not known")
			}
		}
		require.Equal(t, c.keys, unchecked)
	}
	s := Situation{Source: source(t, "anhydrous-ammonia"), Season: Fall, N: 100}
	require.True(t, check(t, s)[FallAmmonia].Unchecked)
	require.True(t, check(t, s)[FallCoarse].Unchecked)
	s.Season = Sidedress
	require.True(t, check(t, s)[LateSidedress].Unchecked)
}

var (
	metric    = regexp.MustCompile(`\d (cm|mm|m|kg N/ha|kg/ha|°C)\b|°C`)
	customary = regexp.MustCompile(`\d (in|ft|lb N/ac|lb/ac)\b(?: (?:and|to|on|of|or|at|right|by|around|between|lies|from|is|asked|off|knives)|[,;:.])|lb N/ac|°F`)
	distance  = regexp.MustCompile(`(?i)setback|manure|sinkhole|\bwells?\b|inlet|stream\b|ditch|\d+ (feet|ft)\b|buffer strip`)
)

// Figures are in the units asked for and in no others, every figure is a number, and no
// rule that was made for manure is told of commercial nitrogen.
func TestWordsOfEveryWarning(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawn(t)
		us, err := Check(s, DefaultOptions(), unit.US)
		require.NoError(t, err)
		si, err := Check(s, DefaultOptions(), unit.SI)
		require.NoError(t, err)
		require.Len(t, si, len(us))
		for i, w := range us {
			require.Equal(t, w.Key, si[i].Key)
			require.Equal(t, w.Level, si[i].Level)
			require.False(t, metric.MatchString(w.Words), w.Words)
			require.False(t, customary.MatchString(si[i].Words), si[i].Words)
			for _, text := range []string{w.Words, si[i].Words} {
				require.NotContains(t, text, "NaN")
				require.NotContains(t, text, "Inf")
				require.NotContains(t, text, "..")
				require.NotContains(t, text, "%!")
				require.False(t, distance.MatchString(text), text)
			}
		}
		list, keys := []string{}, strings.Join(Keys(), " ")
		for _, w := range us {
			list = append(list, w.Key)
		}
		at := 0
		for _, key := range list {
			i := strings.Index(keys[at:], key)
			require.GreaterOrEqual(t, i, 0, "in the order of Keys")
			at += i
		}
	})
}

func TestThresholdsCanBeSet(t *testing.T) {
	s := harmless(t)
	o := DefaultOptions()
	o.DepthFine = unit.Inches(9)
	list, err := Check(s, o, unit.US)
	require.NoError(t, err)
	require.Equal(t, AmmoniaDepth, list[0].Key)
	require.Contains(t, list[0].Words, "shallower than the 9 in asked for in fine soil. Published: Illinois 6 in on fine")

	for name, change := range map[string]func(*Options){
		"nothing":           func(o *Options) { *o = Options{} },
		"no number":         func(o *Options) { o.Reach = unit.Length(math.NaN()) },
		"infinite":          func(o *Options) { o.SoilDensity = math.Inf(1) },
		"below zero":        func(o *Options) { o.RainSomeMM = -1 },
		"soil no number":    func(o *Options) { o.FallSoilC = math.NaN() },
		"ppm reversed":      func(o *Options) { o.NotePPM = 2000 },
		"rates reversed":    func(o *Options) { o.GentleRate = unit.KgNPerHa(500) },
		"waiting reversed":  func(o *Options) { o.WaitDays = 11 },
		"band reversed":     func(o *Options) { o.HelpDays = 40 },
		"rain reversed":     func(o *Options) { o.RainMostMM = 30 },
		"window reversed":   func(o *Options) { o.RainWindow = 12 },
		"UAN reversed":      func(o *Options) { o.UANLate = unit.LbNPerAcre(95) },
		"stages reversed":   func(o *Options) { o.LateFrom = 14 },
		"band that falls":   func(o *Options) { o.Uptake = growth.Band{} },
		"no days of a fall": func(o *Options) { o.FallDays = 0 },
	} {
		o := DefaultOptions()
		change(&o)
		list, err := Check(s, o, unit.US)
		require.Error(t, err, name)
		require.Nil(t, list)
	}
}

func TestRefused(t *testing.T) {
	nan := math.NaN()
	length := func(v float64) *unit.Length { l := unit.Length(v); return &l }
	for want, change := range map[string]change{
		"a rate of nitrogen":         func(s *Situation) { s.N = unit.NRate(nan) },
		"rate of nitrogen in kg/ha":  func(s *Situation) { s.N = -1 },
		"a depth in metres":          func(s *Situation) { s.Depth = length(nan) },
		"of -0.1 cannot be":          func(s *Situation) { s.Depth = length(-0.1) },
		"distance of rows":           func(s *Situation) { s.RowSpacing = length(0) },
		"distance of knives":         func(s *Situation) { s.InjectionSpacing = length(math.Inf(1)) },
		"distance of band and row":   func(s *Situation) { s.Offset = length(-1) },
		"angle to the rows":          func(s *Situation) { s.AngleDeg = ptr(nan) },
		"residue cover":              func(s *Situation) { s.Residue = ptr(60) },
		"a soil temperature":         func(s *Situation) { s.SoilC = ptr(nan) },
		"error of the soil":          func(s *Situation) { s.SoilErrorC = -1 },
		"rain of -1 mm":              func(s *Situation) { s.RainMM = []float64{1, -1} },
		"rain of NaN mm":             func(s *Situation) { s.RainMM = []float64{nan} },
		"give the earlier stage":     func(s *Situation) { s.Stage = &Stages{7, 5} },
		"from n/a to V5":             func(s *Situation) { s.Stage = &Stages{growth.Stage(nan), 5} },
		"placement \"deep\"":         func(s *Situation) { s.Placement = "deep" },
		"inhibitor \"some\"":         func(s *Situation) { s.Inhibitor = "some" },
		"season \"summer\"":          func(s *Situation) { s.Season = "summer" },
		"moisture \"soggy\"":         func(s *Situation) { s.Moisture = "soggy" },
		"texture \"loam\"":           func(s *Situation) { s.Texture = "loam" },
		"lost at once when it is br": func(s *Situation) { s.Placement = Broadcast },
	} {
		s := harmless(t)
		change(&s)
		list, err := Check(s, DefaultOptions(), unit.US)
		require.ErrorContains(t, err, want)
		require.Nil(t, list)
	}
	s := harmless(t)
	s.N = 0
	list, err := Check(s, DefaultOptions(), unit.US)
	require.NoError(t, err)
	require.Empty(t, list)
}

func TestPlacementNamed(t *testing.T) {
	for words, want := range map[string]Placement{
		"": "", "Broadcast": Broadcast, "surface-band": SurfaceBand, "dribble": SurfaceBand, "drop tubes": SurfaceBand,
		"broadcast_incorporated": Incorporated, "coulter": Injected, " Knife ": Injected, "injected": Injected,
	} {
		got, ok := PlacementNamed(words)
		require.True(t, ok, words)
		require.Equal(t, want, got, words)
	}
	_, ok := PlacementNamed("by hand")
	require.False(t, ok)
	require.Equal(t, "none", Level(0).String())
	require.Equal(t, "note warn", Note.String()+" "+Warn.String())
}

// Dates count by the day that they show, whatever the hour.
func TestDaysToPlanting(t *testing.T) {
	s := Situation{Date: time.Date(2026, 4, 1, 23, 0, 0, 0, time.UTC), Planting: time.Date(2026, 4, 2, 1, 0, 0, 0, time.UTC)}
	n, known := s.days()
	require.True(t, known)
	require.Equal(t, 1, n)
}

func BenchmarkCheck(b *testing.B) {
	s := harmless(b)
	o := DefaultOptions()
	b.ReportAllocs()
	for b.Loop() {
		_, err := Check(s, o, unit.US)
		require.NoError(b, err)
	}
}
