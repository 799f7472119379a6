package page

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// TestWhatIsNotPrintedIsCounted: of every table rows on paper, counted ones and sums
// make all of them.
func TestWhatIsNotPrintedIsCounted(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rows := rapid.IntRange(0, 60).Draw(t, "rows")
		table := Table{Paper: rapid.IntRange(0, 30).Draw(t, "paper"), Last: rapid.IntRange(0, min(rows, 3)).Draw(t, "sums")}
		for range rows {
			table.Rows = append(table.Rows, []Cell{{Text: "a"}})
		}
		off, said := 0, 0
		for i := range rows {
			if table.OffPaperRow(i) {
				off++
				require.Less(t, i, rows-table.Last, "a sum is printed")
			}
			if table.LastOnPaper(i) {
				said++
				require.False(t, table.OffPaperRow(i))
			}
		}
		require.Equal(t, off, table.Beyond())
		require.Equal(t, off > 0, said == 1)
		require.NotEqual(t, 1, off, "its line is as long as the words")
	})
}

func TestThePageSaysWhatIsNotOnPaper(t *testing.T) {
	s := sample(0)
	s.Kind, s.Rest, s.Map.Patches = Plan, "plan.json", nil
	s.Notes = []string{"one", "two"}
	table := Table{Title: "Zones", Head: []string{"zone", "N"}, Paper: 4, Last: 1, Rest: "plan.csv"}
	for i := range 11 {
		table.Rows = append(table.Rows, []Cell{{Text: fmt.Sprint("z", i)}, {Text: "1"}})
	}
	s.Tables = []Table{table, {Title: "Days", Head: []string{"day"}, Rows: [][]Cell{{{Text: "1"}}}, OffPaper: true}}
	for i := range 5 {
		s.Warnings = append(s.Warnings, fmt.Sprint("warning ", i))
	}
	s.WarningsOnPaper = 3
	m := markup(htmlOf(t, s))
	require.Equal(t, 6, strings.Count(m, `<tr class="off">`))
	require.Contains(t, m, `<tr class="paper"><td colspan="2">and 6 more: see plan.csv</td></tr>`)
	require.Equal(t, 2, strings.Count(m, `<li class="off">warning`))
	require.Contains(t, m, `<p class="paper">and 2 more: see the page or plan.json</p>`)
	require.Contains(t, m, "Not on paper: 2 notes, 1 table, 1 checksum; they stand on the page and in plan.json.")
	require.Contains(t, m, `<div class="wide off"`)
}

// Letters of patches that are not listed on paper have their row on the page; the file of
// patches has no letters, and may have the application in its name.
func TestThePaperTellsWhereLettersAreListed(t *testing.T) {
	s := sample(1)
	for len(s.Map.Patches) <= paperPatches {
		s.Map.Patches = append(s.Map.Patches, s.Map.Patches[0])
	}
	require.Regexp(t, `<p class="paper">and \d+ more: see the page and the file of patches</p>`, markup(htmlOf(t, s)))
}
