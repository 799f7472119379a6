package page

import (
	"fmt"
	"strings"
)

// paperRows is how many rows of a table go on paper where the sheet says nothing.
const paperRows = 18

// onPaper is how many rows of a table, counted from its first, go on paper.
func (t Table) onPaper() int {
	most := t.Paper
	if most <= 0 {
		most = paperRows
	}
	rows := len(t.Rows) - t.Last
	if rows <= most+1 { // a row that says that one is missing is no shorter than that one
		return rows
	}
	return most
}

// OffPaperRow tells whether a row stays on the page.
func (t Table) OffPaperRow(i int) bool {
	return i >= t.onPaper() && i < len(t.Rows)-t.Last
}

// LastOnPaper tells whether a row is the last before those that stay on the page.
func (t Table) LastOnPaper(i int) bool { return i == t.onPaper()-1 && t.Beyond() > 0 }

// Beyond is how many rows stay on the page.
func (t Table) Beyond() int { return max(0, len(t.Rows)-t.Last-t.onPaper()) }

// WarningsBeyond is how many warnings stay on the page.
func (s Sheet) WarningsBeyond() int {
	if s.WarningsOnPaper <= 0 {
		return 0
	}
	return max(0, len(s.Warnings)-s.WarningsOnPaper)
}

// OffPaperWarning tells whether a warning stays on the page.
func (s Sheet) OffPaperWarning(i int) bool { return s.WarningsOnPaper > 0 && i >= s.WarningsOnPaper }

// CoursesOnPaper is how many courses go on paper.
func (s Sheet) CoursesOnPaper() (n int) {
	for i := range s.Courses {
		if !s.Courses[i].OffPaper {
			n++
		}
	}
	return n
}

// notesOffPaper tells whether the notes of a sheet stay on the page: where what
// matters of them stands in the warnings.
func (s Sheet) notesOffPaper() bool { return s.Kind == Plan || s.Kind == Losses }

// LeftOffPaper says what of the page is not on paper and where it stands.
func (s Sheet) LeftOffPaper() string {
	var list []string
	add := func(n int, one, many string) {
		switch {
		case n == 1:
			list = append(list, "1 "+one)
		case n > 1:
			list = append(list, fmt.Sprintf("%d %s", n, many))
		}
	}
	if s.notesOffPaper() {
		add(len(s.Notes), "note", "notes")
	}
	tables, courses := 0, 0
	for _, t := range s.Tables {
		if t.OffPaper {
			tables++
		}
	}
	for i := range s.Courses {
		if s.Courses[i].OffPaper {
			courses++
		}
	}
	add(courses, "course", "courses")
	add(tables, "table", "tables")
	add(len(s.Inputs), "checksum", "checksums")
	if len(list) == 0 {
		return ""
	}
	text := "Not on paper: " + strings.Join(list, ", ") + "; they stand on the page"
	if s.Rest != "" {
		text += " and in " + s.Rest
	}
	return text + "."
}
