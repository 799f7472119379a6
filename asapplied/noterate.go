package asapplied

import (
	"fmt"
	"math"

	"ratewright/geo/unit"
)

const (
	// unitNear is how near the share of the log comes to lb/ac in kg/ha where its unit is wrong.
	unitNear = 0.01
	// rateFar is how far the share lies from one where hardly a machine is to blame.
	rateFar = 1.5
)

// noteRate asks about the unit of a log whose nitrogen, on ground that is covered, is to
// the prescribed one as two units are to one another.
func (r *Reconciliation) noteRate() {
	prescribed := r.Nitrogen.Prescribed - r.Nitrogen.ShortMissed
	if !r.Known.Plan || !r.Known.Nitrogen || !(prescribed > 0) || !(r.Nitrogen.InField > 0) {
		return
	}
	share := r.Nitrogen.InField / prescribed
	why := ""
	wrongUnit := unit.LbNPerAcre(1).KgNPerHa()
	switch far := math.Max(share, 1/share); {
	case math.Abs(far/wrongUnit-1) < unitNear:
		why = "which is as lb/ac are to kg/ha: see that the log's unit is right"
	case far > rateFar:
		why = "which is more than machines are off: see that the log's unit and the machine's width are right, and whether the log counts nitrogen or product (`of:`)"
	default:
		return
	}
	r.Notes = append(r.Notes, fmt.Sprintf("By the log the covered ground has %.3g %% of the nitrogen prescribed there, %s.", 100*share, why))
}
