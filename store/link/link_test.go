package link_test

import (
	"context"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"net"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/subject"
	"cellar.example/mustwatch/store/link"
	"cellar.example/mustwatch/store/memory"
	"cellar.example/mustwatch/store/storetest"
)

// served is a journal with a board that serves it, and a screen that has joined.
func served(t *testing.T) (*memory.Journal, *link.Server, *link.Client, string) {
	t.Helper()
	path := filepath.Join(t.TempDir(), "c.db")
	j := memory.New()
	s, err := link.Serve(path, j, link.Hello{Journal: "one", Station: "desk"}, nil)
	require.NoError(t, err)
	t.Cleanup(func() { _ = s.Close() })
	c, err := link.Dial(path)
	require.NoError(t, err)
	t.Cleanup(func() { _ = c.Close() })
	return j, s, c, path
}

// The port's promises hold through the link as they do on the file.
func TestConformance(t *testing.T) {
	storetest.Run(t, func(t *testing.T) cellar.Journal {
		_, _, c, _ := served(t)
		return c
	})
}

func TestNoBoardServes(t *testing.T) {
	_, err := link.Dial(filepath.Join(t.TempDir(), "c.db"))
	require.ErrorIs(t, err, link.ErrGone)
}

func TestWhatOneScreenWritesTheOtherSees(t *testing.T) {
	j, _, c, path := served(t)
	other, err := link.Dial(path)
	require.NoError(t, err)
	defer other.Close()
	recs, err := other.Watch(t.Context(), 1)
	require.NoError(t, err)
	own, err := j.Watch(t.Context(), 1)
	require.NoError(t, err)
	storetest.Fill(t, c, 0, 3)
	for n := range 3 {
		require.Equal(t, cellar.Seq(n+1), storetest.Take(t, recs).Seq)
		require.Equal(t, cellar.Seq(n+1), storetest.Take(t, own).Seq)
	}
	_, err = c.Append(t.Context(), 1, storetest.Record(9))
	require.ErrorIs(t, err, cellar.ErrConflict)
	require.Contains(t, err.Error(), "the journal ends at 3")
}

func TestBeats(t *testing.T) {
	_, s, c, _ := served(t)
	at, _ := c.Heard()
	require.True(t, at.IsZero())
	require.False(t, c.Wait(time.Millisecond))
	s.Beat(storetest.Evening)
	require.True(t, c.Wait(10*time.Second))
	at, ago := c.Heard()
	require.True(t, at.Equal(storetest.Evening))
	require.Less(t, ago, 10*time.Second)
}

// TestTrustRow09TheBoardComesBack: a screen outlives its board, knows that nothing
// was heard, writes nothing meanwhile, and goes on without a gap.
func TestTrustRow09TheBoardComesBack(t *testing.T) {
	j, s, c, path := served(t)
	recs, err := c.Watch(t.Context(), 1)
	require.NoError(t, err)
	storetest.Fill(t, j, 0, 2)
	storetest.Take(t, recs)
	storetest.Take(t, recs)
	s.Beat(storetest.Evening)
	require.True(t, c.Wait(10*time.Second))

	require.NoError(t, s.Close())
	_, err = c.Append(t.Context(), 2, storetest.Record(3))
	require.ErrorIs(t, err, link.ErrGone)
	require.ErrorIs(t, c.Read(t.Context(), 1, func(cellar.Record) error { return nil }), link.ErrGone)
	_, before := c.Heard()
	storetest.Fill(t, j, 2, 3)

	s, err = link.Serve(path, j, link.Hello{Journal: "one", Station: "desk"}, nil)
	require.NoError(t, err)
	defer s.Close()
	require.Equal(t, cellar.Seq(3), storetest.Take(t, recs).Seq)
	_, after := c.Heard()
	require.Greater(t, after, before, "nothing was heard since")
	s.Beat(storetest.Evening.Add(time.Hour))
	require.Eventually(t, func() bool {
		at, _ := c.Heard()
		return at.Equal(storetest.Evening.Add(time.Hour))
	}, 20*time.Second, 10*time.Millisecond)
	storetest.Fill(t, c, 3, 4)
}

// TestTrustRow09FrozenScreen: one that takes nothing any more costs the board
// nothing, however much is written, and does not keep it from ending.
func TestTrustRow09FrozenScreen(t *testing.T) {
	j, s, c, path := served(t)
	frozen, err := net.Dial("unix", link.Path(path))
	require.NoError(t, err)
	defer frozen.Close()
	send(t, frozen, `{"protocol":1,"do":"watch","from":1}`)
	const many = 5_000 // more than a socket holds
	for n := 0; n < many; n += 100 {
		storetest.Fill(t, j, n, n+100)
		s.Beat(storetest.Evening.Add(time.Duration(n) * time.Second))
	}
	last := 0
	require.NoError(t, c.Read(t.Context(), 1, func(r cellar.Record) error { last = int(r.Seq); return nil }))
	require.Equal(t, many, last)
	require.NoError(t, s.Close())
}

// send is a request as a stranger might make it.
func send(t *testing.T, c net.Conn, payload string) {
	t.Helper()
	b := binary.BigEndian.AppendUint32([]byte{'Q'}, uint32(len(payload)))
	_, err := c.Write(append(b, payload...))
	require.NoError(t, err)
}

// What is no request of ours is let go, and harms nobody.
func TestGarbageOnTheSocket(t *testing.T) {
	j, s, c, path := served(t)
	for _, text := range []string{"", "GET / HTTP/1.1\r\n\r\n", "Q\xff\xff\xff\xff", "Q\x00\x00\x00\x02{}",
		"Q\x00\x00\x00\x01{"} {
		x, err := net.Dial("unix", link.Path(path))
		require.NoError(t, err)
		_, err = x.Write([]byte(text))
		require.NoError(t, err)
		require.NoError(t, x.Close())
	}
	for _, ask := range []string{`{"protocol":1,"do":"drop"}`, `{"protocol":1,"do":"append"}`,
		`{"protocol":1,"do":"append","count":-1}`, `{"protocol":1,"do":"append","count":99999999}`,
		`{"protocol":7,"do":"read"}`} {
		x, err := net.Dial("unix", link.Path(path))
		require.NoError(t, err)
		send(t, x, ask)
		all, err := io.ReadAll(x)
		require.NoError(t, err)
		require.Contains(t, string(all), `"code":`, ask)
		require.NoError(t, x.Close())
	}
	s.Beat(storetest.Evening)
	storetest.Fill(t, c, 0, 2)
	require.Len(t, storetest.Collect(t, j, 1), 2)
}

// A path that no socket can have is said, not passed over.
func TestAPathTooLong(t *testing.T) {
	_, err := link.Serve(filepath.Join(t.TempDir(), strings.Repeat("x", 200)), memory.New(), link.Hello{}, nil)
	require.Error(t, err)
}

// Another journal at the same place is not taken for the one that was joined.
func TestAnotherJournalIsNotTakenForIt(t *testing.T) {
	_, s, c, path := served(t)
	recs, err := c.Watch(t.Context(), 1)
	require.NoError(t, err)
	require.NoError(t, s.Close())
	s, err = link.Serve(path, memory.New(), link.Hello{Journal: "two"}, nil)
	require.NoError(t, err)
	defer s.Close()
	_, open := <-recs
	require.False(t, open)
	_, err = c.Append(t.Context(), 0, storetest.Record(1))
	require.ErrorIs(t, err, cellar.ErrDamaged)
}

// dies is a journal whose board goes once an append has been written and before it
// is answered, or before it is written.
type dies struct {
	*memory.Journal
	writes bool
	gone   chan struct{}
	once   sync.Once
}

func (d *dies) Append(ctx context.Context, after cellar.Seq, recs ...cellar.Record) (seq cellar.Seq, err error) {
	first := false
	d.once.Do(func() { first = true })
	if first && d.writes {
		_, err = d.Journal.Append(ctx, after, recs...)
	} else if !first {
		return d.Journal.Append(ctx, after, recs...)
	}
	close(d.gone)
	<-ctx.Done()
	time.Sleep(100 * time.Millisecond) // the board lets its screens go at once
	return 0, errors.Join(err, ctx.Err())
}

// TestTrustRow11TheBoardGoesInTheMiddle: an entry whose board goes before it answers
// stands once when the board is back, whether it had been written or not.
func TestTrustRow11TheBoardGoesInTheMiddle(t *testing.T) {
	for _, writes := range []bool{true, false} {
		path := filepath.Join(t.TempDir(), "c.db")
		d := &dies{Journal: memory.New(), writes: writes, gone: make(chan struct{})}
		s, err := link.Serve(path, d, link.Hello{Journal: "one"}, nil)
		require.NoError(t, err)
		c, err := link.Dial(path)
		require.NoError(t, err)
		back := make(chan *link.Server, 1)
		go func() {
			<-d.gone
			_ = s.Close()
			again, _ := link.Serve(path, d, link.Hello{Journal: "one"}, nil)
			back <- again
		}()
		desk := cellar.Desk{Journal: c, State: cellar.NewState(), Station: "hall", Again: func(context.Context,
			int) bool {
			time.Sleep(time.Millisecond)
			return true
		}}
		recs, wrote := desk.Write(t.Context(), &cellar.WriteNote{Head: cellar.Head{By: "MA"},
			Subject: subject.Bare("chiller"), Text: "runs loud"}, storetest.Evening)
		require.NoError(t, wrote)
		require.Len(t, recs, 1)
		require.Equal(t, cellar.Seq(1), recs[0].Seq)
		require.Len(t, storetest.Collect(t, d, 1), 1)
		require.NoError(t, c.Close())
		require.NoError(t, (<-back).Close())
	}
}

// Whoever enters at several screens at once, however fast, enters all of it.
func TestTrustRow11Flood(t *testing.T) {
	j, _, _, path := served(t)
	const screens, entries = 4, 60
	var all sync.WaitGroup
	for n := range screens {
		c, err := link.Dial(path)
		require.NoError(t, err)
		all.Go(func() {
			defer c.Close()
			desk := cellar.Desk{Journal: c, State: cellar.NewState(), Station: "hall"}
			for i := range entries {
				note := &cellar.WriteNote{Head: cellar.Head{By: "MA"}, Subject: subject.Bare("chiller"),
					Text: fmt.Sprintf("%d from %d", i, n)}
				if _, err := desk.Write(t.Context(), note, storetest.Evening); err != nil {
					t.Errorf("entry %d at %d: %v", i, n, err)
					return
				}
			}
		})
	}
	all.Wait()
	require.Len(t, storetest.Collect(t, j, 1), screens*entries)
}

// Nor is an older copy of it.
func TestAnOlderCopyIsNotTakenForIt(t *testing.T) {
	path := filepath.Join(t.TempDir(), "c.db")
	serve := func(n int) *link.Server {
		j := memory.New()
		storetest.Fill(t, j, 0, n)
		s, err := link.Serve(path, j, link.Hello{Journal: "one"}, func() (cellar.Seq, string) {
			return cellar.Seq(n),
				"cafe"
		})
		require.NoError(t, err)
		return s
	}
	s := serve(5)
	c, err := link.Dial(path)
	require.NoError(t, err)
	defer c.Close()
	require.Len(t, storetest.Collect(t, c, 1), 5)
	require.NoError(t, s.Close())
	defer serve(3).Close()
	_, err = c.Append(t.Context(), 5, storetest.Record(6))
	require.ErrorIs(t, err, cellar.ErrDamaged)
	require.ErrorContains(t, err, "ends at 3")
}

// However often screens come, ask and go, and however many beats there were, nothing
// of it stays behind on the board or on a screen.
func TestNothingStaysBehind(t *testing.T) {
	_, s, c, path := served(t)
	storetest.Fill(t, c, 0, 20)
	round := func() {
		other, err := link.Dial(path)
		require.NoError(t, err)
		ctx, stop := context.WithCancel(t.Context())
		recs, err := other.Watch(ctx, 1)
		require.NoError(t, err)
		storetest.Take(t, recs)
		s.Beat(storetest.Evening)
		_, err = c.Greet()
		require.NoError(t, err)
		require.Len(t, storetest.Collect(t, c, 1), 20)
		_, err = c.Append(t.Context(), 3, storetest.Record(4))
		require.ErrorIs(t, err, cellar.ErrConflict)
		stop()
		require.NoError(t, other.Close())
	}
	round()
	before := runtime.NumGoroutine()
	for range 100 {
		round()
	}
	require.Eventually(t, func() bool { return runtime.NumGoroutine() <= before+4 }, time.Minute, 10*time.Millisecond)
}
