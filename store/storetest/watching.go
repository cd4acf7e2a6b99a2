package storetest

import (
	"context"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
)

// patience is how long a test waits for what must come, before it calls it
// missing. It is no measure of speed.
const patience = 20 * time.Second

// Take takes the next record from a watch, or fails.
func Take(t testing.TB, from <-chan cellar.Record) cellar.Record {
	t.Helper()
	select {
	case rec, open := <-from:
		require.True(t, open, "the watch ended")
		return rec
	case <-time.After(patience):
		require.FailNow(t, "nothing came from the watch")
		return cellar.Record{}
	}
}

// requireEnd says that a watch ends, whatever it still delivers before.
func requireEnd(t testing.TB, from <-chan cellar.Record) {
	t.Helper()
	late := time.After(patience)
	for {
		select {
		case _, open := <-from:
			if !open {
				return
			}
		case <-late:
			require.FailNow(t, "the watch did not end")
		}
	}
}

func (s *suite) watchNoGap(t *testing.T, j cellar.Journal) {
	const before, during, watchers = 40, 160, 3
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	Fill(t, j, 0, before)
	var wg sync.WaitGroup
	for w := range watchers {
		from := 1 + w*before/2 // from the first, from the middle, from the end
		feed, err := j.Watch(ctx, cellar.Seq(from))
		require.NoError(t, err)
		wg.Go(func() {
			for n := from; n <= before+during; n++ {
				rec, open := <-feed
				if !open || rec.Seq != cellar.Seq(n) {
					t.Errorf("watcher %d: record %d came (open: %t) where %d was due", w, rec.Seq, open, n)
					return
				}
			}
		})
	}
	for n := before; n < before+during; n += 2 { // units of two come one by one
		_, err := j.Append(context.Background(), cellar.Seq(n), Record(n+1), Record(n+2))
		require.NoError(t, err)
	}
	wg.Wait()
}

func (s *suite) watchFrom(t *testing.T, j cellar.Journal) {
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	all, err := j.Watch(ctx, 0)
	require.NoError(t, err)
	ahead, err := j.Watch(ctx, 4)
	require.NoError(t, err)
	Fill(t, j, 0, 5)
	for n := 1; n <= 5; n++ {
		RequireFilled(t, []cellar.Record{Take(t, all)}, n)
	}
	RequireFilled(t, []cellar.Record{Take(t, ahead), Take(t, ahead)}, 4)
}

func (s *suite) watchSlow(t *testing.T, j cellar.Journal) {
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	frozen, err := j.Watch(ctx, 0)
	require.NoError(t, err)
	quick, err := j.Watch(ctx, 0)
	require.NoError(t, err)
	for n := range 300 { // nobody takes from frozen
		Fill(t, j, n, n+1)
		require.Equal(t, cellar.Seq(n+1), Take(t, quick).Seq)
	}
	for n := 1; n <= 300; n++ {
		RequireFilled(t, []cellar.Record{Take(t, frozen)}, n)
	}
}

func (s *suite) watchEnds(t *testing.T, j cellar.Journal) {
	ctx, cancel := context.WithCancel(context.Background())
	waiting, err := j.Watch(ctx, 0)
	require.NoError(t, err)
	cancel()
	requireEnd(t, waiting)

	Fill(t, j, 0, 5)
	ctx, cancel = context.WithCancel(context.Background())
	midway, err := j.Watch(ctx, 0)
	require.NoError(t, err)
	Take(t, midway)
	cancel()
	requireEnd(t, midway)

	blocked, err := j.Watch(context.Background(), 0)
	require.NoError(t, err)
	idle, err := j.Watch(context.Background(), 6)
	require.NoError(t, err)
	require.NoError(t, j.Close())
	requireEnd(t, blocked)
	requireEnd(t, idle)
}
