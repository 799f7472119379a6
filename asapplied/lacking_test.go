package asapplied

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"ratewright/geo/unit"
)

const lackHeader = "time,lon,lat,heading,working,sections,rate_lb_ac,target_lb_ac,depth_1_cm,depth_2_cm,fix"

// lackRows gives rows that lack, in every 100: 2 headings, 3 marks of work, 5
// states of sections, 9 rates, 1 target, 6 depths of the left knife and 1 of the
// right, 1 fix.
func lackRows(n int) []string {
	rows := make([]string, n)
	for i := range rows {
		cells := []string{
			fmt.Sprintf("2024-05-06T%02d:%02d:%02dZ", i/3600, i/60%60, i%60), "-93.5", fmt.Sprintf("42.%06d", i),
			"90", "on", "0110", "180", "180", "15", "15", "4",
		}
		put := func(col, from, to int, cell string) {
			if i%100 >= from && i%100 < to {
				cells[col] = cell
			}
		}
		put(3, 10, 11, "north")
		put(3, 11, 12, "9999")
		put(4, 20, 22, "")
		put(4, 22, 23, "perhaps")
		put(5, 30, 34, "")
		put(5, 34, 35, "off!")
		put(6, 40, 44, "")
		put(6, 44, 46, "NaN")
		put(6, 46, 49, "-1")
		put(7, 50, 51, "99999")
		put(8, 60, 66, "9000")
		put(9, 70, 71, "deep")
		put(10, 80, 81, "?")
		rows[i] = strings.Join(cells, ",")
	}
	return rows
}

// TestLackingDoesNotDependOnFiles: the counts are those of the rows, whether they
// stand in one file or in several, and are read in one or in pieces.
func TestLackingDoesNotDependOnFiles(t *testing.T) {
	rows := lackRows(3000)
	read := func(workers int, least int64, cuts ...int) Log {
		var files []string
		from := 0
		for i, to := range append(cuts, len(rows)) {
			text := lackHeader + "\n" + strings.Join(rows[from:to], "\n") + "\n"
			files = append(files, written(t, fmt.Sprintf("log%d.csv", i), text))
			from = to
		}
		log, err := readLog(LogSpec{Files: files, HasOf: true, Of: unit.Nitrogen, Workers: workers}, least)
		require.NoError(t, err)
		requireWhole(t, &log)
		return log
	}
	want := []Lack{
		{Role: RoleSections, Column: "sections", NotReadable: 30, Empty: 120},
		{Role: RoleHeading, Column: "heading", NotReadable: 30, OutOfRange: 30},
		{Role: RoleWorking, Column: "working", NotReadable: 30, Empty: 60},
		{Role: RoleTarget, Column: "target_lb_ac", OutOfRange: 30},
		{Role: RoleRate, Column: "rate_lb_ac", NotReadable: 60, OutOfRange: 90, Empty: 120},
		{Role: RoleDepth, Column: "depth_1_cm", OutOfRange: 180},
		{Role: RoleDepth, Column: "depth_2_cm", lane: 1, NotReadable: 30},
		{Role: RoleFix, Column: "fix", NotReadable: 30},
	}
	one := read(1, smallestPiece)
	require.Equal(t, want, one.Lacking)
	require.Equal(t, want, read(4, 1000).Lacking)
	require.Equal(t, want, read(1, smallestPiece, 1005, 1900).Lacking)
	require.Equal(t, want, read(4, 1000, 55, 60, 2990).Lacking)
	require.Equal(t, want, Split(one).log.Lacking)
}

func TestLackingOfListsAndOfNothing(t *testing.T) {
	log := mustRead(t, "lon,lat,s_1,s_2,s_3\n-93.5,42.5,1,1,0\n-93.5,42.5,,,\n-93.5,42.5,1,,0\n-93.5,42.5,1,what,\n"+strings.Repeat("-93.5,42.5,1,1,0\n", 20),
		columns(map[string][]string{"sections": {"s_1", "s_2", "s_3"}}))
	require.Equal(t, []Lack{{Role: RoleSections, Column: "s_1 to s_3", NotReadable: 1, Empty: 2}}, log.Lacking)
	require.Empty(t, mustRead(t, positions("rate_lb_ac", "10", "11")).Lacking)
}

// Files that name their column differently are told apart, in an order that is
// not that of the files.
func TestLackingOfFilesWithOtherNames(t *testing.T) {
	a := written(t, "a.csv", "lon,lat,rate_lb_ac\n-93.5,42.5,\n-93.5,42.5,10\n")
	b := written(t, "b.csv", "lon,lat,applied_lb_ac\n-93.5,42.5,-2\n-93.5,42.5,-2\n"+strings.Repeat("-93.5,42.5,10\n", 30))
	for _, files := range [][]string{{a, b}, {b, a}} {
		log, err := ReadLog(LogSpec{Files: files, HasOf: true, Of: unit.Nitrogen})
		require.NoError(t, err)
		require.Equal(t, []Lack{
			{Role: RoleRate, Column: "applied_lb_ac", OutOfRange: 2}, {Role: RoleRate, Column: "rate_lb_ac", Empty: 1},
		}, log.Lacking)
	}
}
