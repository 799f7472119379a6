package job

import (
	"testing"

	"github.com/stretchr/testify/require"
)

// A note of some fields of a plan names them; one of all fields stands alone.
func TestNotesOfAPlanNameTheirFields(t *testing.T) {
	of := func(names ...string) []plannedField {
		var list []plannedField
		for _, n := range names {
			f := plannedField{name: n, notes: []string{"all", "gap of " + n}}
			if n != "a" {
				f.notes = append(f.notes, "dry")
			}
			list = append(list, f)
		}
		return list
	}
	require.Equal(t, []string{"all", "gap of a"}, fieldNotes(of("a")))
	require.Equal(t, []string{"all", "on a: gap of a", "on b: gap of b", "on b, c: dry", "on c: gap of c"}, fieldNotes(of("a", "b", "c")))
	require.Contains(t, fieldNotes(of("a", "b", "c", "d", "e", "f", "g", "h")), "on b, c, d, e and 3 more: dry")
}
