package budget

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"ratewright/geo/unit"
)

// known is a yield of soybean; nil for 0.
func known(bushels float64) *float64 {
	if bushels == 0 {
		return nil
	}
	return &bushels
}

// everything is what all rules say with the coefficients, by a name of the case: each
// term and note.
func everything(t *testing.T, co Coefficients) map[string]Budget {
	t.Helper()
	y := bu(200)
	all := map[string]Budget{}
	add := func(name string, b Budget, err error) {
		require.NoError(t, err, name)
		all[name] = b
	}
	credit := func(name string, c Credit, err error) {
		require.NoError(t, err, name)
		b, err := co.YieldGoal(bu(300), PerBushel{Name: "own", Lb: 3, Source: "none"}, []Credit{c})
		add("credit "+name, b, err)
	}
	for _, f := range co.YieldGoalForms() {
		b, err := co.YieldGoal(y, f, nil)
		add(f.Name, b, err)
		if bare, err := co.WithoutTillage(f); err == nil {
			b, err := co.YieldGoal(y, bare, nil)
			add(f.Name+" without tillage", b, err)
		}
	}
	for _, ppm := range []float64{4, 12, 17, 22, 28} {
		for _, in := range []float64{3, 9, 20} {
			s := Sampled{Test: unit.PPM(ppm), CornHeight: new(unit.Inches(in)), Manured: true}
			name := fmt.Sprintf(" %g ppm, corn of %g in", ppm, in)
			b, err := co.LateSpring(s, Iowa{})
			add("iowa"+name, b, err)
			for _, crop := range []string{"corn", "soybean", "forage legume"} {
				for _, manure := range []bool{false, true} {
					b, err := co.PreSidedress(s, y, PennHistory{Manure: manure, EarlierManure: true, PreviousCrop: crop})
					add(fmt.Sprintf("penn %s %v", crop, manure)+name, b, err)
				}
			}
			b, err = co.Recalibrated(s, y, true, true)
			add("recalibrated"+name, b, err)
			b, err = co.OhioReduction(s, unit.LbNPerAcre(200))
			add("ohio"+name, b, err)
			b, err = co.IllinoisReduction(s, unit.LbNPerAcre(200))
			add("illinois"+name, b, err)
		}
	}
	for _, om := range []float64{0.3, 2, 4} {
		b, err := co.YieldOrganicMatterNitrate(OrganicMatter{Yield: y, Nitrate: 3, Percent: om})
		add(fmt.Sprintf("organic matter of %g", om), b, err)
	}
	c, err := co.ResidualNitrate([]Layer{{unit.Inches(24), 16}}, nil, nil)
	credit("nitrate", c, err)
	for _, sandy := range []bool{false, true} {
		for _, bushels := range []float64{0, 20, 50} {
			c, err = co.Soybean("nebraska", sandy, known(bushels))
			credit(fmt.Sprintf("soybean %v %g", sandy, bushels), c, err)
		}
	}
	c, err = co.Soybean("dakotas", false, nil)
	credit("dakotas", c, err)
	c, err = co.Soybean("per-bushel", false, known(40))
	credit("per bushel", c, err)
	credit("dry bean", co.DryBean(), nil)
	for _, a := range []AlfalfaBefore{
		{Stand: Good, Year: 1},
		{Stand: Fair, Year: 1},
		{Stand: Poor, Year: 1},
		{Stand: Fair, Year: 2},
		{State: "wisconsin", Plants: 20, Regrowth: unit.Inches(5), Year: 1},
		{State: "wisconsin", Plants: 20, Regrowth: unit.Inches(30), Year: 1},
		{State: "nebraska", Stand: Good, Year: 1},
		{State: "nebraska", Stand: Half, Year: 1},
		{State: "kansas", Year: 1},
		{State: "idaho", Year: 1},
	} {
		c, err = co.Alfalfa(a)
		credit(fmt.Sprintf("alfalfa %+v", a), c, err)
	}
	for _, year := range []int{1, 2} {
		c, err = co.BeefManure(10, year)
		credit(fmt.Sprintf("beef %d", year), c, err)
	}
	c, err = co.Water(20, unit.Inches(10), false)
	credit("water", c, err)
	all["expected"] = Budget{Notes: []string{fmt.Sprintf("%g %s", co.ExpectedOver, co.ExpectedSource())}}
	all["unsampled"] = Budget{Notes: []string{fmt.Sprintf("%g %g %s", co.NitrateMedium, co.NitrateSandy, co.UnsampledSource())}}
	return all
}

// ofTheRest are terms that follow from the others.
func ofTheRest(what string) bool {
	return strings.HasPrefix(what, "no more than") || strings.HasPrefix(what, "less than nothing") || strings.Contains(what, "is above")
}

// A coefficient of the job is never cited as published: whatever it changes says that it is
// given in the job, by its name, with the published number beside it. This goes over every
// coefficient there is and everything that the rules say.
func TestACoefficientOfTheJobIsSaidToBeTheJobs(t *testing.T) {
	published := everything(t, Published())
	for _, b := range published {
		for _, term := range b.Terms {
			require.NotContains(t, term.Source, "given in the job: ", term.What)
		}
	}
	for _, n := range Names() {
		for _, factor := range []float64{0.97, 1.03} {
			co := Published()
			v := n.Published * factor
			require.NoError(t, co.Set(n.Name, v), n.Name)
			require.NoError(t, co.Check(), n.Name)
			said := fmt.Sprintf("%s %g %s in place of %g", n.Name, v, n.Unit, n.Published)
			named := false
			for name, b := range everything(t, co) {
				before := published[name]
				for i, term := range b.Terms {
					own := strings.Contains(term.Source, "given in the job: ") && strings.Contains(term.Source, said)
					named = named || own
					if i < len(before.Terms) && !own && !ofTheRest(term.What) {
						require.Equal(t, before.Terms[i], term, "%s changes %s", n.Name, name)
					}
				}
				for i, note := range b.Notes {
					own := strings.Contains(note, "given in the job: ") && strings.Contains(note, said)
					named = named || own
					if i < len(before.Notes) && len(before.Notes) == len(b.Notes) && !own {
						require.Equal(t, before.Notes[i], note, "%s changes %s", n.Name, name)
					}
				}
			}
			require.True(t, named, "nothing says that %s is given in the job", n.Name)
		}
	}
}

// So are the keys that stand in place of a published number.
func TestAKeyOfTheJobIsSaidToBeTheJobs(t *testing.T) {
	b, err := Published().LateSpring(Sampled{Test: 3}, Iowa{Critical: new(unit.PPM(20)), Cap: new(unit.LbNPerAcre(60))})
	require.NoError(t, err)
	require.Equal(t, "given in the job: critical 20 ppm of nitrate-N in place of 25 (Iowa State Univ. PM 1714)", b.Terms[0].Source)
	require.Equal(t, "given in the job: cap 60.0 lb N/ac in place of 90.0 lb N/ac (Iowa State Univ. PM 1714, the cap from memory)", b.Terms[1].Source)
	// Given as it is published, it is the published one.
	b, err = Published().LateSpring(Sampled{Test: 3}, Iowa{Critical: new(unit.PPM(25)), Cap: new(unit.LbNPerAcre(90))})
	require.NoError(t, err)
	require.Equal(t, "Iowa State Univ. PM 1714", b.Terms[0].Source)
	require.Equal(t, "Iowa State Univ. PM 1714, the cap from memory", b.Terms[1].Source)

	c, err := Published().ResidualNitrate([]Layer{{unit.Inches(24), 25}}, new(0.333), new(unit.LbNPerAcre(50)))
	require.NoError(t, err)
	require.Contains(t, c.Source, "given in the job: factor 0.333 lb N/ac per ppm and inch in place of 0.3")
	require.Contains(t, c.Source, "the background given in the job")
}

// A zero that is given is no number left out.
func TestAZeroIsTakenOrRefused(t *testing.T) {
	co := Published()
	_, err := co.LateSpring(Sampled{Test: 3}, Iowa{Cap: new(unit.NRate(0))})
	require.ErrorContains(t, err, "would leave no rate; write the most that may be applied, or none")
	_, err = co.LateSpring(Sampled{Test: 3}, Iowa{Critical: new(unit.PPM(0))})
	require.ErrorContains(t, err, "a critical level of 0 ppm cannot be")
	_, err = co.LateSpring(Sampled{Test: 3, CornHeight: new(unit.Length(0))}, Iowa{})
	require.ErrorContains(t, err, "not up")
	for what, in := range map[string]OrganicMatter{"price": {Yield: bu(200), Nitrate: 3, Percent: 2, Price: new(0.0)}, "timing": {Yield: bu(200), Nitrate: 3, Percent: 2, Timing: new(0.0)}} {
		_, err = co.YieldOrganicMatterNitrate(in)
		require.ErrorContains(t, err, "a factor of "+what+" of 0 ")
	}
	_, err = co.ResidualNitrate([]Layer{{unit.Inches(24), 3}}, new(0.0), nil)
	require.ErrorContains(t, err, "the factor from ppm of 0 ")
	_, err = co.Soybean("", false, new(0.0))
	require.ErrorContains(t, err, "a soybean yield of 0 ")
	// No background is a background of none, and a coefficient may be none where that has a sense.
	c, err := co.ResidualNitrate([]Layer{{unit.Inches(24), 3}}, nil, new(unit.NRate(0)))
	require.NoError(t, err)
	require.InDelta(t, 21.6, c.N.LbNPerAcre(), 1e-9)
	for _, name := range senseless() {
		require.ErrorContains(t, co.Set(name, 0), "at which the rule says nothing", name)
	}
	for _, n := range Names() {
		co := Published()
		if err := co.Set(n.Name, 0); err == nil {
			require.NotEqual(t, Published(), co, "%s: a zero is taken", n.Name)
		}
	}
	require.NoError(t, co.Set("om_base", 0))
	b, err := co.YieldOrganicMatterNitrate(OrganicMatter{Yield: bu(200), Nitrate: 3, Percent: 2})
	require.NoError(t, err)
	require.Contains(t, b.Terms[0].Source, "om_base 0 lb N/ac in place of 35")
}

func TestCoefficientsThatCrossAreRefused(t *testing.T) {
	require.NoError(t, Published().Check())
	for name, set := range map[string]map[string]float64{
		"om_least is 4, above om_most 1":                {"om_least": 4, "om_most": 1},
		"ohio_low is 15, above ohio_middle 12":          {"ohio_middle": 12},
		"ohio_low_off is 60, above ohio_middle_off 45":  {"ohio_low_off": 60},
		"test_shortest is 14, above test_tallest 12":    {"test_shortest": 14},
		"alfalfa_second is 1.5, above the whole":        {"alfalfa_second": 1.5},
		"expected_over is 5, above the whole":           {"expected_over": 5},
		"alfalfa_fair is 160, above alfalfa_good 150":   {"alfalfa_fair": 160},
		"penn_no_manure is 4, above penn_manure 3.5":    {"penn_no_manure": 4},
		"alfalfa_wisconsin_less is 200, above":          {"alfalfa_wisconsin_less": 200},
		"alfalfa_nebraska_half is 101, above":           {"alfalfa_nebraska_half": 101},
		"manure_beef_second is 2, above the whole":      {"manure_beef_second": 2},
		"ohio_middle is 26, above ohio_high 25":         {"ohio_middle": 26},
		"ohio_middle_off is 100, above ohio_high_off 9": {"ohio_middle_off": 100},
	} {
		co := Published()
		for k, v := range set {
			require.NoError(t, co.Set(k, v))
		}
		require.ErrorContains(t, co.Check(), name)
	}
}

// Corn 6 in and 12 in tall is inside, in whatever unit it is written.
func TestTheGateOfATestHasItsEnds(t *testing.T) {
	for text, inside := range map[string]bool{"6 in": true, "12 in": true, "1 ft": true, "0.5 ft": true, "15.24 cm": true, "30.48 cm": true, "304.8 mm": true, "5.9 in": false, "12.1 in": false, "31 cm": false} {
		h, err := unit.ParseLength(text)
		require.NoError(t, err)
		b, err := Published().LateSpring(Sampled{Test: 20, CornHeight: &h}, Iowa{})
		require.NoError(t, err)
		require.Equal(t, inside, len(b.Notes) == 0, "%s: %v", text, b.Notes)
	}
}

func TestOneThingIsNotCreditedTwice(t *testing.T) {
	co := Published()
	soy, err := co.Soybean("", false, nil)
	require.NoError(t, err)
	first, err := co.Alfalfa(AlfalfaBefore{Stand: Good, Year: 1})
	require.NoError(t, err)
	second, err := co.Alfalfa(AlfalfaBefore{Stand: Good, Year: 2})
	require.NoError(t, err)
	nitrate, err := co.ResidualNitrate([]Layer{{unit.Inches(24), 10}}, nil, nil)
	require.NoError(t, err)
	for _, state := range []AlfalfaBefore{{State: "kansas", Year: 1}, {State: "idaho", Year: 1}, {State: "nebraska", Stand: Half, Year: 1}, {State: "wisconsin", Plants: 5, Regrowth: unit.Inches(9), Year: 1}} {
		c, err := co.Alfalfa(state)
		require.NoError(t, err)
		require.ErrorContains(t, Twice([]Credit{soy, c}, Counted{}), "soybean and of alfalfa", state.State)
	}
	for name, c := range map[string]struct {
		list []Credit
		by   Counted
		want string
	}{
		"soybean and alfalfa":    {[]Credit{first, soy}, Counted{}, "credits of alfalfa and of soybean the year before, and one crop alone stood before corn"},
		"soybean and dry bean":   {[]Credit{soy, co.DryBean()}, Counted{}, "of soybean and of dry bean"},
		"soybean twice":          {[]Credit{soy, soy}, Counted{}, "soybean before corn has two credits"},
		"nitrate in the rule":    {[]Credit{nitrate}, Counted{Rule: "the rule", Nitrate: true}, "would be taken off twice: the rule counts the nitrate"},
		"crop in the rule":       {[]Credit{soy}, Counted{Rule: "the test", Crop: true}, "would be taken off twice: the test counts the crop before"},
		"alfalfa two years back": {[]Credit{soy, second, nitrate}, Counted{}, ""},
		"given":                  {[]Credit{soy, Given("cover", 10), Given("manure", 10)}, Counted{Nitrate: true}, ""},
	} {
		err := Twice(c.list, c.by)
		if c.want == "" {
			require.NoError(t, err, name)
			continue
		}
		require.ErrorContains(t, err, c.want, name)
	}
}
