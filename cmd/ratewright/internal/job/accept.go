package job

import (
	"fmt"

	"ratewright/asapplied"
)

// acceptFloor is the share of the whole below which a finding is the rounding of
// overlay (1e-11 m2 on a field of hectares) and not ground.
const acceptFloor = 1e-9

// beyond lists the findings that pass what the job accepts, and those that the
// log cannot tell.
func (j Job) beyond(r asapplied.Reconciliation) (over, unknown []string) {
	for _, a := range j.Accept {
		share, of := finding(r.JSON(), a.Finding)
		if share == nil {
			unknown = append(unknown, fmt.Sprintf("accept: %s cannot be judged: the log or the job does not tell it", a.Finding))
			continue
		}
		if *share > max(a.Share, acceptFloor) {
			over = append(over, fmt.Sprintf("%s is %.2f %% of %s, and the job accepts %.4g %%", a.Finding, 100**share, of, 100*a.Share))
		}
	}
	return over, unknown
}

// finding is the share of a finding in what it is measured by; nil where that is
// not known.
func finding(r asapplied.ReconciliationJSON, name string) (share *float64, of string) {
	area, mass := r.AreaM2, r.NitrogenKg
	of, whole := "the field", &area.Field
	value := map[string]*float64{
		"missed": &area.Missed, "doubled": &area.Doubled, "lapped": &area.Lapped, "not_planned": &area.NotPlanned,
		"outside": &area.Outside, "off_limits": &area.OffLimits, "light": area.Light, "heavy": area.Heavy,
		"unprescribed": area.Unprescribed, "shallow": area.Shallow, "short": mass.Short, "excess": mass.Excess,
	}[name]
	if name == "short" || name == "excess" {
		of, whole = "the prescribed nitrogen", mass.Prescribed
	}
	if value == nil || whole == nil || *whole <= 0 {
		return nil, of
	}
	s := *value / *whole
	return &s, of
}
