package rx

import (
	"fmt"
	"regexp"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestMapNameIsEightPlainCharacters(t *testing.T) {
	plain := regexp.MustCompile(`^[A-Z0-9]{8}$`)
	for _, field := range []string{"Walnut Bottom", "", "Øst", "日本", "40 acres", "a", "../../etc"} {
		for _, application := range []string{"", "sidedress", "make-up"} {
			name := MapName(field, application)
			require.Regexp(t, plain, name)
			require.NoError(t, checkMapName(name))
			require.Equal(t, name, MapName(field, application))
		}
	}
	require.Equal(t, "WA", MapName("Walnut Bottom", "sidedress")[:2])
	require.Equal(t, "STX"[:2], MapName("Øst", "x")[:2])
	require.Equal(t, "XX", MapName("日本", "x")[:2])
}

// A field and an application are hashed apart: "abc"+"de" is not "abcd"+"e".
func TestMapNamesDiffer(t *testing.T) {
	require.NotEqual(t, MapName("abc", "de"), MapName("abcd", "e"))
	seen := map[string]string{}
	for field := range 2000 {
		for _, application := range []string{"starter", "sidedress"} {
			key := fmt.Sprintf("Field %d %s", field, application)
			name := MapName(fmt.Sprintf("Field %d", field), application)
			require.Empty(t, seen[name], "%s and %s", key, seen[name])
			seen[name] = key
		}
	}
}

func TestMapNamesThatAreRefused(t *testing.T) {
	for _, name := range []string{"", "A B", "../A", "-A", "Ä", "A.SHP", "A/B"} {
		require.Error(t, checkMapName(name), name)
	}
}

func TestDeviceNamesAreNoMapNames(t *testing.T) {
	for _, name := range []string{"CON", "nul", "COM1", "LPT9"} {
		require.ErrorContains(t, checkMapName(name), "device on Windows", name)
	}
	require.NoError(t, checkMapName("CONRAD"))
}
