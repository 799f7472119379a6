package outputs

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"sync/atomic"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The tests below start this test binary again as a child that kills itself
// before its n-th step, or in the middle of a write.

const childTask = "RATEWRIGHT_TEST_CHILD"

func TestMain(m *testing.M) {
	if task := os.Getenv(childTask); task != "" {
		runChild(task, os.Args[1], os.Args[2])
		return
	}
	os.Exit(m.Run())
}

func runChild(task, dir, step string) {
	at, err := strconv.Atoi(step)
	sys := &killing{at: at}
	switch {
	case err != nil:
	case task == "write":
		_, err = write(sys, dir, newSet(), nil)
	case task == "side by side":
		set := newSet()
		set.Workers = 3
		_, err = write(sys, dir, set, nil)
	case task == "shrink":
		_, err = write(sys, dir, smallSet(), nil)
	case task == "recover":
		_, err = recoverDir(sys, dir, nil)
	case task == "hold":
		_, err = lock(dir)
		fmt.Println("locked")
		time.Sleep(time.Minute)
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

// killing ends its own process before step number `at` that changes the disk;
// a write is torn in its middle.
type killing struct {
	osSystem
	step atomic.Int64
	at   int
}

func (k *killing) next() bool {
	return k.step.Add(1) == int64(k.at)
}

func dieNow() {
	self, err := os.FindProcess(os.Getpid())
	if err == nil {
		_ = self.Kill()
	}
	select {} // until the signal arrives
}

func (k *killing) MkdirAll(dir string) error {
	if k.next() {
		dieNow()
	}
	return k.osSystem.MkdirAll(dir)
}

func (k *killing) WriteSynced(file string, data []byte) error {
	if k.next() {
		_ = os.WriteFile(file, data[:len(data)/2], 0o666)
		dieNow()
	}
	return k.osSystem.WriteSynced(file, data)
}

func (k *killing) WriteStreamed(file string, write func(io.Writer) error) (string, error) {
	if k.next() {
		var b bytes.Buffer
		_ = write(&b)
		_ = os.WriteFile(file, b.Bytes()[:b.Len()/2], 0o666)
		dieNow()
	}
	return k.osSystem.WriteStreamed(file, write)
}

func (k *killing) Rename(a, b string) error {
	if k.next() {
		dieNow()
	}
	return k.osSystem.Rename(a, b)
}

func (k *killing) Remove(name string) error {
	if k.next() {
		dieNow()
	}
	return k.osSystem.Remove(name)
}

func (k *killing) SyncDir(dir string) error {
	if k.next() {
		dieNow()
	}
	return k.osSystem.SyncDir(dir)
}

func child(task, dir string, at int) *exec.Cmd {
	cmd := exec.Command(os.Args[0], dir, strconv.Itoa(at))
	cmd.Env = append(os.Environ(), childTask+"="+task)
	return cmd
}

// runToItsDeath tells whether the child was killed; false means that it ended
// well before it came to that step.
func runToItsDeath(t *testing.T, task, dir string, at int) bool {
	t.Helper()
	out, err := child(task, dir, at).CombinedOutput()
	if err == nil {
		return false
	}
	var exit *exec.ExitError
	require.ErrorAs(t, err, &exit)
	require.Empty(t, string(out), "the child failed instead of being killed")
	return true
}

// eachFileIsOldOrNew also demands that a new summary never stands beside an old sibling.
func eachFileIsOldOrNew(t *testing.T, dir string, at int) {
	t.Helper()
	before, after := content(oldSet()), content(newSet())
	got := tree(t, dir)
	for name := range after {
		data, ok := got[name]
		old, wasThere := before[name]
		isOld := ok == wasThere && (!ok || data == old)
		isNew := ok && data == after[name]
		assert.True(t, isOld || isNew, "step %d: %s is torn: %q", at, name, data)
		if got["reconcile.json"] == after["reconcile.json"] {
			assert.True(t, isNew, "step %d: the summary is new and %s is not", at, name)
		}
	}
}

func TestKilledAtEveryStepOfAWrite(t *testing.T) {
	for _, task := range []string{"write", "side by side"} {
		t.Run(task, func(t *testing.T) { killedAtEveryStep(t, task) })
	}
}

func killedAtEveryStep(t *testing.T, task string) {
	undone, finished := 0, 0
	for at := 1; ; at++ {
		dir := t.TempDir()
		overwrite(t, dir, oldSet())
		if !runToItsDeath(t, task, dir, at) {
			assert.Equal(t, content(newSet()), tree(t, dir))
			break
		}
		eachFileIsOldOrNew(t, dir, at)

		r, err := Recover(dir, nil)
		require.NoError(t, err)
		switch r {
		case Undone:
			undone++
			assert.Equal(t, content(oldSet()), tree(t, dir), "step %d", at)
		case Finished:
			finished++
			assert.Equal(t, content(newSet()), tree(t, dir), "step %d", at)
		case Clean:
			assert.Contains(t, []map[string]string{content(oldSet()), content(newSet())}, tree(t, dir), "step %d", at)
		}
		_, err = os.Stat(filepath.Join(dir, stagingName))
		assert.ErrorIs(t, err, fs.ErrNotExist, "step %d: litter", at)
		_, err = os.Stat(filepath.Join(dir, lockName))
		assert.ErrorIs(t, err, fs.ErrNotExist, "step %d: a dead process's lock", at)
	}
	// 4 staged files and the draft; 4 places of folder, rename and flush.
	assert.GreaterOrEqual(t, undone, 5)
	assert.GreaterOrEqual(t, finished, 12)
}

func TestKilledAtEveryStepOfARecovery(t *testing.T) {
	for _, start := range []int{3, 14, 17, 20} { // two undone, two finished
		for at := 1; ; at++ {
			dir := t.TempDir()
			overwrite(t, dir, oldSet())
			require.True(t, runToItsDeath(t, "write", dir, start))
			if !runToItsDeath(t, "recover", dir, at) {
				break
			}
			eachFileIsOldOrNew(t, dir, at)
			_, err := Recover(dir, nil)
			require.NoError(t, err)
			assert.Contains(t, []map[string]string{content(oldSet()), content(newSet())}, tree(t, dir), "step %d", at)
		}
	}
}

func TestTheNextWriteGoesThroughAMix(t *testing.T) {
	dir := t.TempDir()
	overwrite(t, dir, oldSet())
	require.True(t, runToItsDeath(t, "write", dir, 16))
	overwrite(t, dir, oldSet())
	got := tree(t, dir)
	for name, data := range content(oldSet()) {
		assert.Equal(t, data, got[name])
	}
}

func TestALockIsRespectedWhileItsProcessLives(t *testing.T) {
	dir := t.TempDir()
	cmd := child("hold", dir, 0)
	out, err := cmd.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, cmd.Start())
	_, err = bufio.NewReader(out).ReadString('\n')
	require.NoError(t, err)

	_, err = Write(dir, newSet(), nil)
	assert.ErrorContains(t, err, "another ratewright command is writing there")
	assert.Empty(t, tree(t, dir))

	require.NoError(t, cmd.Process.Kill())
	var exit *exec.ExitError
	require.True(t, errors.As(cmd.Wait(), &exit))
	require.NoError(t, errorOf(Write(dir, newSet(), nil)), "the lock of a dead process must not count")
}
