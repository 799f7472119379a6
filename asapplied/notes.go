package asapplied

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// note says what a reader must know of how the figures came about.
func (r *Reconciliation) note(in *Input) {
	if !r.Known.Plan {
		r.Notes = append(r.Notes, "No rate was prescribed: the whole field counts as planned, and what needs a prescribed rate is null.")
	}
	if !r.Known.Nitrogen {
		why := "The log has no measured rate and no flow"
		for i := range in.Drives {
			if in.Drives[i].Log.Flow != nil && !in.Drives[i].Log.tellsN() {
				why = "The log has a flow but neither time nor duration"
				break
			}
			if in.Drives[i].Log.Target != nil {
				why += " (its set rate is not what was applied)"
				break
			}
		}
		r.Notes = append(r.Notes, why+": nitrogen applied, light and heavy are null.")
	}
	r.noteFew(in)
	r.noteRecords(in)
	switch {
	case !r.Known.Depth:
		r.Notes = append(r.Notes, "The log has no depth: shallow ground is null.")
	case !in.HasShallow:
		r.Notes = append(r.Notes, "The application has no depth limit (`shallow:`): shallow ground is null.")
	}
	r.Notes = append(r.Notes, "Doubled ground was covered on two or more visits: a visit ends where the machine has travelled more than 1.6 full widths, been out of work, or jumped before it comes back. Sections are known to one record's travel.")
}

// fewRecords are too few to tell a pass by: of two, one step is all that is known.
const fewRecords = 2

// noteFew says what so few records can tell. A log of polygons has ground of its own
// for each record.
func (r *Reconciliation) noteFew(in *Input) {
	records, headed := 0, false
	for i := range in.Drives {
		log := &in.Drives[i].Log
		if log.Polygons != nil {
			return
		}
		records += log.Len()
		for rec := range min(log.Len(), fewRecords) {
			headed = headed || !math.IsNaN(valueAt(log.Heading, rec))
		}
	}
	if records > fewRecords {
		return
	}
	direction := "the direction is the one it gives"
	if !headed {
		direction = "the direction is the straight line between the two, and whether the machine turned or came backwards before it is not known"
	}
	r.Notes = append(r.Notes, fmt.Sprintf("The log has only %d records: every figure rests on the one step between them. There is no interval to tell a gap by, and %s. See that the log is whole.", records, direction))
}

// noteRecords says where figures rest on something other than what the log says.
func (r *Reconciliation) noteRecords(in *Input) {
	derived, wide, unsaid := 0, 0, 0
	lagged := false
	for i := range in.Drives {
		log := &in.Drives[i].Log
		lagged = lagged || log.TimeNS == nil && in.Drives[i].Machine.Lag != 0
		for rec := range log.Len() {
			if log.Polygons == nil && math.IsNaN(valueAt(log.Heading, rec)) {
				derived++
			}
			if log.Working != nil && log.Working[rec] < 0 {
				unsaid++
			}
			if w := valueAt(log.Width, rec); w > 0 && tooWide(in.Drives[i].Machine.Width.Metres(), w) {
				wide++
			}
		}
	}
	r.noteLacking(in)
	if lagged {
		r.Notes = append(r.Notes, "The machine's lag was not applied: the log has no time.")
	}
	if derived > 0 {
		r.Notes = append(r.Notes, fmt.Sprintf("%d records have no heading: the course between the positions before and after stands in for it, which turns the bar where positions are noisy or the machine turns.", derived))
	}
	if unsaid > 0 {
		r.Notes = append(r.Notes, fmt.Sprintf("%d records do not say whether they work, and count as working where sections and rate say so.", unsaid))
	}
	if wide > 0 {
		r.Notes = append(r.Notes, fmt.Sprintf("%d records say a working width that their machine cannot have; the machine's own was taken, or the record left out. See that the column's unit is right.", wide))
	}
}

// noteAlong tells of a machine whose bar stands along its way rather than square to
// it on most of it: so it covers next to nothing, and no machine works like that.
func (d *driver) noteAlong(t *track, own []*driver) {
	var wayM, alongM float64
	for _, o := range own {
		wayM += o.wayM
		alongM += o.alongM
	}
	if alongM <= wayM/2 {
		return
	}
	d.out.notes = append(d.out.notes, fmt.Sprintf("Machine %s: on %.0f %% of its way the bar stands along the way, within 30 degrees, and not square to it. Its headings look wrong, such as those that count from east, or another column or unit; correct the column for heading, or write heading: none under columns to take the course from the positions.",
		t.name(), 100*alongM/wayM))
}

// noteLacking says what values the logs had that could not be used, by role and
// column, whatever files they stood in.
func (r *Reconciliation) noteLacking(in *Input) {
	type key struct{ role, column string }
	sums := make(map[key]Lack)
	var order []key
	for i := range in.Drives {
		for _, l := range in.Drives[i].Log.Lacking {
			k := key{l.Role, l.Column}
			s, seen := sums[k]
			if !seen {
				order = append(order, k)
			}
			s.NotReadable += l.NotReadable
			s.OutOfRange += l.OutOfRange
			s.Empty += l.Empty
			sums[k] = s
		}
	}
	slices.SortFunc(order, func(a, b key) int {
		return cmp.Or(cmp.Compare(a.role, b.role), cmp.Compare(a.column, b.column))
	})
	for _, k := range order {
		s := sums[k]
		r.Notes = append(r.Notes, fmt.Sprintf("The log's column %s (%s) has no value in some records: %d not readable, %d out of range, %d empty.",
			k.column, k.role, s.NotReadable, s.OutOfRange, s.Empty))
	}
}
