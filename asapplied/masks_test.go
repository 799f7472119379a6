package asapplied

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
)

// Bit masks do not tell how many sections there are. A day on which the last ones
// were never on is a log of the same machine, in one `logs:` entry or in two.
func TestMasksOfSeveralLogsGiveWhatOneLogGives(t *testing.T) {
	in, p := work(t, 4)
	all := p.drive("m")
	all.Machine.SectionCount = 0
	all.Log.SectionsAtLeast = true
	const split = 60
	for i := range split {
		all.Log.Sections.Words[i] &= 0b1111 // of six
	}
	var first, rest []int
	for i := range all.Log.Len() {
		if i < split {
			first = append(first, i)
		} else {
			rest = append(rest, i)
		}
	}
	early, late := all, all
	early.Log, late.Log = part(all.Log, first), part(all.Log, rest)
	early.Log.Sections.N = 4
	early.Log.SectionsAtLeast, late.Log.SectionsAtLeast = true, true

	in.Drives = []Drive{all}
	want := mustReconcile(t, in)
	for _, counted := range []bool{false, true} { // the other log has rows of states
		late.Log.SectionsAtLeast = !counted
		for _, drives := range [][]Drive{{early, late}, {late, early}} {
			in.Drives = drives
			got := mustReconcile(t, in)
			require.InDeltaSlice(t, figures(&want), figures(&got), 1e-9)
			require.Contains(t, got.Notes, "Sections of scene come as bit masks that show fewer sections than another log of machine m; they were taken to be 6, as there.")
			require.Equal(t, 4, early.Log.Sections.N, "the input stays as it was")
		}
	}
	other := slices.Clone(in.Drives)
	for i := range other {
		other[i].Machine.Name = string(rune('a' + i))
	}
	in.Drives = other
	got := mustReconcile(t, in)
	require.NotEqual(t, figures(&want), figures(&got), "another machine may have fewer")
}
