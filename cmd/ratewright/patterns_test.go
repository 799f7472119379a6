package main

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"
)

// TestPatternsThatTheShellLeavesAreSpread: on Windows `season --join fields\out\shard-*`
// reaches the program as it was typed.
func TestPatternsThatTheShellLeavesAreSpread(t *testing.T) {
	dir := t.TempDir()
	at := func(names ...string) []string {
		for i, name := range names {
			names[i] = filepath.Join(dir, name)
		}
		return names
	}
	for _, name := range at("shard-1-of-2", "shard-2-of-2") {
		require.NoError(t, os.Mkdir(name, 0o700))
	}
	o, err := parse("season", append([]string{"--join"}, at("shard-*")...), "join")
	require.NoError(t, err)
	require.Equal(t, at("shard-1-of-2", "shard-2-of-2"), o.words)
	require.Equal(t, at("shard-1-of-2", "a.yaml", "none-*"), spread(at("shard-1-of-?", "a.yaml", "none-*")))
	for _, name := range at("b*.yaml", "b2.yaml") {
		require.NoError(t, os.WriteFile(name, nil, 0o600))
	}
	require.Equal(t, at("b*.yaml"), spread(at("b*.yaml")), "a file of that very name is meant")
}
