package rx

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestIDsCompareAsText(t *testing.T) {
	m, err := NewIDMatch([]string{"A", "01"}, []string{"01", "A", "1"})
	require.NoError(t, err)
	require.Empty(t, m.Note())
	i, ok := m.Find("01")
	require.True(t, ok)
	require.Equal(t, 0, i)
	_, ok = m.Find("001")
	require.False(t, ok, "one id of each side is no number, so 001 is text")
}

func TestIDsCompareByValueWhereAllAreNumbers(t *testing.T) {
	m, err := NewIDMatch([]string{"3.0", "04"}, []string{"3", "4", "5"})
	require.NoError(t, err)
	require.Contains(t, m.Note(), "compared by value")
	for id, want := range map[string]int{"3.0": 0, "04": 1, " 3 ": 0} {
		i, ok := m.Find(id)
		require.True(t, ok, id)
		require.Equal(t, want, i, id)
	}
	same, err := NewIDMatch([]string{"3"}, []string{"3"})
	require.NoError(t, err)
	require.Empty(t, same.Note(), "no note where the text agrees already")
}

func TestIDsGivenTwice(t *testing.T) {
	_, err := NewIDMatch([]string{"A"}, []string{"A", "A "})
	require.EqualError(t, err, `id "A" is given twice; keep one`)
	_, err = NewIDMatch([]string{"1"}, []string{"1", "1.0"})
	require.EqualError(t, err, `ids "1" and "1.0" are the same number; keep one`)
	_, err = NewIDMatch([]string{"A"}, []string{"1", "1.0"})
	require.NoError(t, err)
}

// 20 digits are more than a float64 tells apart: these two are the same one.
func TestLongIDsAreTold(t *testing.T) {
	long := []string{"12345678901234567890", "12345678901234567891"}
	m, err := NewIDMatch(long, long)
	require.NoError(t, err)
	require.Empty(t, m.Note())
	for i, id := range long {
		at, ok := m.Find(id)
		require.True(t, ok)
		require.Equal(t, i, at)
	}
	_, ok := m.Find("12345678901234567892")
	require.False(t, ok)
}
