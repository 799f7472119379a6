package page

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Limits on text from files, in characters. What is longer is cut with an ellipsis.
const (
	shortText = 120  // a name, a cell
	longText  = 2000 // a note
	fullText  = 20000
)

func short(s string) string { return shown(s, shortText) }
func long(s string) string  { return shown(s, longText) }

// shown returns text as it can be shown: characters that are not seen but turn,
// hide or break what stands beside them are named in its place, and what is longer
// than limit characters is cut.
func shown(s string, limit int) string {
	plain := utf8.RuneCountInString(s) <= limit && utf8.ValidString(s)
	for _, r := range s {
		if !plain {
			break
		}
		plain = !unseen(r)
	}
	if plain {
		return s
	}
	var b strings.Builder
	n := 0
	for _, r := range s { // a broken byte comes as U+FFFD
		if n == limit {
			return strings.TrimRightFunc(b.String(), unicode.IsSpace) + "…"
		}
		n++
		switch {
		case r == '\t' || r == '\n' || r == '\r':
			b.WriteByte(' ')
		case unseen(r):
			fmt.Fprintf(&b, "[U+%04X]", r)
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}

// unseen tells controls of writing direction and all other controls. Joiners
// (U+200C, U+200D) stay, for some scripts cannot be written without them.
func unseen(r rune) bool {
	switch {
	case r < 0x20, r >= 0x7f && r < 0xa0:
		return true
	case r < 0x61c:
		return r == 0xad
	}
	return r == 0x61c || r == 0x180e || r == 0x200b || r == 0x200e || r == 0x200f ||
		r >= 0x2028 && r <= 0x202e || r >= 0x2060 && r <= 0x206f || r == 0xfeff ||
		r >= 0xfff9 && r <= 0xfffb || r >= 0xe0000 && r <= 0xe007f
}
