package main

import (
	"bytes"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestTheHelpOffersTheFlagsThatThereAre: a flag that a command does not know is
// answered with those that it knows, and its help has these and no other, both in its
// usage and in its list.
func TestTheHelpOffersTheFlagsThatThereAre(t *testing.T) {
	flag := regexp.MustCompile(`--?([a-z]+)\b`)
	listed := regexp.MustCompile(`(?m)^  --?([a-z]+)\b`)
	known := regexp.MustCompile(`this command knows (.*)`)
	names := func(of *regexp.Regexp, text string) []string {
		var list []string
		for _, m := range of.FindAllStringSubmatch(text, -1) {
			list = append(list, m[1])
		}
		slices.Sort(list)
		return slices.Compact(list)
	}
	for _, cmd := range commands() {
		if cmd.name == "version" {
			continue // it takes no words
		}
		var out, errs bytes.Buffer
		require.Equal(t, exitUsage, run(t.Context(), []string{cmd.name, "--no-such-flag"}, nil, &out, &errs), cmd.name)
		m := known.FindStringSubmatch(errs.String())
		require.Len(t, m, 2, "%s: %s", cmd.name, errs.String())
		real := names(flag, m[1])
		require.NotEmpty(t, real)
		require.Equal(t, real, names(listed, cmd.help), "%s: the list of its help", cmd.name)
		require.Equal(t, real, names(flag, cmd.args), "%s: its usage", cmd.name)
	}
}

// TestTheHelpFitsATerminal: its lines are broken by hand.
func TestTheHelpFitsATerminal(t *testing.T) {
	for _, cmd := range commands() {
		for _, line := range strings.Split(cmd.help, "\n") {
			require.LessOrEqual(t, len([]rune(line)), 100, "%s: %s", cmd.name, line)
		}
	}
}

// TestHelpOfTheHelp: help is a word that people ask for, too.
func TestHelpOfTheHelp(t *testing.T) {
	var list, same, errs bytes.Buffer
	require.Equal(t, exitDone, run(t.Context(), []string{"help"}, nil, &list, &errs))
	require.Equal(t, exitDone, run(t.Context(), []string{"help", "help"}, nil, &same, &errs), errs.String())
	require.Equal(t, list.String(), same.String())
}
