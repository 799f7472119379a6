package asapplied

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"ratewright/geo"
	"ratewright/geo/cover"
	"ratewright/geo/parallel"
	"ratewright/geo/unit"
	"ratewright/rx"
)

// Input is what a reconciliation needs: the field, what was asked for, and what
// the machines logged.
type Input struct {
	Field rx.Field
	Zones []rx.Zone // may be empty
	// Plan is the prescribed rate zones; nil where nothing was prescribed, and
	// then the whole field counts as planned and what needs a rate is unknown.
	Plan   []rx.RateZone
	Drives []Drive
	// Tolerance is the share of the prescribed rate within which ground is as
	// prescribed.
	Tolerance float64
	// Shallow is the depth limit; none without HasShallow.
	Shallow    unit.Length
	HasShallow bool
	// MinPatch is the area below which a patch is summed and not listed.
	MinPatch unit.Area
	// NoPatches leaves the patches out: the sums alone are had in half the time.
	NoPatches bool
	// Simplify lets outlines of patches lie this far from where they are, to keep
	// files small; sums stay exact. 0 leaves them as they are.
	Simplify unit.Length
	// Trace, where it is set, is told what the machines did, for drawing: machine by
	// machine, each in the order of time. It must not keep what it is told as it is:
	// a long log has millions of strides. It is called from one goroutine, not the
	// caller's, and not after Reconcile has returned.
	Trace func(machine string, s Stride)
	// Workers is how many processors to use; 0 is all.
	Workers int
}

// Known says what could be told from the log and the job. Figures that rest on
// what is not known are zero in Areas and Nitrogen and null in JSON.
type Known struct {
	Plan     bool // a rate was prescribed
	Nitrogen bool // every log has a rate or a flow
	Depth    bool // some log has a depth
	Shallow  bool // and there is a depth limit
}

// Records says what became of the records of the logs.
type Records struct {
	Read, Used, NotWorking int
	Dropped                map[string]int // by reason
}

// ZoneSums are the figures of one zone. Ground of the field in no zone, and what
// was put down beyond the field, stand in a row of their own.
type ZoneSums struct {
	ID       string
	Area     Areas
	Nitrogen Nitrogen
}

// Reconciliation is the log lined up with the plan.
type Reconciliation struct {
	FieldName string
	Plane     geo.Plane
	Area      Areas
	Nitrogen  Nitrogen
	Known     Known
	Records   Records
	Zones     []ZoneSums
	Patches   []Patch
	PatchSums map[Kind]PatchSums
	Simplify  unit.Length // as in Input
	// NotTraced counts records of logs of polygons whose ground has no four corners, so
	// that Input.Trace was not told of them.
	NotTraced int
	Notes     []string
}

// Reconcile lines the logs up with the field and the plan. Areas are exact for
// the swaths as defined in the package comment.
//
// Errors: no boundary, a tolerance that is no share, sections that do not match
// the machine, a log of polygons without a width, and a log no record of which
// is at work in this field.
func Reconcile(in Input) (Reconciliation, error) {
	if err := in.check(); err != nil {
		return Reconciliation{}, err
	}
	f := newField(&in)
	r := Reconciliation{FieldName: in.Field.Name, Plane: in.Field.Plane, Simplify: in.Simplify}
	c := counts{dropped: make(map[string]int)}
	ground, err := follow(&in, f, &c)
	if err != nil {
		return Reconciliation{}, err
	}
	r.Records = Records{Read: c.read, Used: c.used, NotWorking: c.notWorking, Dropped: c.dropped}
	if len(ground.swaths) == 0 {
		return Reconciliation{}, r.Records.empty(ground.notes)
	}
	r.know(&in)
	if note := r.Records.groundless(); note != "" {
		r.Notes = append(r.Notes, note)
	}
	r.Notes = append(r.Notes, ground.notes...)
	r.note(&in)
	std := standardOf(&in, ground)
	sweep := cover.Input{Swaths: ground.swaths, Shapes: ground.shapes, Layers: f.layers()}
	traced := func() {}
	if in.Trace != nil {
		driven := *ground
		traced = parallel.Beside(func() { r.NotTraced = driven.trace(in.Trace) })
	}
	// Logs and swaths are not needed for the patches; let them go before those grow.
	in.Drives, ground.swaths, ground.shapes, ground.tracer = nil, nil, nil, nil
	res := cover.Sweep(sweep, std.newJudge,
		cover.Options{Patches: !in.NoPatches, MinPatchM2: in.MinPatch.SquareMetres(), Grid: degreeGrid{f.plane}, SimplifyM: in.Simplify.Metres(), Workers: in.Workers})
	traced()
	std.values, ground.values = nil, nil
	r.sum(f, res.Judges, ground)
	r.noteRate()
	r.patches(f, res)
	return r, nil
}

func (in *Input) check() error {
	if in.Field.Boundary.IsEmpty() {
		return errors.New("the field has no boundary; a log is held against one")
	}
	if !(in.Tolerance >= 0 && in.Tolerance < 1) {
		return fmt.Errorf("tolerance %v is not a share from 0 %% up to 100 %%; 10 %% is usual", in.Tolerance)
	}
	for i := range in.Drives {
		m := &in.Drives[i].Machine
		if m.Width.Metres() > widestM {
			return fmt.Errorf("machine %s is %.0f m wide, wider than any bar; correct its width, or the unit it is written in", m.Name, m.Width.Metres())
		}
		if off := math.Hypot(m.Behind.Metres(), m.Right.Metres()); off > furthestBarM {
			return fmt.Errorf("the bar of machine %s is %.0f m from the logged position, further than any; correct its place (`bar:`), or the unit it is written in", m.Name, off)
		}
	}
	if len(in.Drives) == 0 {
		return errors.New("there is no machine log; name one under `logs:` of the application")
	}
	return nil
}

// A log has a gap here and there: one with more than one in groundlessShare of its
// records at work before one, and with groundlessMany of them, is asked about.
const (
	groundlessShare = 10
	groundlessMany  = 20
)

// groundless asks about a log of which many records at work cover nothing; empty where
// it is few.
func (r Records) groundless() string {
	without := r.Dropped[DropNoGround]
	if without < groundlessMany || groundlessShare*without <= without+r.Used {
		return ""
	}
	return fmt.Sprintf("%d of %d records at work cover no ground: the log stops or jumps after them, by its times or by steps longer than its speed allows. See that time and speed have the right columns and units, that the clock was not set back, that no two machines are in one log, and that max_gap is not below the interval of the log.", without, without+r.Used)
}

// empty is the error of a log that covers nothing here.
func (r Records) empty(notes []string) error {
	if n := r.Dropped[DropOtherField]; n > 0 && n >= r.Read/2 {
		return fmt.Errorf("%d of %d records lie more than %d m from the boundary and none covers ground here; this is the log of another field, or a coordinate system was taken wrongly (`inspect` shows both)", n, r.Read, otherFieldM)
	}
	if note := r.groundless(); note != "" {
		notes = append([]string{strings.TrimSuffix(note, ".")}, notes...)
	}
	return fmt.Errorf("no record of the log covers ground in this field: read %d, out of work %d, left out %s; check the columns for working, sections and rate with `inspect`, and the lag and the place of the bar%s", r.Read, r.NotWorking, countsText(r.Dropped), strings.Join(append([]string{""}, notes...), ". "))
}

// countSections gives a log of bit masks the number of sections that its machine has:
// as it is said, or as the other logs of the machine show, for one log of them all
// would show it. Where those settle it a note says so.
func (d *driver) countSections(all []Drive, i int) string {
	log, m := &d.drives[i].Log, &d.drives[i].Machine
	if !log.SectionsAtLeast {
		return ""
	}
	n, said := log.Sections.N, m.sections()
	for k := range all {
		if all[k].Machine.Name == m.Name {
			n = max(n, all[k].Log.Sections.N)
		}
	}
	if said > 0 {
		n = max(log.Sections.N, said)
	}
	if n == log.Sections.N {
		return ""
	}
	log.Sections = log.Sections.padded(n)
	if said > 0 {
		return ""
	}
	return fmt.Sprintf("Sections of %s come as bit masks that show fewer sections than another log of machine %s; they were taken to be %d, as there.", strings.Join(log.Files, ", "), m.Name, n)
}

// follow drives all tracks.
func follow(in *Input, f *field, c *counts) (*driven, error) {
	d := driver{drives: slices.Clone(in.Drives), counts: c}
	records, told := 0, false
	for i := range d.drives {
		log := &d.drives[i].Log
		if note := d.countSections(in.Drives, i); note != "" {
			d.out.notes = append(d.out.notes, note)
		}
		l, err := newLayout(d.drives[i].Machine, log.Sections.N, log.Rate.N, log.Depth.N)
		if err != nil {
			return nil, err
		}
		d.layouts = append(d.layouts, l)
		m := &d.drives[i].Machine
		reach := standRadiusM + math.Hypot(m.Behind.Metres(), m.Right.Metres())
		d.standReach2 = append(d.standReach2, reach*reach*(1+1e-9))
		told = told || log.Rate.N > 0 || log.Flow != nil || log.Depth.N > 0
		records += log.Len()
	}
	d.perRecord = d.density()
	d.out.swaths = make([]cover.Swath, 0, d.room(records))
	if told {
		d.out.values = make([]swathValue, 0, d.room(records))
	}
	if in.Trace != nil {
		d.out.tracer = &tracer{times: make([]float64, 0, d.room(records))}
	}
	all := tracks(d.drives, f, c, in.Workers)
	for i := range all {
		t := &all[i]
		if i > 0 && t.machine == all[i-1].machine && len(t.fixes) > 0 && len(all[i-1].fixes) > 0 {
			d.out.notes = append(d.out.notes, fmt.Sprintf("Machine %s has points and polygons: each kind is followed by itself, as if of two machines, so that ground in both is doubled. Where both tell of the same work, give one of them.", t.name()))
		}
		if note := t.noteLoose(); note != "" {
			d.out.notes = append(d.out.notes, note)
		}
		d.out.tracer.begin(t, d.drives, len(d.out.swaths))
		t.states(d.drives, d.layouts, c)
		t.markGaps(d.drives)
		if t.polygons {
			if err := d.followPolygons(t, f); err != nil {
				return nil, err
			}
			continue
		}
		t.headings(d.drives, f.plane, in.Workers)
		d.follow(t, in.Workers)
	}
	out := d.out // not a part of the driver, which holds the logs
	return &out, nil
}

// know finds out which figures the logs and the job allow.
func (r *Reconciliation) know(in *Input) {
	r.Known.Plan = in.Plan != nil
	r.Known.Nitrogen = true
	for i := range in.Drives {
		log := &in.Drives[i].Log
		if !log.tellsN() {
			r.Known.Nitrogen = false
		}
		if log.Depth.N > 0 {
			r.Known.Depth = true
		}
	}
	r.Known.Shallow = r.Known.Depth && in.HasShallow
}

// tellsN tells whether the log says what was put down: by a rate, or by a flow and
// for how long it ran.
func (l *Log) tellsN() bool {
	if l.Flow != nil {
		return l.TimeNS != nil || l.Duration != nil
	}
	return l.Rate.N > 0
}

func standardOf(in *Input, ground *driven) *standard {
	s := &standard{values: ground.values, hasPlan: in.Plan != nil, onZones: isOnZones(in.Plan, in.Zones), tolerance: in.Tolerance}
	if in.HasShallow {
		s.shallowM = in.Shallow.Metres()
	}
	for _, z := range in.Plan {
		s.planKgM2 = append(s.planKgM2, z.NRate.KgNPerHa()/m2PerHa)
	}
	return s
}

// unzonedShare is the share of the field below which ground between zones is
// rounding of their edges and no row of its own.
const unzonedShare = 1e-10

// clear sets to zero what cannot be told.
func (k Known) clear(s *sums) {
	if !k.Nitrogen {
		s.n = Nitrogen{Prescribed: s.n.Prescribed}
		s.area.AsPrescribed, s.area.Light, s.area.Heavy = 0, 0, 0
	}
	if !k.Plan {
		s.n.Prescribed, s.n.Short, s.n.Excess = 0, 0, 0
		s.n.ShortMissed, s.n.ShortLight, s.n.ShortWithin = 0, 0, 0
	}
	if !k.Shallow {
		s.n.Shallow, s.area.Shallow = 0, 0
	}
	if !k.Depth {
		s.area.DepthUnknown = 0
	}
}

// sum adds up the judges in the order of their rows.
func (r *Reconciliation) sum(f *field, judges []cover.Judge, ground *driven) {
	rows := make([]sums, len(f.zones)+1)
	unzoned := len(f.zones)
	for _, j := range judges {
		for zone, s := range j.(*judge).rows {
			if zone == cover.None {
				zone = int32(unzoned)
			}
			rows[zone].add(s)
		}
	}
	for i := range rows {
		r.Known.clear(&rows[i])
		n := &rows[i].n
		n.Applied = n.InField + n.Outside + n.OffLimits
	}
	if r.Known.Nitrogen {
		rows[unzoned].n.Standing = ground.standingKg
		rows[unzoned].n.Applied += ground.standingKg
	}
	var all sums
	for i := range rows {
		all.add(&rows[i])
	}
	r.Area, r.Nitrogen = all.area, all.n
	if r.Known.Nitrogen {
		r.Nitrogen.Applied = ground.appliedKg + ground.standingKg
	}
	if len(f.zones) == 0 {
		return
	}
	r.Zones = make([]ZoneSums, 0, len(f.zones)+1)
	for i := range f.zones {
		r.Zones = append(r.Zones, ZoneSums{f.zones[i].ID, rows[i].area, rows[i].n})
	}
	u := &rows[unzoned]
	if u.area.Field > unzonedShare*all.area.Field || u.area.Outside+u.area.OffLimits > 0 || u.n.Standing > 0 {
		r.Zones = append(r.Zones, ZoneSums{rx.UnzonedID, u.area, u.n})
	}
}
