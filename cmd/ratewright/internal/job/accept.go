package job

import (
	"fmt"

	"ratewright/asapplied"
)

// beyond lists the findings that pass what the job accepts, and those that the
// log cannot tell.
func (j Job) beyond(r asapplied.Reconciliation) (over, unknown []string) {
	area, mass := areaJSON(r.Area, r.Known), nitrogenJSON(r.Nitrogen, r.Known)
	for _, a := range j.Accept {
		value, whole, of := area[a.Finding], &r.Area.Field, "the field"
		if a.Finding == "short" || a.Finding == "excess" {
			value, whole, of = mass[a.Finding], mass["prescribed"], "the prescribed nitrogen"
		}
		if value == nil || whole == nil {
			unknown = append(unknown, fmt.Sprintf("accept: %s cannot be judged: the log or the job does not tell it", a.Finding))
			continue
		}
		if *value > a.Share**whole {
			over = append(over, fmt.Sprintf("%s is %.2f %% of %s, and the job accepts %.4g %%", a.Finding, 100**value / *whole, of, 100*a.Share))
		}
	}
	return over, unknown
}
