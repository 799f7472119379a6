package budget

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"ratewright/geo/unit"
)

func lb(t *testing.T, b Budget) float64 {
	t.Helper()
	var sum unit.NRate
	for _, term := range b.Terms {
		require.NotEmpty(t, term.What)
		require.NotEmpty(t, term.Source)
		sum += term.N
	}
	require.InDelta(t, float64(b.Rate), float64(sum), 1e-9, "the terms add up to the rate")
	return b.Rate.LbNPerAcre()
}

func bu(v float64) unit.Yield { return unit.BushelsPerAcre(v) }

func form(t *testing.T, name string) PerBushel {
	t.Helper()
	for _, f := range Published().YieldGoalForms() {
		if f.Name == name {
			return f
		}
	}
	t.Fatalf("no form %s", name)
	return PerBushel{}
}

// South Dakota: 180 bu at 1.0 lb less 50 lb of soil nitrate and 40 of soybean is 90 lb
// (arithmetic). A mean of 180 bu makes 189 expected (Nebraska, Colorado).
func TestYieldGoal(t *testing.T) {
	b, err := Published().YieldGoal(bu(180), form(t, "south-dakota"), []Credit{Given("soil nitrate", unit.LbNPerAcre(50)), Given("soybean", unit.LbNPerAcre(40))})
	require.NoError(t, err)
	require.InDelta(t, 90, lb(t, b), 1e-9)
	require.Len(t, b.Terms, 3)

	b, err = Published().YieldGoal(bu(200), form(t, "stanford"), nil)
	require.NoError(t, err)
	require.InDelta(t, 240, lb(t, b), 1e-9)

	b, err = Published().YieldGoal(bu(50), form(t, "penn-state"), []Credit{Given("manure", unit.LbNPerAcre(80))})
	require.NoError(t, err)
	require.Zero(t, b.Rate)
	require.InDelta(t, 0, lb(t, b), 1e-12)
	require.Contains(t, b.Notes[0], "less than zero")

	y, err := Published().ExpectedYield([]unit.Yield{bu(170), bu(180), bu(190), bu(185), bu(175)})
	require.NoError(t, err)
	require.InDelta(t, 189, y.BushelsPerAcre(), 1e-9)
	_, err = Published().ExpectedYield(nil)
	require.Error(t, err)
}

// Iowa State PM 1714 (second-hand): test 10 and critical 21 make 88 lb; 15 and 15 on
// manured ground none.
func TestIowaLateSpring(t *testing.T) {
	b, err := Published().LateSpring(Sampled{Test: 10}, Iowa{Critical: new(unit.PPM(21))})
	require.NoError(t, err)
	require.InDelta(t, 88, lb(t, b), 1e-9)

	b, err = Published().LateSpring(Sampled{Test: 15}, Iowa{Critical: new(unit.PPM(15))})
	require.NoError(t, err)
	require.InDelta(t, 0, lb(t, b), 1e-9)

	b, err = Published().LateSpring(Sampled{Test: 2}, Iowa{})
	require.NoError(t, err)
	require.InDelta(t, 90, lb(t, b), 1e-9, "held at the cap, 8 x 23 = 184 otherwise")
	b, err = Published().LateSpring(Sampled{Test: 2}, Iowa{NoCap: true})
	require.NoError(t, err)
	require.InDelta(t, 184, lb(t, b), 1e-9)
	b, err = Published().LateSpring(Sampled{Test: 30}, Iowa{})
	require.NoError(t, err)
	require.Zero(t, b.Rate)
}

func TestTestsOutsideTheirGatesSaySo(t *testing.T) {
	b, err := Published().LateSpring(Sampled{Test: 10, CornHeight: new(unit.Inches(20)), Banded: true, FullBefore: true}, Iowa{})
	require.NoError(t, err)
	require.Len(t, b.Notes, 4, "three gates and the cap")
	b, err = Published().LateSpring(Sampled{Test: 20, CornHeight: new(unit.Inches(8))}, Iowa{})
	require.NoError(t, err)
	require.Empty(t, b.Notes)
}

// Penn State, by its formula: 150 bu at 10 ppm after soybean is 165 - 10 x 1.75 = 147.5,
// and with manure now and before 165 - 10 x (3.5 + 1.75) = 112.5; none from 21 ppm on.
func TestPennState(t *testing.T) {
	b, err := Published().PreSidedress(Sampled{Test: 10}, bu(150), PennHistory{PreviousCrop: "soybean"})
	require.NoError(t, err)
	require.InDelta(t, 147.5, lb(t, b), 1e-9)
	b, err = Published().PreSidedress(Sampled{Test: 10}, bu(150), PennHistory{Manure: true, EarlierManure: true, PreviousCrop: "corn"})
	require.NoError(t, err)
	require.InDelta(t, 112.5, lb(t, b), 1e-9)
	b, err = Published().PreSidedress(Sampled{Test: 21}, bu(150), PennHistory{PreviousCrop: "corn"})
	require.NoError(t, err)
	require.Zero(t, b.Rate)
	_, err = Published().PreSidedress(Sampled{Test: 10}, bu(150), PennHistory{PreviousCrop: "wheat"})
	require.ErrorContains(t, err, `"wheat"`)
}

// A test between two of Ohio's printed classes says which was taken, and a term names its
// class.
func TestATestBetweenTwoClasses(t *testing.T) {
	for ppm, want := range map[unit.PPM]string{10: "up to 10", 10.4: "above 10 and up to 15", 11: "above 10 and up to 15", 20.5: "above 20 and up to 25", 25.5: "above 25: none", 26: "above 25: none"} {
		b, err := Published().OhioReduction(Sampled{Test: ppm}, unit.LbNPerAcre(156))
		require.NoError(t, err)
		require.Equal(t, fmt.Sprintf("a test of %g ppm of nitrate-N, %s", float64(ppm), want), b.Terms[1].What)
		between := float64(ppm) != math.Trunc(float64(ppm))
		require.Equal(t, between, strings.Contains(strings.Join(b.Notes, ""), "was taken for the higher one"), ppm)
	}
}

// A mean of a surface is not told to its last digit.
func TestTestsAreToldInFourDigits(t *testing.T) {
	s := Sampled{Test: unit.PPM(12.3456789)}
	y, base := unit.BushelsPerAcre(180), unit.LbNPerAcre(180)
	for name, work := range map[string]func() (Budget, error){
		"iowa":         func() (Budget, error) { return Published().LateSpring(s, Iowa{}) },
		"penn":         func() (Budget, error) { return Published().PreSidedress(s, y, PennHistory{PreviousCrop: "corn"}) },
		"recalibrated": func() (Budget, error) { return Published().Recalibrated(s, y, true, false) },
		"unmanured":    func() (Budget, error) { return Published().Recalibrated(s, y, false, false) },
		"ohio":         func() (Budget, error) { return Published().OhioReduction(s, base) },
		"illinois":     func() (Budget, error) { return Published().IllinoisReduction(s, base) },
	} {
		b, err := work()
		require.NoError(t, err)
		text := fmt.Sprint(b.Terms)
		require.Contains(t, text, "12.35", name)
		require.NotContains(t, text, "12.345", name)
	}
}

// What an input is moved to stays within what the rules take.
func TestTheEndsOfWhatRulesTake(t *testing.T) {
	w := words{}
	for _, y := range []float64{1, 20, 100, 700, 900} {
		require.NoError(t, w.checkYield(WithinYield(unit.BushelsPerAcre(y))), y)
	}
	require.InDelta(t, 100, WithinYield(unit.BushelsPerAcre(100)).BushelsPerAcre(), 1e-9)
	require.Equal(t, unit.PPM(300), WithinPPM(305))
	require.Equal(t, unit.PPM(0), WithinPPM(-2))
	require.InDelta(t, 20, WithinOrganic(20.5), 0)
	require.InDelta(t, 0.3, WithinOrganic(0.3), 0)
	_, err := Published().OhioReduction(Sampled{Test: 5}, WithinBase(unit.LbNPerAcre(440)))
	require.NoError(t, err)
}

// Ohio State 2022 (second-hand): base 156, test 19 makes 111. Illinois: 20 ppm take 80 off.
func TestReductionsOfABaseRate(t *testing.T) {
	base := unit.LbNPerAcre(156)
	for ppm, want := range map[unit.PPM]float64{10: 156, 11: 126, 15: 126, 19: 111, 20: 111, 25: 66, 25.1: 0, 60: 0} {
		b, err := Published().OhioReduction(Sampled{Test: ppm}, base)
		require.NoError(t, err)
		require.InDelta(t, want, lb(t, b), 1e-9, "%v ppm", ppm)
	}
	for ppm, want := range map[unit.PPM]float64{9.9: 156, 10: 116, 20: 76, 50: 0} {
		b, err := Published().IllinoisReduction(Sampled{Test: ppm}, base)
		require.NoError(t, err)
		require.InDelta(t, want, lb(t, b), 1e-9, "%v ppm", ppm)
	}
}

// The rule by hand: 200 bu, 3.0 ppm, 2 % is 35 + 240 - 24 - 56 = 195, and 150 after soybean;
// 4 % counts as 3: 167; 0.2 % as 0.5: 237; 100 bu, 20 ppm, 3 % is -47: none.
func TestYieldOrganicMatterNitrate(t *testing.T) {
	soy, err := Published().Soybean("", false, nil)
	require.NoError(t, err)
	for _, c := range []struct {
		in    OrganicMatter
		want  float64
		notes int
	}{
		{OrganicMatter{Yield: bu(200), Nitrate: 3, Percent: 2}, 195, 0},
		{OrganicMatter{Yield: bu(200), Nitrate: 3, Percent: 2, Credits: []Credit{soy}}, 150, 0},
		{OrganicMatter{Yield: bu(200), Nitrate: 3, Percent: 4}, 167, 1},
		{OrganicMatter{Yield: bu(200), Nitrate: 3, Percent: 0.2}, 237, 1},
		{OrganicMatter{Yield: bu(100), Nitrate: 20, Percent: 3}, 0, 1},
		{OrganicMatter{Yield: bu(200), Nitrate: 3, Percent: 2, Price: new(0.9), Timing: new(1.05)}, 195 * 0.9 * 1.05, 0},
	} {
		b, err := Published().YieldOrganicMatterNitrate(c.in)
		require.NoError(t, err)
		require.InDelta(t, c.want, lb(t, b), 1e-9, "%+v", c.in)
		require.Len(t, b.Notes, c.notes, "%v", b.Notes)
	}
}

// 8 in of 8 ppm and 16 in of 3 ppm have a mean of 4.67; 25 ppm in a foot are 90 lb at 0.3 and
// 100 at 4 lb a foot (two families of guidance, 11 % apart).
func TestNitrateInLayers(t *testing.T) {
	mean, depth, err := MeanNitrate([]Layer{{unit.Inches(8), 8}, {unit.Inches(16), 3}})
	require.NoError(t, err)
	require.InDelta(t, 4.67, mean.MgPerKg(), 0.005)
	require.InDelta(t, 24, depth.Inches(), 1e-9)

	c, err := Published().ResidualNitrate([]Layer{{unit.Inches(12), 25}}, nil, nil)
	require.NoError(t, err)
	require.InDelta(t, 90, c.N.LbNPerAcre(), 1e-9)
	c, err = Published().ResidualNitrate([]Layer{{unit.Inches(12), 25}}, new(4.0/12), nil)
	require.NoError(t, err)
	require.InDelta(t, 100, c.N.LbNPerAcre(), 1e-9)
	c, err = Published().ResidualNitrate([]Layer{{unit.Inches(24), 16}}, nil, nil)
	require.NoError(t, err)
	require.Len(t, c.Notes, 1, "sample deeper")
}

// Univ. of California ANR: 20 ppm in 24 in of water are 109 lb; 45 ppm of nitrate are 10 of
// nitrate-N, 27 lb in an acre-foot.
func TestWater(t *testing.T) {
	c, err := Published().Water(20, unit.Inches(24), false)
	require.NoError(t, err)
	require.InDelta(t, 109, c.N.LbNPerAcre(), 0.5)
	c, err = Published().Water(45, unit.Feet(1), true)
	require.NoError(t, err)
	require.InDelta(t, 27, c.N.LbNPerAcre(), 0.7)
	// kg/ha = ppm x mm x 0.01
	c, err = Published().Water(10, unit.Metres(0.1), false)
	require.NoError(t, err)
	require.InDelta(t, 10, c.N.KgNPerHa(), 0.01)
}

// Yost et al., Minnesota, on a base of 180: 30 after a good stand, 80 after a fair one, 130
// after a poor one; 75 in the second year. Nebraska from memory: 45, 35 on sand, a pound a bushel
// below 30.
func TestCropsBefore(t *testing.T) {
	for stand, left := range map[Stand]float64{Good: 30, Fair: 80, Poor: 130} {
		c, err := Published().Alfalfa(AlfalfaBefore{Stand: stand, Year: 1})
		require.NoError(t, err)
		require.InDelta(t, left, 180-c.N.LbNPerAcre(), 1e-9)
	}
	c, err := Published().Alfalfa(AlfalfaBefore{Stand: Good, Year: 2})
	require.NoError(t, err)
	require.InDelta(t, 75, c.N.LbNPerAcre(), 1e-9)
	for _, bad := range []struct {
		s Stand
		y int
	}{{"ok", 1}, {Good, 3}, {Good, 0}} {
		_, err := Published().Alfalfa(AlfalfaBefore{Stand: bad.s, Year: bad.y})
		require.Error(t, err)
	}
	for want, in := range map[float64]struct {
		sandy   bool
		bushels float64
	}{45: {false, 0}, 35: {true, 0}, 25: {false, 25}, 28: {true, 28}} {
		c, err := Published().Soybean("", in.sandy, known(in.bushels))
		require.NoError(t, err)
		require.InDelta(t, want, c.N.LbNPerAcre(), 1e-9)
		require.ErrorContains(t, AfterSoybean([]Credit{c}), "taken off twice")
	}
	require.NoError(t, AfterSoybean([]Credit{Published().DryBean()}))
	require.InDelta(t, 40, Published().DryBean().N.LbNPerAcre(), 1e-9)
	m, err := Published().Manure(10, 5, 0.5)
	require.NoError(t, err)
	require.InDelta(t, 25, m.N.LbNPerAcre(), 1e-9)
}

func TestWhatCannotBeIsRefused(t *testing.T) {
	nan := math.NaN()
	for name, f := range map[string]func() error{
		"a yield in kg/ha as bushels": func() error { _, err := Published().YieldGoal(bu(12000), form(t, "stanford"), nil); return err },
		"a yield in t/ha as bushels":  func() error { _, err := Published().YieldGoal(bu(12), form(t, "stanford"), nil); return err },
		"a yield of zero":             func() error { _, err := Published().YieldGoal(0, form(t, "stanford"), nil); return err },
		"no yield":                    func() error { _, err := Published().YieldGoal(unit.Yield(nan), form(t, "stanford"), nil); return err },
		"a credit below zero": func() error {
			_, err := Published().YieldGoal(bu(100), form(t, "stanford"), []Credit{Given("x", -1)})
			return err
		},
		"organic matter as a fraction": func() error {
			_, err := Published().YieldOrganicMatterNitrate(OrganicMatter{Yield: bu(200), Percent: 0.03})
			return err
		},
		"organic matter of peat": func() error {
			_, err := Published().YieldOrganicMatterNitrate(OrganicMatter{Yield: bu(200), Percent: 35})
			return err
		},
		"a test in lb/ac": func() error { _, err := Published().LateSpring(Sampled{Test: 900}, Iowa{}); return err },
		"a critical of 250": func() error {
			_, err := Published().LateSpring(Sampled{Test: 9}, Iowa{Critical: new(unit.PPM(250))})
			return err
		},
		"no layers":       func() error { _, _, err := MeanNitrate(nil); return err },
		"a layer of 0 in": func() error { _, _, err := MeanNitrate([]Layer{{0, 5}}); return err },
		"a price factor": func() error {
			_, err := Published().YieldOrganicMatterNitrate(OrganicMatter{Yield: bu(200), Price: new(20.0)})
			return err
		},
		"manure per cent": func() error { _, err := Published().Manure(10, 5, 50); return err },
		"water":           func() error { _, err := Published().Water(unit.PPM(nan), 1, false); return err },
		"a base rate":     func() error { _, err := Published().OhioReduction(Sampled{Test: 1}, unit.LbNPerAcre(4000)); return err },
		"soybean of 1000": func() error { _, err := Published().Soybean("", false, new(1000.0)); return err },
	} {
		require.Error(t, f(), name)
	}
}
