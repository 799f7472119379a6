package vector

import (
	"fmt"
	"strings"
	"unicode/utf8"
)

// codePage is how the bytes of a .dbf are letters.
type codePage int

const (
	pageGuess   codePage = iota // UTF-8 where valid, else Windows-1252
	pageUTF8                    // UTF-8
	page1252                    // Windows-1252
	page88591                   // ISO 8859-1
	pageUnknown                 // one that is not read; letters beyond ASCII are doubtful
)

// pageNamed reads the text of a .cpg.
func pageNamed(name string) codePage {
	var b strings.Builder
	for _, c := range strings.ToLower(name) {
		if c >= 'a' && c <= 'z' || c >= '0' && c <= '9' {
			b.WriteRune(c)
		}
	}
	switch strings.TrimPrefix(strings.TrimPrefix(b.String(), "ansi"), "cp") {
	case "":
		return pageGuess
	case "utf8", "65001":
		return pageUTF8
	case "1252", "windows1252":
		return page1252
	case "88591", "iso88591", "latin1", "28591":
		return page88591
	}
	return pageUnknown
}

// pageOfDriver reads the language driver byte of a .dbf. Writers set 0x57, "the
// ANSI page of this machine", for Western text.
func pageOfDriver(id byte) codePage {
	switch id {
	case 0x00:
		return pageGuess
	case 0x03, 0x57, 0x58, 0x59:
		return page1252
	}
	return pageUnknown
}

// decode turns the bytes of a value into UTF-8. full says that they fill their
// column, which may then have cut the last letter. doubt says that they do not fit
// the page and were taken for Windows-1252.
func (c codePage) decode(s string, full bool) (text string, doubt bool) {
	switch c {
	case pageGuess:
		if utf8.ValidString(s) {
			return s, false
		}
		return from1252(s), false
	case pageUTF8:
		if full {
			s = cutRune(s)
		}
		if utf8.ValidString(s) {
			return s, false
		}
		return from1252(s), true
	case page88591:
		return from88591(s), false
	case page1252:
		return from1252(s), false
	}
	return from1252(s), true
}

// cutRune drops the beginning of a letter that the width of the column cut off.
func cutRune(s string) string {
	for i := 1; i < utf8.UTFMax && i <= len(s); i++ {
		if tail := s[len(s)-i:]; utf8.RuneStart(tail[0]) {
			if !utf8.FullRuneInString(tail) {
				return s[:len(s)-i]
			}
			break
		}
	}
	return s
}

// table1252 holds 0x80 to 0x9F of Windows-1252; the five that it leaves open stay
// control characters, as in ISO 8859-1.
var table1252 = [32]rune{
	0x20AC, 0x81, 0x201A, 0x0192, 0x201E, 0x2026, 0x2020, 0x2021,
	0x02C6, 0x2030, 0x0160, 0x2039, 0x0152, 0x8D, 0x017D, 0x8F,
	0x90, 0x2018, 0x2019, 0x201C, 0x201D, 0x2022, 0x2013, 0x2014,
	0x02DC, 0x2122, 0x0161, 0x203A, 0x0153, 0x9D, 0x017E, 0x0178,
}

func from1252(s string) string {
	var b strings.Builder
	for i := range len(s) {
		if c := s[i]; c >= 0x80 && c < 0xA0 {
			b.WriteRune(table1252[c-0x80])
		} else {
			b.WriteRune(rune(c))
		}
	}
	return b.String()
}

func from88591(s string) string {
	var b strings.Builder
	for i := range len(s) {
		b.WriteRune(rune(s[i]))
	}
	return b.String()
}

// doubtNote is the note for text that does not fit its page.
func doubtNote(file string) string {
	return fmt.Sprintf("%s: its text has letters beyond ASCII that do not fit the declared code page; they were read as Windows-1252 and may be wrong. Save the table as UTF-8", file)
}
