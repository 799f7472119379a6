package rx

import (
	"math/big"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func TestPlainNumber(t *testing.T) {
	for _, same := range [][]string{
		{"7", "7.0", "7.", "+7", "07", " 7 ", "7.000000000000000", "7.00000000000000000000e+00", "0.7e1", "70e-1"},
		{"0", "-0", "0.000", "00", ".0", "0e5"},
		{"-1200", "-1.2E3", "-1200.00"},
		{".5", "0.5", "5e-1"},
		{"123456789012345", "123456789012345.000"},
	} {
		want, ok := PlainNumber(same[0])
		require.True(t, ok, same[0])
		for _, s := range same[1:] {
			got, ok := PlainNumber(s)
			require.True(t, ok, s)
			require.Equal(t, want, got, s)
		}
	}
	for _, s := range []string{"", ".", "-", "e5", ".e5", "A7", "7 8", "0x7", "1_0", "NaN", "Inf", "1e9999", "7,5", "1234567890123456", "0000000000000007", "٧"} {
		_, ok := PlainNumber(s)
		require.False(t, ok, s)
	}
}

// Two texts have one form exactly where they have one value, by big rationals.
func TestPlainNumberIsExact(t *testing.T) {
	text := rapid.StringMatching(`-?[0-9]{1,4}(\.[0-9]{0,4}0{0,3})?(e-?[0-3])?`)
	rapid.Check(t, func(rt *rapid.T) {
		a, b := text.Draw(rt, "a"), text.Draw(rt, "b")
		if rapid.Bool().Draw(rt, "near") {
			b = strings.Replace(a, "1", "2", 1)
		}
		x, y := rational(rt, a), rational(rt, b)
		fx, _ := PlainNumber(a)
		fy, _ := PlainNumber(b)
		require.Equal(rt, x.Cmp(y) == 0, fx == fy, "%s %s", a, b)
		require.Zero(rt, x.Cmp(rational(rt, fx)))
	})
}

func rational(t require.TestingT, s string) *big.Rat {
	r, ok := new(big.Rat).SetString(s)
	require.True(t, ok, s)
	return r
}
