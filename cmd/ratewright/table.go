package main

import (
	"fmt"
	"strings"
	"unicode/utf8"

	"ratewright/asapplied"
	"ratewright/cmd/ratewright/page"
)

// table is text in columns: words to the left, numbers to the right. A row with
// fewer cells than the head has blanks at its end; a row without cells is a
// blank line.
type table struct {
	head [][]string // lines of the head
	rows [][]string
	left int // so many first columns hold words
}

func (t *table) add(cells ...string) { t.rows = append(t.rows, cells) }

// textTable is a table of results as text: its first column holds words.
func textTable(p page.Table) *table {
	t := &table{left: max(p.Words, 1), head: [][]string{p.Head}}
	if p.Units != nil {
		t.head = append(t.head, p.Units)
	}
	for _, row := range p.Rows {
		cells := make([]string, len(row))
		for i, c := range row {
			cells[i] = c.Text
		}
		t.add(cells...)
	}
	return t
}

// String lays the table out: two blanks before it and three between columns. Ids
// and names come from files.
func (t *table) String() string {
	var widths []int
	var lines [][]string
	for _, cells := range append(append([][]string{}, t.head...), t.rows...) {
		lines = append(lines, make([]string, len(cells)))
		for i, cell := range cells {
			cell = asapplied.Shown(cell)
			lines[len(lines)-1][i] = cell
			if i == len(widths) {
				widths = append(widths, 0)
			}
			widths[i] = max(widths[i], utf8.RuneCountInString(cell))
		}
	}
	var b strings.Builder
	for _, cells := range lines {
		b.WriteString(t.line(cells, widths))
		b.WriteByte('\n')
	}
	return b.String()
}

func (t *table) line(cells []string, widths []int) string {
	var b strings.Builder
	b.WriteString("  ")
	for i, cell := range cells {
		if i > 0 {
			b.WriteString("   ")
		}
		pad := strings.Repeat(" ", widths[i]-utf8.RuneCountInString(cell))
		if i < t.left {
			b.WriteString(cell + pad)
		} else {
			b.WriteString(pad + cell)
		}
	}
	return strings.TrimRight(b.String(), " ")
}

// section prints a heading with lines below it, or nothing without lines. Long
// lines are broken so that they are easy to read.
func section(heading string, lines []string) string {
	if len(lines) == 0 {
		return ""
	}
	var b strings.Builder
	fmt.Fprintf(&b, "\n%s\n", heading)
	for _, line := range lines {
		b.WriteString(wrap("  - ", line))
	}
	return b.String()
}

const lineWidth = 96

func wrap(indent, text string) string {
	var b strings.Builder
	line, used := indent, 0
	hanging := strings.Repeat(" ", len(indent))
	for _, word := range strings.Fields(asapplied.Shown(text)) {
		if used > 0 && utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > lineWidth {
			b.WriteString(line + "\n")
			line, used = hanging, 0
		}
		if used > 0 {
			line += " "
		}
		line += word
		used++
	}
	return b.String() + line + "\n"
}
