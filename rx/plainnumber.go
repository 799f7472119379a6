package rx

import (
	"regexp"
	"strconv"
	"strings"
)

// PlainNumber is a form of an id that spells a number in which ids of one value
// are the same text: 7, 7.0, 07 and 7.000000000000000e+00. It is exact: no two
// values share a form. ok is false for any other text, and for an id of more
// than 15 digits, zeros at the end of a fraction not counted: that many is a
// code and no number, and programs that take it for one change its last digits.
func PlainNumber(id string) (form string, ok bool) {
	const mostDigits = 15
	m := plainNumber.FindStringSubmatch(strings.TrimSpace(id))
	if m == nil {
		return "", false
	}
	sign, whole, fraction := m[1], m[2], strings.TrimRight(m[3], "0")
	if len(whole)+len(fraction) > mostDigits || whole == "" && m[3] == "" {
		return "", false
	}
	exponent, _ := strconv.Atoi(m[4]) // three digits at most; none is 0
	digits := strings.TrimLeft(whole+fraction, "0")
	if digits == "" {
		return "0", true
	}
	short := strings.TrimRight(digits, "0")
	exponent += len(digits) - len(short) - len(fraction)
	return strings.TrimPrefix(sign, "+") + short + "e" + strconv.Itoa(exponent), true
}

// plainNumber splits a decimal number into sign, digits before and behind the
// point, and exponent.
var plainNumber = regexp.MustCompile(`^([+-]?)([0-9]*)(?:\.([0-9]*))?(?:[eE]([+-]?[0-9]{1,3}))?$`)
