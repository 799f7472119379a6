package loss

import (
	"math"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"ratewright/geo/unit"
	"ratewright/rx/nitrogen"
	"ratewright/rx/nitrogen/water"
)

func TestApplicationsThatCannotBeAreRefusedInWords(t *testing.T) {
	c := Mid()
	season := moist(30, 15, nil)
	end := spring.AddDate(0, 0, 29)
	uan, ammonia := known(t, "uan-32"), known(t, "anhydrous-ammonia")
	unknownForms, err := nitrogen.Define(nitrogen.Source{Name: "mystery", PercentN: 20})
	require.NoError(t, err)
	in := unit.Inches
	for words, a := range map[string]Application{
		"holds no nitrogen":             {Date: spring},
		"not known how the nitrogen":    {Source: unknownForms, Date: spring},
		"the placement is not known":    {Source: uan, Placement: 9, Date: spring},
		"the inhibitor is not known":    {Source: uan, Inhibitor: -1, Date: spring},
		"but has a depth of 4 in":       {Source: uan, Depth: in(4), Date: spring},
		"is injected but has no depth":  {Source: uan, Placement: Injected, Date: spring},
		"cannot be; write 0 to 60 cm":   {Source: uan, Placement: Injected, Depth: in(70), Date: spring},
		"a depth of NaN in":             {Source: uan, Placement: Injected, Depth: unit.Length(math.NaN()), Date: spring},
		"must be injected":              {Source: ammonia, Date: spring},
		"has no date":                   {Source: uan},
		"no date; give one":             {Source: uan, Date: spring, Tillage: &Tillage{Depth: in(3)}},
		"tillage to 0 in":               {Source: uan, Date: spring, Tillage: &Tillage{Date: spring}},
		"before it is applied":          {Source: uan, Date: spring, Tillage: &Tillage{Date: spring.AddDate(0, 0, -1), Depth: in(3)}},
		"leave out the tillage":         {Source: ammonia, Placement: Injected, Depth: in(7), Date: spring, Tillage: &Tillage{Date: spring, Depth: in(3)}},
		"reaches from 2025-05-01 to 20": {Source: uan, Date: spring.AddDate(0, 0, -1)},
		"the course ends on 2025-05-30": {Source: uan, Date: spring.AddDate(0, 2, 0)},
	} {
		_, err := Prepare(a, season, end, &c)
		require.ErrorContains(t, err, words)
	}
	_, err = Prepare(Application{Source: uan, Date: spring}, season, end.AddDate(0, 0, 1), &c)
	require.ErrorContains(t, err, "reaches from 2025-05-01 to 2025-05-30")
	_, err = Prepare(Application{Source: uan, Date: spring}, &water.Season{}, end, &c)
	require.ErrorContains(t, err, "no weather at all")
}

func TestSitesAndRatesThatCannotBeAreRefused(t *testing.T) {
	c := Mid()
	a := Application{Source: known(t, "urea"), Date: spring}
	s, err := Prepare(a, moist(30, 15, nil), spring.AddDate(0, 0, 29), &c)
	require.NoError(t, err)
	nan := math.NaN()
	for words, site := range map[string]Site{
		"pH of 0":              {},
		"pH of NaN":            {PH: nan},
		"the share NaN":        {PH: 6, Cover: nan},
		"the share 30":         {PH: 6, Cover: 30},
		"residue of -1 kg/ha":  {PH: 6, ResidueKgHa: -1},
		"residue of +Inf kg/h": {PH: 6, ResidueKgHa: math.Inf(1)},
		"the share 1.5 of wha": {PH: 6, Part: 1.5},
		"the share NaN of wha": {PH: 6, Part: nan},
	} {
		_, err := s.At(site, 100, 5)
		require.ErrorContains(t, err, words)
		_, err = s.Course(site, 100)
		require.ErrorContains(t, err, words)
		_, err = s.Potential(site, 100)
		require.ErrorContains(t, err, words)
		_, err = c.Potential(a, site, 100, 15)
		require.ErrorContains(t, err, words)
	}
	for _, rate := range []float64{nan, math.Inf(1), -1, 1001} {
		_, err := s.At(Site{PH: 6}, unit.NRate(rate), 5)
		require.ErrorContains(t, err, "kg N/ha")
	}
	for _, day := range []int{0, -3, 31} {
		_, err := s.At(Site{PH: 6}, 100, day)
		require.ErrorContains(t, err, "30 days")
	}
	_, err = c.Potential(a, Site{PH: 6}, 100, nan)
	require.ErrorIs(t, err, errNoTemperature)
	b, err := s.At(Site{PH: 6, Cover: 1}, 0, 30)
	require.NoError(t, err)
	require.Equal(t, Balance{}, b, "nothing put down, nothing there")
}

func TestSeasonsThatNoBalanceMadeAreRefused(t *testing.T) {
	c := Mid()
	a := Application{Source: known(t, "urea"), Date: spring}
	for name, change := range map[string]func(*water.State){
		"soil":    func(d *water.State) { d.SoilC = math.NaN() },
		"air":     func(d *water.State) { d.MeanC = math.Inf(-1) },
		"arrived": func(d *water.State) { d.ArrivedMM = -1 },
		"drained": func(d *water.State) { d.DrainedMM = math.NaN() },
		"surface": func(d *water.State) { d.Surface = 1.5 },
		"water":   func(d *water.State) { d.SoilMM = math.Inf(1) },
	} {
		s := moist(30, 15, nil)
		change(&s.Days[7])
		_, err := Prepare(a, s, spring.AddDate(0, 0, 29), &c)
		require.ErrorContains(t, err, "2025-05-08", name)
		_, err = Prepare(a, s, spring.AddDate(0, 0, 5), &c)
		require.NoError(t, err, "the day is not asked for")
	}
	s := moist(30, 15, nil)
	s.AvailableShare = 0
	_, err := Prepare(a, s, spring.AddDate(0, 0, 29), &c)
	require.ErrorContains(t, err, "the share 0")
}

func TestCoefficientsByName(t *testing.T) {
	names := map[string]bool{}
	for _, n := range Names() {
		require.False(t, names[n.Name], n.Name)
		names[n.Name] = true
		require.NotEmpty(t, n.Unit)
		c := Mid()
		require.Empty(t, c.Changed())
		require.Error(t, c.Set(n.Name, math.NaN()))
		require.Error(t, c.Set(n.Name, math.Inf(1)))
		require.NoError(t, c.Set(n.Name, n.High), n.Name)
		if n.High != n.Mid {
			require.Contains(t, c.Changed(), n.Name)
		}
		for _, run := range []Coefficients{Low(), Mid(), High()} {
			require.NoError(t, run.check())
		}
	}
	c := Mid()
	require.ErrorContains(t, c.Set("luck", 1), "luck")
	_, err := Prepare(Application{Source: known(t, "urea"), Date: spring}, moist(30, 15, nil), spring, &Coefficients{})
	require.Error(t, err, "an empty set of coefficients")
	c.DepthMiddle = c.DepthNear
	require.ErrorContains(t, c.check(), "must rise")
	c = Mid()
	c.CoolFrom = 20
	require.ErrorContains(t, c.check(), "must rise")
}

// Each number reaches a result: moved by a little, something changes in one of some
// applications on wet, cold and warm ground.
func TestEveryCoefficientCounts(t *testing.T) {
	// outcome gives one balance after another until it is told to stop.
	outcome := func(c Coefficients, more func(Balance) bool) {
		for _, group := range []string{"fine", "coarse"} {
			for _, warmth := range []float64{1.5, 10, 15, 20, 35} {
				s := moist(80, warmth, map[int]float64{4: 3})
				s.Soil.Group = group
				for i := range s.Days {
					s.Days[i].DrainedMM, s.Days[i].WetDays = 6, max(0, i-20)
				}
				s.Days[10].Surface, s.Days[11].Surface = 0.2, 0
				for _, a := range applications(t) {
					for _, site := range []Site{{PH: 6.5, Cover: 0.5}, {PH: 7.05}, {PH: 7.5, ResidueKgHa: 6000}} {
						for _, rate := range []float64{10, 100, 300} {
							shape, err := Prepare(a, s, spring.AddDate(0, 0, 79), &c)
							require.NoError(t, err)
							for _, day := range []int{3, 23, 79} {
								b, err := shape.At(site, unit.KgNPerHa(rate), day)
								require.NoError(t, err)
								if !more(b) {
									return
								}
							}
						}
					}
				}
			}
		}
	}
	base := Mid()
	var before []Balance
	outcome(base, func(b Balance) bool { before = append(before, b); return true })
	for _, n := range Names() {
		c := base
		for _, p := range c.all() {
			if p.Name == n.Name {
				*p.At = *p.At*1.01 + 0.001*(1-min(1, math.Abs(*p.At)))
			}
		}
		switch n.Name {
		case "high_ph_from":
			c.HighPHFrom = 7.1
		case "saturated_first", "granular_lag":
			require.NoError(t, c.Set(n.Name, n.Mid+1))
		case "most_phi":
			c.MostPhi = 0.05
		case "cool_from":
			c.CoolFrom = 11
		case "mild_from":
			c.MildFrom = 16
		case "warm_above":
			c.WarmAbove = 25
		case "cold_below":
			c.ColdBelow = 1
		}
		at, same := 0, true
		outcome(c, func(b Balance) bool {
			same = b == before[at]
			at++
			return same
		})
		require.False(t, same, "%s changes nothing", n.Name)
	}
}

func applications(t *testing.T) []Application {
	in := unit.Inches
	var list []Application
	for _, i := range []Inhibitor{NoInhibitor, Urease, Nitrification, UreaseAndNitrification} {
		for _, name := range []string{"urea", "uan-32", "ammonium-nitrate", "ammonium-sulfate"} {
			list = append(list, Application{Source: known(t, name), Date: spring, Inhibitor: i})
		}
		list = append(
			list,
			Application{Source: known(t, "uan-32"), Placement: Dribbled, Date: spring, Inhibitor: i},
			Application{Source: known(t, "uan-32"), Placement: Injected, Depth: in(5), Date: spring, Inhibitor: i},
			Application{Source: known(t, "urea"), Placement: Incorporated, Depth: in(0.5), Date: spring, Inhibitor: i},
			Application{Source: known(t, "urea"), Placement: Incorporated, Depth: in(1.5), Date: spring, Inhibitor: i},
			Application{Source: known(t, "urea"), Placement: Incorporated, Depth: in(2.5), Date: spring, Inhibitor: i},
		)
		for _, d := range []float64{2, 4, 5, 7} {
			list = append(list, Application{Source: known(t, "anhydrous-ammonia"), Placement: Injected, Depth: in(d), Date: spring, Inhibitor: i})
		}
	}
	return list
}

// Arithmetic: 8 Mg/ha, a quarter decomposed, 0.02 less 0.0079: 24 kg N/ha, of which
// broadcast meets 12, a band on the surface 6, what lies below 2.4. Cover of 30 % is 0.9
// Mg/ha, 96 % is 8 (Gregory 1982, from memory).
func TestTieUpByHand(t *testing.T) {
	c := Mid()
	for p, want := range map[Placement]float64{Broadcast: 12, Dribbled: 6, Incorporated: 12, Injected: 2.4} {
		require.InDelta(t, want, c.tieUp(p, Site{ResidueKgHa: 8000}), 0.11)
	}
	require.InDelta(t, c.tieUp(Broadcast, Site{ResidueKgHa: 892}), c.tieUp(Broadcast, Site{Cover: 0.3}), 0.01)
	require.InDelta(t, c.tieUp(Broadcast, Site{ResidueKgHa: 8047}), c.tieUp(Broadcast, Site{Cover: 0.96}), 0.01)
	require.InDelta(t, 0.3*c.tieUp(Broadcast, Site{Cover: 0.3}), c.tieUp(Broadcast, Site{Cover: 0.3, Part: 0.3}), 1e-12)
	require.Zero(t, c.tieUp(Broadcast, Site{}))
	require.False(t, math.IsInf(c.tieUp(Broadcast, Site{Cover: 1}), 0))
	c.ResidueHolds = 0.03
	require.Zero(t, c.tieUp(Broadcast, Site{ResidueKgHa: 8000}), "residue rich in nitrogen takes none")
}

// Held grows evenly over forty days, is never more than there is, and is no loss.
func TestHeldGrowsAndIsNotLost(t *testing.T) {
	c := Mid()
	a := Application{Source: known(t, "ammonium-nitrate"), Date: spring}
	site := Site{PH: 6.5, ResidueKgHa: 8000}
	course, err := Follow(a, site, unit.KgNPerHa(100), moist(60, 0, nil), spring.AddDate(0, 0, 59), &c)
	require.NoError(t, err)
	all := c.tieUp(Broadcast, site)
	for day, share := range map[int]float64{1: 1.0 / 40, 10: 0.25, 40: 1, 60: 1} {
		require.InDelta(t, all*share, course.Days[day-1].Held, 1e-9)
	}
	little, err := Follow(a, site, unit.KgNPerHa(5), moist(60, 0, nil), spring.AddDate(0, 0, 59), &c)
	require.NoError(t, err)
	last := little.Days[59]
	require.InDelta(t, 5, last.Held+last.Lost(), 1e-9)
	require.Zero(t, last.StillThere())
}

func TestNamesOfPlacementsAndInhibitors(t *testing.T) {
	for p := Broadcast; p <= Injected; p++ {
		got, err := PlacementNamed(" " + strings.ToUpper(p.String()))
		require.NoError(t, err)
		require.Equal(t, p, got)
	}
	for i := NoInhibitor; i <= UreaseAndNitrification; i++ {
		got, err := InhibitorNamed(i.String())
		require.NoError(t, err)
		require.Equal(t, i, got)
	}
	got, err := InhibitorNamed("")
	require.NoError(t, err)
	require.Equal(t, NoInhibitor, got)
	_, err = PlacementNamed("thrown")
	require.ErrorContains(t, err, "dribbled")
	_, err = InhibitorNamed("magic")
	require.ErrorContains(t, err, "urease")
	require.Equal(t, "placement 9", Placement(9).String())
	require.Equal(t, "inhibitor -1", Inhibitor(-1).String())
}

func TestGroupsOfSources(t *testing.T) {
	for name, want := range map[string]group{
		"urea": ureaGroup, "uan-28": uanGroup, "uan-30": uanGroup, "uan-32": uanGroup, "ammonium-nitrate": nitrateGroup,
		"ammonium-sulfate": sulfateGroup, "ammonium-thiosulfate": sulfateGroup, "ammonium-polyphosphate": sulfateGroup,
	} {
		require.Equal(t, want, groupOf(known(t, name)), name)
	}
	urea := known(t, "urea")
	require.True(t, granular(urea))
	bulk, err := urea.WithDensity(unit.KgPerLitre(0.77))
	require.NoError(t, err)
	require.True(t, granular(bulk), "a bulk density is no solution")
	solution, err := nitrogen.Define(nitrogen.Source{Name: "urea-20", PercentN: 20, UreaN: 20, HasDensity: true, Density: unit.KgPerLitre(1.11)})
	require.NoError(t, err)
	require.False(t, granular(solution))
}

func TestNotesOfACourse(t *testing.T) {
	c := Mid()
	season := moist(30, 15, nil)
	season.Notes = []string{"of the season"}
	note := func(a Application) string {
		a.Date = spring
		course, err := Follow(a, Site{PH: 6.5}, 100, season, spring.AddDate(0, 0, 29), &c)
		require.NoError(t, err)
		require.Equal(t, Ranking, course.Notes[0])
		return strings.Join(course.Notes, "\n")
	}
	require.Contains(t, note(Application{Source: known(t, "urea")}), "of the season")
	require.Contains(t, note(Application{Source: known(t, "urea"), Placement: Incorporated, Depth: unit.Inches(3)}), "a slot keeps a floor")
	require.Contains(t, note(Application{Source: known(t, "urea"), Tillage: &Tillage{spring, unit.Inches(3)}}), "a slot keeps a floor")
	require.NotContains(t, note(Application{Source: known(t, "urea"), Placement: Incorporated, Depth: unit.Inches(1)}), "a slot keeps a floor")
	require.Contains(t, note(Application{Source: known(t, "uan-32")}), "ranks it last")
	require.NotContains(t, note(Application{Source: known(t, "uan-32"), Placement: Dribbled}), "ranks it last")
	require.Contains(t, note(Application{Source: known(t, "anhydrous-ammonia"), Placement: Injected, Depth: unit.Inches(7)}), "closed")
	require.Contains(t, note(Application{Source: known(t, "anhydrous-ammonia"), Placement: Injected, Depth: unit.Inches(1)}), "nothing is published")
}

func TestDatesAreDaysWhateverTheirClock(t *testing.T) {
	c := Mid()
	place := time.FixedZone("", -6*3600)
	a := Application{Source: known(t, "urea"), Date: time.Date(2025, 5, 3, 23, 30, 0, 0, place)}
	s, err := Prepare(a, moist(30, 15, nil), time.Date(2025, 5, 20, 1, 0, 0, 0, place), &c)
	require.NoError(t, err)
	require.Equal(t, 18, s.Days())
	require.Equal(t, time.Date(2025, 5, 3, 0, 0, 0, 0, time.UTC), s.First)
}

func TestBandsAndWetSpellsThatCannotBe(t *testing.T) {
	m, ok := unit.Metres, unit.KgPerLitre(1.3)
	for _, r := range [][4]float64{{math.NaN(), 0.76, 0.06, 1.3}, {-1, 0.76, 0.06, 1.3}, {100, 0, 0.06, 1.3}, {100, 0.76, 0, 1.3}, {100, 0.76, 0.06, 0}, {100, 0.1, 0.06, 1.3}, {math.Inf(1), 0.76, 0.06, 1.3}, {1, math.Inf(1), 0.06, 1.3}} {
		_, err := BandPPM(unit.KgNPerHa(r[0]), m(r[1]), m(r[2]), unit.KgPerLitre(r[3]))
		require.Error(t, err, "%v", r)
	}
	got, err := BandPPM(0, m(0.76), m(0.06), ok)
	require.NoError(t, err)
	require.Zero(t, got.MgPerKg())
	for _, r := range [][4]float64{{math.NaN(), 3, 2, 0.04}, {-1, 3, 2, 0.04}, {100, -1, 2, 0.04}, {100, 3, math.NaN(), 0.04}, {100, 3, 2, 1.1}, {100, math.Inf(1), 2, 0.04}} {
		_, err := WetSpell(unit.KgNPerHa(r[0]), r[1], r[2], r[3])
		require.Error(t, err, "%v", r)
	}
}
