package loss

import (
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"ratewright/geo/unit"
	"ratewright/rx/nitrogen/water"
	"ratewright/rx/weather"
)

// record is the weather of station USC00305816 (NOAA GHCN-Daily, public domain) from
// March to September of a year, with the air's mean for the soil.
func record(t *testing.T, year int) []water.Day {
	path := filepath.Join("..", "..", "..", "..", "shared", "data", "weather", "USC00305816_1940_1960.dly")
	f, err := os.Open(path)
	if err != nil {
		t.Skip("the open data beside the project are not there: " + err.Error())
	}
	defer f.Close()
	series, err := weather.ReadDLY(f, path, weather.Options{})
	require.NoError(t, err)
	var days []water.Day
	for _, d := range series.Between(time.Date(year, 3, 1, 0, 0, 0, 0, time.UTC), time.Date(year, 9, 30, 0, 0, 0, 0, time.UTC)) {
		require.True(t, d.MaxC.Known && d.MinC.Known && d.RainMM.Known, d.Date)
		mean := (d.MaxC.Value + d.MinC.Value) / 2
		days = append(days, water.Day{Date: d.Date, MaxC: d.MaxC.Value, MinC: d.MinC.Value, SoilC: mean, RainMM: d.RainMM.Value})
	}
	return days
}

// What the water of a year of record must look like: kept, most drainage before June,
// about as much used as corn uses.
func TestWaterOfAYearOfRecord(t *testing.T) {
	days := record(t, 1950)
	c := water.Mid()
	c.Planted = time.Date(1950, 5, 1, 0, 0, 0, 0, time.UTC)
	s, err := water.Run(water.Soil{Group: "medium", Drainage: "well drained", Hydrologic: "B"}, 41, days, c)
	require.NoError(t, err)
	var rain, used, drained, ran, spring float64
	for i, d := range s.Days {
		rain += days[i].RainMM
		used += d.UsedMM
		drained += d.DrainedMM
		ran += d.RunoffMM
		if i < 92 {
			spring += d.DrainedMM
		}
	}
	t.Logf("rain %.0f, used %.0f, drained %.0f (%.0f by May), ran off %.0f mm", rain, used, drained, spring, ran)
	require.InDelta(t, rain, used+drained+ran+s.Days[len(s.Days)-1].SoilMM-s.CapacityMM+s.Days[len(s.Days)-1].SnowMM, 1e-6)
	require.Greater(t, spring, 0.5*drained)
	require.True(t, used > 300 && used < 700, "corn uses some 400 to 650 mm (common practice): %g", used)
}

// On a year of record the runs lie around one another: urea on 20 April, looked at on 10
// July.
func TestLossesOfAYearOfRecord(t *testing.T) {
	days := record(t, 1950)
	var still [3]float64
	for i, run := range []struct {
		water water.Coefficients
		loss  Coefficients
	}{{water.Low(), Low()}, {water.Mid(), Mid()}, {water.High(), High()}} {
		season, err := water.Run(water.Soil{Group: "fine", Drainage: "poorly drained", Hydrologic: "C/D"}, 41, days, run.water)
		require.NoError(t, err)
		a := Application{Source: known(t, "urea"), Date: time.Date(1950, 4, 20, 0, 0, 0, 0, time.UTC)}
		course, err := Follow(a, Site{PH: 6.5, Cover: 0.5}, unit.KgNPerHa(150), &season, time.Date(1950, 7, 10, 0, 0, 0, 0, time.UTC), &run.loss)
		require.NoError(t, err)
		last := course.Days[len(course.Days)-1]
		still[i] = last.StillThere()
		t.Logf("still there %.0f, ammonia %.0f, denitrified %.0f, leached %.0f, held %.0f", last.StillThere(), last.Ammonia, last.Denitrified, last.Leached, last.Held)
	}
	require.Greater(t, still[0], still[1])
	require.Greater(t, still[1], still[2])
	require.Greater(t, still[2], 0.0)
}
