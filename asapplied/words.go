package asapplied

import (
	"fmt"
	"strconv"
	"strings"
	"unicode/utf8"
)

// State words of sections and of the working mark. Numbers 2 and 3 are the
// error and not-installed states that two-bit work states have.
const (
	stateOff   = 0
	stateOn    = 1
	stateError = 2
)

// parseState reads on or off in one of its usual words, or 0 to 3.
func parseState(b []byte) (int, bool) {
	b = trim(b)
	if len(b) == 1 {
		switch b[0] {
		case '0', 'n', 'N', 'f', 'F':
			return stateOff, true
		case '1', 'y', 'Y', 't', 'T':
			return stateOn, true
		case '2', '3':
			return stateError, true
		}
		return 0, false
	}
	if len(b) == 0 || len(b) > 16 || len(b) > 3 && b[0]-'0' <= 9 { // the longest words of digits are 1.0 and the like
		return 0, false
	}
	switch strings.ToLower(string(b)) {
	case "on", "true", "yes", "working", "active", "open", "down", "lowered", "applying", "engaged", "1.0", "auto on", "enabled":
		return stateOn, true
	case "off", "false", "no", "not working", "idle", "inactive", "closed", "up", "raised", "lifted", "not applying",
		"disengaged", "0.0", "auto off", "disabled":
		return stateOff, true
	case "error", "fault", "not installed", "2.0", "3.0", "not available":
		return stateError, true
	}
	return 0, false
}

var dashes = strings.NewReplacer("_", " ", "-", " ")

// parseFix reads the quality of a position: 0 is none. Words are given the
// numbers of the GGA sentence of NMEA 0183: 1 GPS, 2 differential, 4 RTK fixed,
// 5 RTK float, 6 estimated.
func parseFix(b []byte) (int, bool) {
	b = trim(b)
	v, n := leadingInt(b)
	if n > 0 && n < 3 && (n == len(b) || string(b[n:]) == ".0") {
		return v, v <= 20
	}
	if len(b) == 0 || len(b) > 24 || n > 0 && len(b) > 2 { // the longest words that begin with a digit are 2d and 3d
		return 0, false
	}
	switch strings.ToLower(dashes.Replace(string(b))) {
	case "none", "no", "no fix", "invalid", "no gps", "not valid", "no position", "v", "false":
		return 0, true
	case "gps", "gnss", "autonomous", "single", "2d", "3d", "valid", "a", "yes", "true", "fix", "ok":
		return 1, true
	case "dgps", "dgnss", "differential", "sbas", "waas", "egnos":
		return 2, true
	case "rtk", "rtk fixed", "rtk fix", "fixed":
		return 4, true
	case "rtk float", "float":
		return 5, true
	case "estimated", "dead reckoning":
		return 6, true
	}
	return 0, false
}

// Shown is a text of a file, or the name of one, as messages and tables show it:
// bytes that are no UTF-8 and characters that would do something to a terminal,
// a line end among them, are escaped as in a string of Go.
func Shown(s string) string {
	if utf8.ValidString(s) && !strings.ContainsFunc(s, unprintable) {
		return s
	}
	var b strings.Builder
	for s != "" {
		r, n := utf8.DecodeRuneInString(s)
		switch {
		case r == utf8.RuneError && n == 1:
			fmt.Fprintf(&b, `\x%02x`, s[0])
		case unprintable(r):
			quoted := strconv.QuoteRune(r)
			b.WriteString(quoted[1 : len(quoted)-1])
		default:
			b.WriteString(s[:n])
		}
		s = s[n:]
	}
	return b.String()
}

func unprintable(r rune) bool { return !strconv.IsPrint(r) }

// allShown is shown for each text.
func allShown(texts []string) []string {
	out := make([]string, len(texts))
	for i, s := range texts {
		out[i] = Shown(s)
	}
	return out
}
