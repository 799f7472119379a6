package job

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"time"

	"ratewright/geo/vector"
	"ratewright/rx/nitrogen/growth"
	"ratewright/rx/weather"
)

// WeatherSpec is a file of daily weather.
type WeatherSpec struct {
	File     string
	Columns  map[string]string // role to column, of a plain table
	Units    map[string]string // temperature and rain
	Dates    string            // form of dates of a plain table
	Observed string            // local time of the daily observation
	Through  string            // a date: the weather of the job's own year is taken up to it; may be empty
}

// CropSpec says since when the crop grows.
type CropSpec struct {
	Planted, Emerged string // dates; Emerged may be empty
	Models           []growth.Model
}

// fillDays is how many days without temperature may be filled by interpolation.
const fillDays = 3

// timing notes how far the crop is on the date of an application, and how much of the
// season's nitrogen it has taken up.
func (o *opener) timing(j Job, a ApplicationSpec) error {
	if j.Crop == nil || j.Weather == nil || a.Date == "" {
		return nil
	}
	on, err := time.Parse(time.DateOnly, a.Date)
	if err != nil {
		return err
	}
	since, from := growth.FromPlanting, j.Crop.Planted
	if j.Crop.Emerged != "" {
		since, from = growth.FromEmergence, j.Crop.Emerged
	}
	begin, err := time.Parse(time.DateOnly, from)
	if err != nil {
		return err
	}
	if on.Before(begin) {
		return nil // no crop yet
	}
	series, err := j.Weather.read()
	if err != nil {
		return err
	}
	for _, n := range series.Notes {
		o.note(j.Weather.File, n)
	}
	if len(series.Days) == 0 || series.Days[len(series.Days)-1].Date.Before(on) || series.Days[0].Date.After(begin) {
		return o.usualTiming(j, series, begin, on, since)
	}
	days := make([]growth.Day, len(series.Days))
	for i, d := range series.Days {
		days[i] = growth.Day{Date: d.Date, MaxC: d.MaxC.Value, MinC: d.MinC.Value, Known: d.MaxC.Known && d.MinC.Known}
	}
	sum, err := growth.DegreeDays(days, begin, on, growth.Method{}, fillDays)
	if err != nil {
		what := err.Error()
		if len(series.Notes) > 0 {
			what += "; " + strings.Join(series.Notes, "; ")
		}
		return &vector.InputError{File: j.Weather.File, What: what, Fix: "fill the gap from a station nearby, or check columns and units"}
	}
	spread, err := growth.Stages(sum.F, since, j.Crop.Models)
	if err != nil {
		return err
	}
	text, err := growth.TimingNote(on, spread, growth.DefaultBand())
	if err != nil {
		return err
	}
	word := "planting"
	if since == growth.FromEmergence {
		word = "emergence"
	}
	o.notes = append(o.notes, fmt.Sprintf("timing: %s (%.0f degree days of 86/50 °F since %s on %s)", text, sum.F, word, from))
	o.notes = append(append(o.notes, sum.Notes...), spread.Notes...)
	return nil
}

// usualTiming notes how far the crop is on a date in the years of a record that does not
// reach it.
func (o *opener) usualTiming(j Job, series weather.Series, begin, on time.Time, since growth.Since) error {
	years, err := series.Scenarios(begin, on, weather.DefaultRules(), nil)
	if err != nil || on.Before(begin) || since != growth.FromPlanting {
		o.note(j.Weather.File, fmt.Sprintf("does not cover %s to %s, so the stage of the crop on that day is not told", begin.Format(time.DateOnly), on.Format(time.DateOnly)))
		return nil
	}
	s, err := seasonWeather{years: years.List}.stageOn(j.Crop, on)
	if err != nil || s == nil {
		return err
	}
	text, err := growth.TimingNote(on, growth.Spread{Low: s.Low, High: s.High, Words: fmt.Sprintf("%s to %s", s.Low, s.High)}, growth.DefaultBand())
	if err != nil {
		return err
	}
	o.notes = append(o.notes, fmt.Sprintf("timing: %s, by %d years of record", text, len(years.List)))
	return nil
}

// read reads the file by its ending: .dly, or a table.
// actual is the weather of the job's own year, as far as it is to be taken from a series.
func (w *WeatherSpec) actual(s weather.Series) *weather.Actual {
	through, err := time.Parse(time.DateOnly, w.Through)
	if err != nil { // none, for the decoder knows dates
		return nil
	}
	return &weather.Actual{Series: s, Through: through}
}

// dayLess takes a day less from the job's own year.
func (w *WeatherSpec) dayLess() *WeatherSpec {
	less := *w
	if through, err := time.Parse(time.DateOnly, w.Through); err == nil {
		less.Through = through.AddDate(0, 0, -1).Format(time.DateOnly)
	}
	return &less
}

// before says that a span begins after the weather that is taken from its own year.
func (w *WeatherSpec) before(from time.Time) string {
	if w.Through == "" || w.Through >= from.Format(time.DateOnly) {
		return ""
	}
	return fmt.Sprintf("the weather through %s is not that of the season, whose days count from %s: the years of the record stand for all of it", w.Through, from.Format(time.DateOnly))
}

func (w *WeatherSpec) read() (weather.Series, error) {
	f, err := os.Open(w.File)
	if err != nil {
		return weather.Series{}, &vector.InputError{File: w.File, What: "cannot be read: " + cause(err), Fix: vector.Remedy(err, "check its name in the job; it is relative to the job file")}
	}
	defer f.Close()
	o := weather.Options{ObservedAt: w.Observed}
	switch {
	case strings.EqualFold(filepath.Ext(w.File), ".dly"):
		return weather.ReadDLY(f, w.File, o)
	case len(w.Columns) == 0:
		return weather.ReadStationCSV(f, w.File, o)
	}
	return weather.ReadCSV(f, w.File, weather.Columns{
		Date: w.Columns["date"], DateForm: w.Dates, Max: w.Columns["max"], Min: w.Columns["min"], Rain: w.Columns["rain"], Soil: w.Columns["soil"],
		TemperatureUnit: w.Units["temperature"], RainUnit: w.Units["rain"],
	}, o)
}
