package loss

import (
	"math"
	"time"
)

// number counts the days since 1970-01-01 by the date that t shows.
func number(t time.Time) int {
	y, m, d := t.Date()
	return int(time.Date(y, m, d, 0, 0, 0, 0, time.UTC).Unix() / 86400)
}

func midnight(t time.Time) time.Time {
	y, m, d := t.Date()
	return time.Date(y, m, d, 0, 0, 0, 0, time.UTC)
}

func date(t time.Time) string { return t.Format(time.DateOnly) }

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }
