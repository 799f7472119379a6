package weather

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// table has a warm season of days from 1 April on: 5 °C rising to 27 °C and 4 mm a day.
func table(days int, warmth, rain float64) string {
	var b strings.Builder
	b.WriteString("DAY,HIGH,LOW,RAIN\n")
	at := time.Date(2026, 4, 1, 0, 0, 0, 0, time.UTC)
	for i := range days {
		mean := 5 + 22*min(1, float64(i)/90)
		f := mean*warmth + 32*(warmth-1)/0.8
		fmt.Fprintf(&b, "%s,%.1f,%.1f,%.2f\n", at.AddDate(0, 0, i).Format(time.DateOnly), f+5*warmth, f-5*warmth, 4*rain)
	}
	return b.String()
}

// A summer of -3 °C is one of 27 °C that is called °F, and rain of 100 mm a day is in
// mm that are called inches. What is right is read, and too few days say nothing.
func TestASeasonOfNoPlaceIsReadInAWrongUnit(t *testing.T) {
	read := func(text, temperature, rain string) error {
		_, err := ReadCSV(strings.NewReader(text), "w.csv", Columns{Date: "DAY", DateForm: "yyyy-mm-dd", Max: "HIGH", Min: "LOW", Rain: "RAIN", TemperatureUnit: temperature, RainUnit: rain}, Options{})
		return err
	}
	celsius, fahrenheit := table(153, 1, 1), table(153, 1.8, 1/25.4)
	require.NoError(t, read(celsius, "C", "mm"))
	require.NoError(t, read(fahrenheit, "F", "in"))
	require.ErrorContains(t, read(celsius, "F", "mm"), "where no corn grows; the temperatures are read as °F; check the unit of temperature")
	require.ErrorContains(t, read(fahrenheit, "C", "in"), "the temperatures are read as °C; check the unit")
	require.ErrorContains(t, read(celsius, "C", "in"), "a day in the mean, which falls nowhere; it is read in in; check the unit of rain")
	require.NoError(t, read(table(59, 1, 1), "F", "in"), "April and May alone")
}
