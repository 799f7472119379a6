package vector

import "strconv"

// pow10 holds the powers of ten that a float64 holds exactly.
var pow10 = [...]float64{
	1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11,
	1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22,
}

// parseDecimal reads a plain decimal number: blanks around it, a sign, digits
// with at most one point, an exponent. Hexadecimal, underscores, Inf and NaN are
// not plain, and neither is a number beyond float64.
//
// Up to 15 digits with a power of ten below 22 are exact in one operation (Clinger
// 1990, How to read floating point numbers accurately, section 3); all others go to
// strconv, so that the result is always the nearest float64.
func parseDecimal[T string | []byte](s T) (float64, bool) {
	lo, hi := 0, len(s)
	for lo < hi && s[lo] == ' ' {
		lo++
	}
	for hi > lo && s[hi-1] == ' ' {
		hi--
	}
	i := lo
	neg := false
	if i < hi && (s[i] == '-' || s[i] == '+') {
		neg = s[i] == '-'
		i++
	}
	var mant uint64
	digits, significant, decimals := 0, 0, 0
	point := false
	for ; i < hi; i++ {
		c := s[i]
		if c == '.' && !point {
			point = true
			continue
		}
		if c < '0' || c > '9' {
			break
		}
		digits++
		if mant != 0 || c != '0' {
			significant++
		}
		if significant <= 15 {
			mant = mant*10 + uint64(c-'0')
		}
		if point {
			decimals++
		}
	}
	if digits == 0 {
		return 0, false
	}
	if i < hi {
		if s[i] != 'e' && s[i] != 'E' {
			return 0, false
		}
		return parseSlow(string(s[lo:hi]))
	}
	if significant > 15 || decimals > 22 {
		return parseSlow(string(s[lo:hi]))
	}
	f := float64(mant) / pow10[decimals]
	if neg {
		f = -f
	}
	return f, true
}

// parseSlow reads any decimal number by strconv, which rounds to nearest and
// refuses what is beyond float64.
func parseSlow(s string) (float64, bool) {
	f, err := strconv.ParseFloat(s, 64)
	return f, err == nil
}
