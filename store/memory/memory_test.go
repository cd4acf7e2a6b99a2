package memory

import (
	"context"
	"errors"
	"os"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/store/storetest"
)

func TestConformance(t *testing.T) {
	storetest.Run(t, func(*testing.T) cellar.Journal { return New() })
}

// outcome is what an append in a goroutine of its own came to.
type outcome struct {
	seq cellar.Seq
	err error
}

func appendLater(ctx context.Context, j *Journal, after cellar.Seq, recs ...cellar.Record) <-chan outcome {
	done := make(chan outcome, 1)
	go func() {
		seq, err := j.Append(ctx, after, recs...)
		done <- outcome{seq, err}
	}()
	return done
}

func TestFailNext(t *testing.T) {
	j := New()
	full := errors.New("no space left")
	j.FailNext(full)
	_, err := j.Append(context.Background(), 7, storetest.Record(1))
	require.ErrorIs(t, err, cellar.ErrConflict, "a failure waits for an append that would succeed")
	_, err = j.Append(context.Background(), 0, storetest.Record(1))
	require.ErrorIs(t, err, full)
	require.Empty(t, storetest.Collect(t, j, 0))
	storetest.Fill(t, j, 0, 2)

	j.FailNext(full)
	j.FailNext(nil)
	storetest.Fill(t, j, 2, 3)
}

func TestHoldKeepsAnAppendInFlight(t *testing.T) {
	j := New()
	arrived := j.Hold()
	done := appendLater(context.Background(), j, 0, storetest.Record(1))
	<-arrived
	require.Empty(t, storetest.Collect(t, j, 0), "reading goes on, and nothing is there yet")
	require.Empty(t, done)
	j.Release()
	require.Equal(t, outcome{seq: 1}, <-done)
	storetest.Fill(t, j, 1, 2) // the gate stays open
}

func TestHeldAppendsConflict(t *testing.T) {
	j := New()
	arrived := j.Hold()
	require.Equal(t, arrived, j.Hold(), "holding twice is one holding")
	one := appendLater(context.Background(), j, 0, storetest.Record(1))
	two := appendLater(context.Background(), j, 0, storetest.Record(1))
	<-arrived
	<-arrived
	j.Release()
	a, b := <-one, <-two
	if a.err != nil {
		a, b = b, a
	}
	require.Equal(t, outcome{seq: 1}, a)
	require.ErrorIs(t, b.err, cellar.ErrConflict)
}

func TestHeldAppendEndsWithItsContext(t *testing.T) {
	j := New()
	arrived := j.Hold()
	ctx, cancel := context.WithCancel(context.Background())
	done := appendLater(ctx, j, 0, storetest.Record(1))
	<-arrived
	cancel()
	require.ErrorIs(t, (<-done).err, context.Canceled)
	j.Release()
	require.Empty(t, storetest.Collect(t, j, 0))
}

func TestHeldAppendEndsWithTheJournal(t *testing.T) {
	j := New()
	arrived := j.Hold()
	done := appendLater(context.Background(), j, 0, storetest.Record(1))
	<-arrived
	require.NoError(t, j.Close())
	require.ErrorIs(t, (<-done).err, os.ErrClosed)
}

func TestHeldAppendCanBeMadeToFail(t *testing.T) {
	j := New()
	arrived := j.Hold()
	done := appendLater(context.Background(), j, 0, storetest.Record(1))
	<-arrived
	torn := errors.New("torn out")
	j.FailNext(torn)
	j.Release()
	require.ErrorIs(t, (<-done).err, torn)
}

func TestReleaseWithoutHold(t *testing.T) {
	j := New()
	j.Release()
	storetest.Fill(t, j, 0, 1)
}

func TestPulse(t *testing.T) {
	var p Pulse
	_, ok := p.Last()
	require.False(t, ok)
	at := storetest.Evening.In(time.FixedZone("", 7200)).Add(300 * time.Millisecond)
	require.NoError(t, p.Beat(at))
	last, ok := p.Last()
	require.True(t, ok)
	require.Equal(t, storetest.Evening, last)
}
