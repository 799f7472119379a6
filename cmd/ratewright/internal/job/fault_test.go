package job

import (
	"errors"
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"ratewright/geo/vector"
)

func TestAnErrorHasALineForEachOneJoined(t *testing.T) {
	a, b := &vector.InputError{File: "a\nb", What: "w"}, errors.New("c")
	for _, c := range []struct {
		err  error
		want []string
	}{
		{a, []string{"a\nb: w"}},
		{errors.Join(a, b), []string{"a\nb: w", "c"}},
		{Faults{a, a}, []string{"a\nb: w", "a\nb: w"}},
		{fmt.Errorf("x: %w", errors.Join(b, errors.Join(a, b))), []string{"x: c", "a\nb: w", "c"}},
		{fmt.Errorf("%w and %w", a, b), []string{"a\nb: w and c"}},
		{fmt.Errorf("%w; so", a), []string{"a\nb: w; so"}},
	} {
		require.Equal(t, c.want, Lines(c.err))
	}
}
