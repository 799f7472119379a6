package asapplied

import (
	"testing"

	"github.com/stretchr/testify/require"

	"ratewright/asapplied/fieldlog"
	"ratewright/geo/cover"
)

// worstCases are logs that make a sweep's life hard.
var worstCases = map[string]fieldlog.Spec{
	"chattering sections":  {Sections: 48, Chatter: true, Vary: true},
	"heading jitter":       {JitterDeg: 1.5, Vary: true},
	"nearly all folded":    {JitterDeg: 60, Vary: true, Wild: true},
	"wild rates":           {Vary: true, Wild: true},
	"to and fro":           {AlternateDeg: 60, Step: 0.6, Vary: true},
	"turning on the spot":  {Standing: 300, SpinDeg: 1.2, Vary: true},
	"standing":             {Standing: 300, Vary: true},
	"standing and turning": {Standing: 300, JitterDeg: 1.5, Vary: true},
	"standing, all around": {Standing: 300, JitterDeg: 90, Vary: true, Wild: true},
}

func TestWorstCasesKeepEveryIdentity(t *testing.T) {
	for name, spec := range worstCases {
		t.Run(name, func(t *testing.T) {
			spec.Records = 300
			r := mustReconcile(t, madeUp(t, spec))
			require.Positive(t, r.Area.Covered)
		})
	}
}

// counter counts the faces of a row and the swaths over them, which is most of the work
// of the sweep.
type counter struct{ faces, over int }

func (c *counter) Face(f *cover.Face, _ float64) cover.Verdict {
	c.faces++
	c.over += len(f.Over)
	return cover.Verdict{}
}

// sweepWork is the work of the sweep over a log.
func sweepWork(t *testing.T, spec fieldlog.Spec) (n counter) {
	t.Helper()
	in := madeUp(t, spec)
	f := newField(&in)
	ground, err := follow(&in, f, &counts{dropped: map[string]int{}})
	require.NoError(t, err)
	res := cover.Sweep(cover.Input{Swaths: ground.swaths, Shapes: ground.shapes, Layers: f.layers()}, func() cover.Judge { return &counter{} }, cover.Options{})
	for _, j := range res.Judges {
		n.faces += j.(*counter).faces
		n.over += j.(*counter).over
	}
	return n
}

// TestWorkGrowsNoFasterThanTheLog drives four times the field: the work must not
// grow with the square.
func TestWorkGrowsNoFasterThanTheLog(t *testing.T) {
	for name, spec := range worstCases {
		t.Run(name, func(t *testing.T) {
			spec.Records = 1000
			one := sweepWork(t, spec)
			spec.Records, spec.Standing = 4000, 4*spec.Standing
			four := sweepWork(t, spec)
			t.Logf("faces %d and %d, swaths over them %d and %d", one.faces, four.faces, one.over, four.over)
			require.Less(t, four.faces, 5*one.faces)
			require.Less(t, four.over, 5*one.over)
		})
	}
}

// TestBarsToAndFroAreJudgedOnce holds the faces of headings that turn to one side and
// the other by 60 degrees: judged anew at every crossing of a block they were 3,200 a
// record, or 260 where records are 2.5 m apart.
func TestBarsToAndFroAreJudgedOnce(t *testing.T) {
	for step, most := range map[float64]int{0.6: 60, 2.5: 15} {
		spec := fieldlog.Spec{Records: 1000, AlternateDeg: 60, Step: step, CoverageOnly: true}
		n := sweepWork(t, spec)
		w, err := fieldlog.Make(spec)
		require.NoError(t, err)
		t.Logf("a record every %v m: %d records, %d faces, %d swaths over them", step, len(w.Records), n.faces, n.over)
		require.Less(t, n.faces, most*len(w.Records))
	}
}

// TestStandingAddsNextToNoWork holds a log with 2,000 records logged while
// standing against the same without them.
func TestStandingAddsNextToNoWork(t *testing.T) {
	for _, jitter := range []float64{0, 1.5} {
		spec := fieldlog.Spec{Records: 1000, JitterDeg: jitter, CoverageOnly: true}
		moving := sweepWork(t, spec)
		spec.Standing = 2000
		standing := sweepWork(t, spec)
		t.Logf("faces %d and %d, swaths over them %d and %d", moving.faces, standing.faces, moving.over, standing.over)
		require.Less(t, standing.faces-moving.faces, 2000)
		require.Less(t, standing.over-moving.over, 2000)
	}
}
