package vector

import (
	"unicode/utf16"
	"unicode/utf8"
)

// isJSONNumber checks the grammar of RFC 8259 section 6.
func isJSONNumber(b []byte) bool {
	i := 0
	if i < len(b) && b[i] == '-' {
		i++
	}
	switch {
	case i == len(b):
		return false
	case b[i] == '0':
		i++
	default:
		n := digitRun(b[i:])
		if n == 0 {
			return false
		}
		i += n
	}
	if i < len(b) && b[i] == '.' {
		n := digitRun(b[i+1:])
		if n == 0 {
			return false
		}
		i += 1 + n
	}
	if i < len(b) && (b[i] == 'e' || b[i] == 'E') {
		i++
		if i < len(b) && (b[i] == '+' || b[i] == '-') {
			i++
		}
		n := digitRun(b[i:])
		if n == 0 {
			return false
		}
		i += n
	}
	return i == len(b)
}

func digitRun(b []byte) int {
	for i, c := range b {
		if c < '0' || c > '9' {
			return i
		}
	}
	return len(b)
}

// unescape resolves the escapes of a JSON string. Half of a surrogate pair becomes
// U+FFFD, as in encoding/json.
func unescape(dst, src []byte) ([]byte, bool) {
	for i := 0; i < len(src); i++ {
		if src[i] != '\\' {
			dst = append(dst, src[i])
			continue
		}
		i++
		if i == len(src) {
			return dst, false
		}
		switch c := src[i]; c {
		case '"', '\\', '/':
			dst = append(dst, c)
		case 'b':
			dst = append(dst, '\b')
		case 'f':
			dst = append(dst, '\f')
		case 'n':
			dst = append(dst, '\n')
		case 'r':
			dst = append(dst, '\r')
		case 't':
			dst = append(dst, '\t')
		case 'u':
			r, ok := hex4(src[i+1:])
			if !ok {
				return dst, false
			}
			i += 4
			if utf16.IsSurrogate(r) {
				var n int
				r, n = pairWith(r, src[i+1:])
				i += n
			}
			dst = utf8.AppendRune(dst, r)
		default:
			return dst, false
		}
	}
	return dst, true
}

// pairWith joins a surrogate with the escape that follows, and says how many bytes
// of it were used.
func pairWith(r rune, rest []byte) (rune, int) {
	if len(rest) >= 6 && rest[0] == '\\' && rest[1] == 'u' {
		if low, ok := hex4(rest[2:]); ok {
			if joined := utf16.DecodeRune(r, low); joined != utf8.RuneError {
				return joined, 6
			}
		}
	}
	return utf8.RuneError, 0
}

func hex4(b []byte) (rune, bool) {
	if len(b) < 4 {
		return 0, false
	}
	var r rune
	for _, c := range b[:4] {
		r <<= 4
		switch {
		case c >= '0' && c <= '9':
			r |= rune(c - '0')
		case c >= 'a' && c <= 'f':
			r |= rune(c-'a') + 10
		case c >= 'A' && c <= 'F':
			r |= rune(c-'A') + 10
		default:
			return 0, false
		}
	}
	return r, true
}
