package asapplied

import (
	"math"
	"strconv"
)

// pow10 are the powers of ten that a float64 holds exactly.
var pow10 = [...]float64{
	1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11,
	1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22,
}

// trim removes spaces and tabs from both ends of a cell.
func trim(b []byte) []byte {
	for len(b) > 0 && (b[0] == ' ' || b[0] == '\t') {
		b = b[1:]
	}
	for len(b) > 0 && (b[len(b)-1] == ' ' || b[len(b)-1] == '\t') {
		b = b[:len(b)-1]
	}
	return b
}

// parseNumber reads a decimal number: sign, digits with one decimal mark
// (point), exponent. Words such as NaN or Inf, hexadecimal and thousands
// separators are not numbers, nor is one too large for a float64. The result
// equals strconv.ParseFloat to the last bit: up to 2^53 with a power of ten up
// to 22, one exact operation rounds correctly (Clinger 1990, "How to read
// floating point numbers accurately", section 3); everything else goes there.
func parseNumber(b []byte, point byte) (float64, bool) {
	b = trim(b)
	i, negative := 0, false
	if i < len(b) && (b[i] == '-' || b[i] == '+') {
		negative = b[i] == '-'
		i++
	}
	var mantissa uint64
	digits, decimals, seen := 0, 0, false
	for ; i < len(b); i++ {
		c := b[i]
		if d := c - '0'; d <= 9 {
			mantissa = mantissa*10 + uint64(d) // may wrap: then digits > 19
			digits++
			if seen {
				decimals++
			}
			continue
		}
		if c != point || seen {
			break
		}
		seen = true
	}
	if digits == 0 {
		return 0, false
	}
	if i < len(b) || digits > 19 || mantissa > 1<<53 || decimals > 22 {
		return hardNumber(b, i, point)
	}
	v := float64(mantissa) / pow10[decimals]
	if negative {
		v = -v
	}
	return v, true
}

// hardNumber reads what the fast path leaves: many digits, or an exponent from
// position i on.
func hardNumber(b []byte, i int, point byte) (float64, bool) {
	if i < len(b) && !isExponent(b[i:]) {
		return 0, false
	}
	var stack [64]byte
	text := append(stack[:0], b...)
	if point != '.' {
		for k, c := range text {
			if c == point {
				text[k] = '.'
			}
		}
	}
	v, err := strconv.ParseFloat(string(text), 64)
	if err != nil || math.IsInf(v, 0) {
		return 0, false
	}
	return v, true
}

// isExponent reports whether the text is e or E, a sign or none, and digits.
func isExponent(b []byte) bool {
	if b[0] != 'e' && b[0] != 'E' {
		return false
	}
	b = b[1:]
	if len(b) > 0 && (b[0] == '-' || b[0] == '+') {
		b = b[1:]
	}
	for _, c := range b {
		if c-'0' > 9 {
			return false
		}
	}
	return len(b) > 0
}
