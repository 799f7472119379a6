package job

import (
	"fmt"
	"time"

	"ratewright/asapplied"
)

// dateApart is how far the days of a log lie from the planned one where it may be that
// of another trip; weather moves a trip by less.
const dateApart = 14 * 24 * time.Hour

// yearApart is longer than the season that the logs of one trip are of.
const yearApart = 366 * 24 * time.Hour

// noteDate asks about a log that is of another season than the application, or whose
// dates are read with day and month in the wrong order.
func (o *opener) noteDate(a ApplicationSpec, drives []asapplied.Drive) {
	var first, last int64
	for i := range drives {
		for _, ns := range drives[i].Log.TimeNS {
			if first == 0 || ns < first {
				first = ns
			}
			last = max(last, ns)
		}
	}
	if first == 0 {
		return // a log without time
	}
	began, ended := time.Unix(0, first).UTC(), time.Unix(0, last).UTC()
	if ended.Sub(began) > yearApart {
		o.notes = append(o.notes, fmt.Sprintf("The log's times run from %s to %s: see that it is of one season; a receiver that has no position yet may write such times.", began.Format(time.DateOnly), ended.Format(time.DateOnly)))
	}
	planned, err := time.Parse(time.DateOnly, a.Date)
	if err != nil {
		return // the job gives none
	}
	if !planned.Before(began.Add(-dateApart)) && !planned.After(ended.Add(dateApart)) {
		return
	}
	when := began.Format(time.DateOnly)
	if end := ended.Format(time.DateOnly); end != when {
		when += " to " + end
	}
	o.notes = append(o.notes, fmt.Sprintf("The log is of %s, and the job has %s for %s: see that it is the log of this trip, and that day and month are not swapped.", when, a.Date, a.Name))
}
