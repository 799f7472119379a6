package season

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"ratewright/cmd/ratewright/internal/outputs"
)

func TestShardsMakeUpTheSeason(t *testing.T) {
	root := someFields(t, 5)
	put(t, "field: {boundary: nowhere.geojson}\napplications: [{name: a, logs: [{files: [x.csv]}]}]\n", root, "f02", "job.yaml")
	o := options(root)
	o.Out = filepath.Join(root, "whole")
	want := timeless(mustRun(t, o).Season)
	for _, n := range []int{1, 2, 3, 7} {
		var dirs []string
		for i := n; i >= 1; i-- {
			o.Shard = Shard{i, n}
			o.Out = filepath.Join(t.TempDir(), o.Shard.folder())
			res := mustRun(t, o)
			require.Equal(t, &o.Shard, res.Season.Shard)
			require.Equal(t, o.Out, res.Dir)
			save(t, res)
			dirs = append(dirs, o.Out)
		}
		joined, err := Join(dirs)
		require.NoError(t, err)
		require.Equal(t, want, timeless(joined.Season), "%d shards", n)
		joined.Dir = filepath.Join(t.TempDir(), "joined")
		save(t, joined)
		table, err := readSeason(joined.Dir)
		require.NoError(t, err)
		for _, name := range []string{csvName, pageName} {
			sum, err := outputs.SumFile(filepath.Join(joined.Dir, name))
			require.NoError(t, err)
			require.Equal(t, table.Files[name], sum)
		}
	}
}

func save(t *testing.T, res Result) {
	t.Helper()
	_, err := outputs.Write(res.Dir, res.Set(), res.Inputs)
	require.NoError(t, err)
}

func TestJoinRefusesWhatIsNoSeason(t *testing.T) {
	root := someFields(t, 3)
	run := func(shard Shard, change func(*Season)) string {
		o := options(root)
		o.Shard, o.Out = shard, filepath.Join(t.TempDir(), "tables")
		res := mustRun(t, o)
		if change != nil {
			change(&res.Season)
		}
		save(t, res)
		return o.Out
	}
	one, two := run(Shard{1, 2}, nil), run(Shard{2, 2}, nil)
	_, err := Join([]string{two, one})
	require.NoError(t, err)
	for want, dirs := range map[string][]string{
		"missing: shard 2/2":                    {one},
		"shard 1/2 is there twice":              {one, two, one},
		"made by two programs":                  {one, run(Shard{2, 2}, func(s *Season) { s.Program = "other" })},
		"is one of 2 shards":                    {one, run(Shard{2, 3}, nil)},
		"different lists of jobs":               {one, run(Shard{2, 2}, func(s *Season) { s.List = "x" })},
		"has 1 jobs of the 2 of its shard":      {two, run(Shard{1, 2}, func(s *Season) { s.Rows = s.Rows[:1] })},
		"has the state \"dnoe\", which is none": {two, run(Shard{1, 2}, func(s *Season) { s.Rows[0].State = "dnoe" })},
		"does not belong to shard 1/2":          {two, run(Shard{1, 2}, func(s *Season) { s.Rows[0].Number = 2 })},
		"holds a whole season, not a shard":     {one, run(Shard{}, nil)},
		"there is no season.json":               {one, root},
		"is not the table of a season of th":    {one, run(Shard{2, 2}, func(s *Season) { s.Schema = "ratewright/season/9" })},
	} {
		_, err := Join(dirs)
		require.ErrorContains(t, err, want)
	}
}

// A table that is cut is no table of a season for joining or for the next run of its shard:
// both say to remove it, and after that the run is whole again.
func TestACutTableOfAShardIsRefused(t *testing.T) {
	root := someFields(t, 2)
	o := options(root)
	o.Out, o.Shard = filepath.Join(root, "o"), Shard{1, 2}
	save(t, mustRun(t, o))
	table := filepath.Join(o.Out, jsonName)
	data, err := os.ReadFile(table)
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(table, data[:len(data)/2], 0o600))
	_, err = Join([]string{o.Out})
	require.ErrorContains(t, err, "season.json: is not the table of a season: ")
	require.ErrorContains(t, err, "remove it and run the shard again")
	_, err = Run(t.Context(), o)
	require.ErrorContains(t, err, "remove it and run the shard again")
	require.NoError(t, os.Remove(table))
	save(t, mustRun(t, o))
}

func TestShardsDoNotWriteOverEachOther(t *testing.T) {
	root := someFields(t, 2)
	o := options(root)
	o.Out, o.Shard = filepath.Join(root, "o"), Shard{1, 2}
	save(t, mustRun(t, o))
	save(t, mustRun(t, o))
	o.Shard = Shard{2, 2}
	_, err := Run(t.Context(), o)
	require.ErrorContains(t, err, "holds the table of shard 1/2; give each shard a folder of its own with -o")
	o.Out = ""
	require.Equal(t, filepath.Join(root, "out", "shard-2-of-2"), mustRun(t, o).Dir)
}

func TestParseShard(t *testing.T) {
	s, err := ParseShard("3/20")
	require.NoError(t, err)
	require.Equal(t, Shard{3, 20}, s)
	for _, bad := range []string{"", "3", "0/3", "4/3", "a/b", "1/0", "-1/3", "1/2/3"} {
		_, err := ParseShard(bad)
		require.Error(t, err, bad)
	}
	for jobs := range 12 {
		for n := 1; n < 9; n++ {
			all := 0
			for i := 1; i <= n; i++ {
				s, held := Shard{i, n}, 0
				for number := 1; number <= jobs; number++ {
					if s.holds(number) {
						held++
					}
				}
				require.Equal(t, held, s.size(jobs), "%v of %d", s, jobs)
				all += held
			}
			require.Equal(t, jobs, all)
		}
	}
}
