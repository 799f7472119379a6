package parallel

import (
	"fmt"
	"slices"
	"sync"
	"sync/atomic"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestEachIsCalledOnce(t *testing.T) {
	for _, workers := range []int{0, 1, 2, 7} {
		for _, n := range []int{0, 1, 2, 1000} {
			counts := make([]atomic.Int32, n)
			Each(n, workers, func(i int) { counts[i].Add(1) })
			for i := range counts {
				require.EqualValues(t, 1, counts[i].Load(), "%d of %d by %d", i, n, workers)
			}
		}
	}
}

func TestNoMoreWorkersThanAskedFor(t *testing.T) {
	var made atomic.Int32
	var mu sync.Mutex
	busy := map[int]bool{}
	EachBy(500, 3, func() func(int) {
		self := int(made.Add(1))
		return func(int) {
			mu.Lock()
			require.False(t, busy[self], "a worker's function runs twice at a time")
			busy[self] = true
			mu.Unlock()
			mu.Lock()
			busy[self] = false
			mu.Unlock()
		}
	})
	require.LessOrEqual(t, made.Load(), int32(3))
}

func TestAPanicReachesTheCaller(t *testing.T) {
	for _, workers := range []int{1, 2} {
		func() {
			defer func() { require.Contains(t, fmt.Sprint(recover()), "on purpose") }()
			Each(8, workers, func(i int) {
				if i == 3 {
					panic("on purpose")
				}
			})
			t.Error("no panic")
		}()
	}
}

func TestBesideWaitsAndHandsPanicsOn(t *testing.T) {
	done := false
	begin := make(chan struct{})
	wait := Beside(func() { <-begin; done = true })
	close(begin)
	wait()
	require.True(t, done)
	require.Panics(t, Beside(func() { panic("in it") }))
}

func TestTryCallsAllAndReturnsTheFirstError(t *testing.T) {
	for _, workers := range []int{1, 4} {
		var called [20]bool
		fail := func(bad ...int) error {
			return Try(len(called), workers, func(i int) error {
				called[i] = true
				if slices.Contains(bad, i) {
					return fmt.Errorf("number %d", i)
				}
				return nil
			})
		}
		require.EqualError(t, fail(17, 5, 11), "number 5")
		require.NotContains(t, called, false)
		require.NoError(t, fail())
	}
	require.NoError(t, Try(0, 0, nil))
}
