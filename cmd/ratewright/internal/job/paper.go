package job

import (
	"cmp"
	"slices"
	"unicode/utf8"

	"ratewright/cmd/ratewright/page"
)

// A sheet of paper holds so many warnings, of so many lines in all; the rest is counted
// there and stands on the page.
const (
	paperWarnings     = 6
	paperWarningLines = 14
	paperLineLetters  = 75
)

// warningsOnPaper is how many warnings, of which the first goes on paper in any case,
// a sheet has room for.
func warningsOnPaper(list []string) int {
	n, lines := 0, paperWarningLines
	for _, words := range list {
		lines -= linesOf(words, paperLineLetters)
		if n > 0 && lines < 0 || n == paperWarnings {
			break
		}
		n++
	}
	return n
}

// linesOf is how many lines a text takes, so many letters to each.
func linesOf(text string, letters int) int {
	return (utf8.RuneCountInString(text) + letters - 1) / letters
}

// rowsOnPaper is how many rows of a table fill so many lines, where its first columns
// hold so many letters to a line. One row goes there in any case.
func rowsOnPaper(t page.Table, lines int, letters ...int) int {
	n := 0
	for _, row := range t.Rows {
		most := 1
		for i, width := range letters {
			if i < len(row) {
				most = max(most, linesOf(row[i].Text, width))
			}
		}
		if lines -= most; lines < 0 {
			break
		}
		n++
	}
	return max(n, 1)
}

// onPaper lets as many rows of a table go on paper as fill so many lines, where its first
// columns hold so many letters to a line. Where that is not all of them, those of most
// weight come first, and the title says so.
func onPaper(t *page.Table, lines int, order string, letters []int, weight func(row int) float64) {
	rows := len(t.Rows) - t.Last
	if t.Paper = rowsOnPaper(*t, lines, letters...); t.Paper >= rows {
		return
	}
	at := make([]int, rows)
	for k := range at {
		at[k] = k
	}
	slices.SortStableFunc(at, func(a, b int) int { return cmp.Compare(weight(b), weight(a)) })
	cells := slices.Clone(t.Rows)
	for k, from := range at {
		t.Rows[k] = cells[from]
	}
	t.Title += order
	t.Paper = rowsOnPaper(*t, lines, letters...)
}
