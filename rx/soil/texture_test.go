package soil

import (
	"testing"

	"github.com/stretchr/testify/require"
)

func TestClass(t *testing.T) {
	for words, want := range map[string]string{
		"silt loam": "silt loam", " Silty  Clay Loam ": "silty clay loam", "fine sandy loam": "sandy loam",
		"loamy very fine sand": "loamy sand", "coarse sand": "sand", "": "", "porridge": "", "fine": "", "loam clay": "",
	} {
		require.Equal(t, want, Class(words), words)
	}
	for _, c := range classes {
		require.NotEmpty(t, Group(c))
		require.Equal(t, c, Class(c))
	}
}
