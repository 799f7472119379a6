package season

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"ratewright/cmd/ratewright/internal/outputs"
)

// The test below starts this test binary again as a child that runs a season and
// is killed in it.

const childRoot = "RATEWRIGHT_TEST_SEASON"

func TestMain(m *testing.M) {
	if root := os.Getenv(childRoot); root != "" {
		runChild(root, os.Args[1], os.Args[2])
		return
	}
	os.Exit(m.Run())
}

// runChild runs a season and kills itself so many microseconds after it has begun
// to write the n-th set.
func runChild(root, nth, micros string) {
	n, errN := strconv.Atoi(nth)
	after, errMicros := strconv.Atoi(micros)
	if err := errors.Join(errN, errMicros); err != nil {
		fmt.Println(err)
		os.Exit(1)
	}
	o := options(root)
	sets := make(chan struct{}, 1000)
	o.Write = func(dir string, set outputs.Set, inputs []string) ([]byte, error) {
		sets <- struct{}{}
		if len(sets) == n {
			go func() {
				time.Sleep(time.Duration(after) * time.Microsecond)
				if self, err := os.FindProcess(os.Getpid()); err == nil {
					_ = self.Kill()
				}
			}()
		}
		return outputs.Write(dir, set, inputs)
	}
	res, err := Run(context.Background(), o)
	if err == nil {
		_, err = outputs.Write(res.Dir, res.Season.Set(), res.Inputs)
	}
	if err != nil {
		fmt.Println(err)
		os.Exit(1)
	}
	select {} // until the kill comes: this test is about those that die
}

// resultFiles are all files below the fields' output folders.
func resultFiles(t *testing.T, root string) map[string]string {
	t.Helper()
	files := map[string]string{}
	require.NoError(t, filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		rel, err := filepath.Rel(root, path)
		if err != nil {
			return err
		}
		rel = filepath.ToSlash(rel)
		if parts := strings.SplitN(rel, "/", 3); len(parts) == 3 && parts[1] == "out" {
			data, err := os.ReadFile(path)
			files[rel] = string(data)
			return err
		}
		return nil
	}))
	return files
}

func TestAKilledSeasonGoesOnWhereItWas(t *testing.T) {
	const fields = 6
	root := someFields(t, fields)
	want := timeless(mustRun(t, options(root)).Season)
	clean := resultFiles(t, root)
	require.Len(t, clean, fields*9)

	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d", seed)
	rng := rand.New(rand.NewPCG(seed, 1))
	wasMixed := 0
	for nth := 1; nth <= fields; nth++ {
		for range 3 {
			for i := range fields {
				require.NoError(t, os.RemoveAll(filepath.Join(root, fmt.Sprintf("f%02d", i), "out")))
			}
			cmd := exec.Command(os.Args[0], strconv.Itoa(nth), strconv.Itoa(rng.IntN(4000)))
			cmd.Env = append(os.Environ(), childRoot+"="+root)
			out, err := cmd.CombinedOutput()
			var exit *exec.ExitError
			require.ErrorAs(t, err, &exit)
			require.Equal(t, -1, exit.ExitCode(), "the child failed instead of being killed: %s", out)

			// A stamp never stands beside anything but its whole set.
			stamps := 0
			left := resultFiles(t, root)
			for name, data := range left {
				if strings.Contains(name, ".ratewright-") {
					wasMixed++
					continue
				}
				require.Equal(t, clean[name], data, name)
				if dir, ok := strings.CutSuffix(name, "season-stamp.json"); ok {
					stamps++
					for whole := range clean {
						if strings.HasPrefix(whole, dir) {
							require.Contains(t, left, whole)
						}
					}
				}
			}

			res := mustRun(t, options(root)).Season
			require.GreaterOrEqual(t, res.Counts.Unchanged, stamps)
			require.Equal(t, fields, res.Counts.Unchanged+res.Counts.Done)
			got := timeless(res)
			for i := range got.Rows {
				got.Rows[i].State = Done
			}
			got.Counts = want.Counts
			require.Equal(t, want, got)
			require.Equal(t, clean, resultFiles(t, root))
		}
	}
	require.Positive(t, wasMixed, "no kill fell into a set that was being written")
}
