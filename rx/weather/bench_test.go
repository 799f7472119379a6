package weather

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// sixty is the record of a station over sixty years with temperatures, rain and snow.
func sixty() string {
	var b strings.Builder
	for year := 1961; year <= 2020; year++ {
		for m := 1; m <= 12; m++ {
			length := on(year, 1, 1).AddDate(0, m, -1).Day()
			for _, e := range []string{"TMAX", "TMIN", "PRCP", "SNOW", "SNWD"} {
				days := map[int]string{}
				for d := 1; d <= length; d++ {
					v := (d*37 + m*11 + year) % 100
					if e == "TMAX" {
						v += 100
					}
					days[d] = cell(v, "  Z")
				}
				b.WriteString(monthOf(fmt.Sprintf("%d%02d", year, m), e, days))
			}
		}
	}
	return b.String()
}

func BenchmarkDLY60Years(b *testing.B) {
	text := sixty()
	b.SetBytes(int64(len(text)))
	b.ReportAllocs()
	for b.Loop() {
		s, err := readDLY(text)
		require.NoError(b, err)
		require.Len(b, s.Days, 21915)
	}
}

// BenchmarkScenarios60Years cuts sixty years into seasons.
func BenchmarkScenarios60Years(b *testing.B) {
	s, err := readDLY(sixty())
	require.NoError(b, err)
	b.ReportAllocs()
	for b.Loop() {
		out, err := s.Scenarios(on(2026, 4, 1), on(2026, 9, 30), DefaultRules(), nil)
		require.NoError(b, err)
		require.Len(b, out.List, 60)
	}
}
