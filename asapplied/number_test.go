package asapplied

import (
	"math"
	"math/rand/v2"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// decimal is the grammar that parseNumber promises, for a decimal point.
var decimal = regexp.MustCompile(`^[ \t]*[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?[ \t]*$`)

// reference reads a number the slow way: the grammar, then strconv.
func reference(s string) (float64, bool) {
	if !decimal.MatchString(s) {
		return 0, false
	}
	v, err := strconv.ParseFloat(strings.Trim(s, " \t"), 64)
	if err != nil || math.IsInf(v, 0) {
		return 0, false
	}
	return v, true
}

func requireSameNumber(t *testing.T, s string) {
	t.Helper()
	want, wantOK := reference(s)
	got, ok := parseNumber([]byte(s), '.')
	if ok != wantOK || math.Float64bits(got) != math.Float64bits(want) {
		t.Fatalf("parseNumber(%q) = %v, %v; strconv has %v, %v", s, got, ok, want, wantOK)
	}
}

func TestNumbersEqualStrconvToTheLastBit(t *testing.T) {
	for _, s := range []string{
		"", " ", "-", "+", ".", "-.", "0", "-0", "+0", "00", "1", "1.", ".5", "-.5", " 7\t", "1..2", "1.2.3", "1,5", "1 2",
		"nan", "NaN", "inf", "-Inf", "Infinity", "0x10", "1_000", "1e", "1e+", "1e5", "1E-5", "1e400", "-1e400", "1e-400",
		"9007199254740992", "9007199254740993", "9007199254740992.5", "18446744073709551616", "0.1", "-93.5983251474",
		"1715000000.000", "2.2250738585072011e-308", "4.9406564584124654e-324", "0.000000000000000000000000123",
		"1." + strings.Repeat("0", 30) + "1", strings.Repeat("9", 400), "-93.59832514740001",
	} {
		requireSameNumber(t, s)
	}
}

func TestRandomNumbersEqualStrconv(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	for range 200_000 {
		requireSameNumber(t, randomNumber(r))
	}
}

// randomNumber writes numbers of every length near and beyond the fast path:
// digits at random, shortest forms of random bits, and fixed decimals.
func randomNumber(r *rand.Rand) string {
	switch r.IntN(4) {
	case 0:
		return strconv.FormatFloat(math.Float64frombits(r.Uint64()), 'e', -1, 64)
	case 1:
		return strconv.FormatFloat((r.Float64()-0.5)*360, 'f', r.IntN(20), 64)
	case 2:
		return strconv.FormatUint(r.Uint64()>>r.IntN(64), 10) + "." + strconv.FormatUint(r.Uint64()>>r.IntN(64), 10)
	}
	var b strings.Builder
	for n := 1 + r.IntN(24); n > 0; n-- {
		b.WriteByte("0123456789.-+e"[r.IntN(14)])
	}
	return b.String()
}

func TestDecimalCommaIsTheOnlyMarkWhereItIsUsed(t *testing.T) {
	v, ok := parseNumber([]byte("-93,5983251474"), ',')
	require.True(t, ok)
	require.Equal(t, -93.5983251474, v)
	v, ok = parseNumber([]byte("93,59832514740001234"), ',') // too long for the fast path
	require.True(t, ok)
	require.Equal(t, 93.59832514740001234, v)
	_, ok = parseNumber([]byte("93.5"), ',')
	require.False(t, ok)
	_, ok = parseNumber([]byte("1.5e3"), ',')
	require.False(t, ok)
}

func FuzzNumber(f *testing.F) {
	for _, s := range []string{"-93.5983251474", "1e5", "9007199254740993", ".5", "NaN", "1_0", "0x1p-2"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) { requireSameNumber(t, s) })
}

func BenchmarkNumber(b *testing.B) {
	cells := [][]byte{[]byte("-93.5983251474"), []byte("42.0299852007"), []byte("196.2"), []byte("94.398705")}
	n := 0
	for _, c := range cells {
		n += len(c)
	}
	b.SetBytes(int64(n))
	for b.Loop() {
		for _, c := range cells {
			if _, ok := parseNumber(c, '.'); !ok {
				b.Fatal("not a number")
			}
		}
	}
}
