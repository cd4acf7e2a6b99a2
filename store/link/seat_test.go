package link_test

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"runtime"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/subject"
	"cellar.example/mustwatch/store/journal"
	"cellar.example/mustwatch/store/link"
	"cellar.example/mustwatch/store/memory"
	"cellar.example/mustwatch/store/storetest"
)

// house is a journal in a file, and the boards that have it one after the other.
type house struct {
	t    *testing.T
	path string
}

func newHouse(t *testing.T) *house {
	t.Helper()
	h := &house{t, filepath.Join(t.TempDir(), "c.db")}
	require.NoError(t, journal.Create(h.path, journal.Info{Kind: journal.Real, Created: storetest.Evening}))
	return h
}

// kept is what a board has: the file, and the serving of it.
type kept struct {
	*journal.Journal
	*link.Server
}

func (k *kept) Close() error { return errors.Join(k.Server.Close(), k.Journal.Close()) }

func (h *house) keep(station string) (*kept, error) {
	j, err := journal.Open(h.path, journal.Options{Station: station, Timeout: 50 * time.Millisecond})
	if err != nil {
		return nil, err
	}
	s, err := link.Serve(h.path, j, link.Hello{Journal: j.Info().ID, Station: station}, j.Head)
	if err != nil {
		return nil, errors.Join(err, j.Close())
	}
	return &kept{j, s}, nil
}

// screen joins, and takes the journal over when it can.
func (h *house) screen(station string) *link.Seat {
	h.t.Helper()
	c, err := link.Dial(h.path)
	require.NoError(h.t, err)
	s := link.NewSeat(c, func(link.Known) (cellar.Journal, error) {
		k, err := h.keep(station)
		if err != nil {
			return nil, err
		}
		return k, nil
	})
	h.t.Cleanup(func() { _ = s.Close() })
	return s
}

func taken(s *link.Seat) bool {
	select {
	case <-s.Taken():
		return true
	default:
		return false
	}
}

// The port's promises hold at a seat by way of a board, and on the file it has taken.
func TestItem17ConformanceOfASeat(t *testing.T) {
	for _, over := range []bool{false, true} {
		t.Run(fmt.Sprintf("taken over %t", over), func(t *testing.T) {
			storetest.Run(t, func(t *testing.T) cellar.Journal {
				h := newHouse(t)
				board, err := h.keep("desk")
				require.NoError(t, err)
				t.Cleanup(func() { _ = board.Close() })
				s := h.screen("hall")
				if over {
					require.NoError(t, board.Close())
					<-s.Taken()
				}
				return s
			})
		})
	}
}

// When the board ends, one of the screens that have joined takes the journal over, and
// only one; what is written there comes to the others without a gap, and the next one
// takes over from it.
func TestItem17OneTakesOverTheOthersFollow(t *testing.T) {
	h := newHouse(t)
	board, err := h.keep("desk")
	require.NoError(t, err)
	const many = 4
	var screens []*link.Seat
	var watches []<-chan cellar.Record
	for n := range many {
		s := h.screen(fmt.Sprint("screen ", n))
		w, err := s.Watch(t.Context(), 1)
		require.NoError(t, err)
		screens, watches = append(screens, s), append(watches, w)
	}
	entries := 0
	write := func(s cellar.Journal) {
		t.Helper()
		require.Eventually(t, func() bool { // it may be on the way from one board to the next
			_, err := s.Append(t.Context(), cellar.Seq(entries), storetest.Record(entries+1))
			return err == nil
		}, time.Minute, 10*time.Millisecond)
		entries++
		for i, w := range watches {
			require.Equal(t, cellar.Seq(entries), storetest.Take(t, w).Seq, "screen %d", i)
		}
	}
	write(board)
	write(screens[0])
	closeIt := board.Close
	for len(screens) > 0 {
		ended := time.Now()
		require.NoError(t, closeIt())
		keeper := -1
		require.Eventually(t, func() bool {
			for i, s := range screens {
				if taken(s) {
					keeper = i
				}
			}
			return keeper >= 0
		}, time.Minute, time.Millisecond)
		require.Less(t, time.Since(ended), 3*time.Second)
		for _, s := range screens { // whoever writes, all see it
			write(s)
		}
		n := 0
		for _, s := range screens {
			if taken(s) {
				n++
			}
		}
		require.Equal(t, 1, n, "two have the journal")
		closeIt = screens[keeper].Close
		screens = append(screens[:keeper:keeper], screens[keeper+1:]...)
		watches = append(watches[:keeper:keeper], watches[keeper+1:]...)
	}
	require.NoError(t, closeIt())
	j, err := journal.Open(h.path, journal.Options{})
	require.NoError(t, err)
	defer j.Close()
	require.NoError(t, j.Verify(t.Context()))
	storetest.RequireFilled(t, storetest.Collect(t, j, 1), 1)
	require.Len(t, storetest.Collect(t, j, 1), entries)
}

// However fast screens write while the board changes hands, each entry stands once.
func TestItem17NothingIsLostOrWrittenTwice(t *testing.T) {
	h := newHouse(t)
	board, err := h.keep("desk")
	require.NoError(t, err)
	const screens, each = 3, 30
	var all sync.WaitGroup
	var seats []*link.Seat
	for n := range screens {
		s := h.screen(fmt.Sprint("screen ", n))
		seats = append(seats, s)
		all.Go(func() {
			again := func(context.Context, int) bool { time.Sleep(5 * time.Millisecond); return true }
			desk := cellar.Desk{Journal: s, State: cellar.NewState(), Station: "hall", Again: again}
			for i := 0; i < each; {
				note := &cellar.WriteNote{Head: cellar.Head{By: "MA"}, Subject: subject.Bare("chiller"),
					Text: fmt.Sprintf("%d from %d", i, n)}
				_, err := desk.Write(t.Context(), note, storetest.Evening)
				switch {
				case err == nil:
					i++
				case errors.Is(err, link.ErrGone): // nothing was sent; a person tries again
					time.Sleep(5 * time.Millisecond)
				default:
					t.Errorf("entry %d at %d: %v", i, n, err)
					return
				}
			}
		})
	}
	time.Sleep(50 * time.Millisecond) // somewhere in the middle
	require.NoError(t, board.Close())
	all.Wait()
	seen := map[string]int{}
	for _, r := range storetest.Collect(t, seats[0], 1) {
		seen[storetest.Text(t, r)]++
	}
	require.Len(t, seen, screens*each)
	for text, n := range seen {
		require.Equal(t, 1, n, text)
	}
}

// What a screen knows is held against the file before it goes on with it; a board that
// runs is left alone, and so is what is not to be had.
func TestItem17WhatIsNotTakenOver(t *testing.T) {
	path := filepath.Join(t.TempDir(), "c.db")
	j := memory.New()
	storetest.Fill(t, j, 0, 3)
	s, err := link.Serve(path, j, link.Hello{Journal: "one", Station: "desk"}, func() (cellar.Seq, string) {
		return 3,
			"cafe"
	})
	require.NoError(t, err)
	c, err := link.Dial(path)
	require.NoError(t, err)
	var mu sync.Mutex
	var asked []link.Known
	refuse := errors.New("another journal lies there")
	seat := link.NewSeat(c, func(k link.Known) (cellar.Journal, error) {
		mu.Lock()
		defer mu.Unlock()
		asked = append(asked, k)
		return nil, refuse
	})
	require.Len(t, storetest.Collect(t, seat, 2), 2)
	s.Beat(storetest.Evening)
	time.Sleep(3 * 100 * time.Millisecond)
	mu.Lock()
	require.Empty(t, asked, "the board runs")
	mu.Unlock()
	require.NoError(t, seat.Why())
	require.NoError(t, s.Close())
	require.Eventually(t, func() bool { return errors.Is(seat.Why(), refuse) }, time.Minute, time.Millisecond)
	mu.Lock()
	k := asked[0]
	mu.Unlock()
	require.Equal(t, "one", k.Journal)
	require.Equal(t, cellar.Seq(3), k.Seq)
	require.Equal(t, cellar.Seq(3), k.Told)
	require.Equal(t, "cafe", k.Head)
	require.True(t, cellar.SameRecord(storetest.Record(3), k.Last))
	require.False(t, taken(seat))
	_, err = seat.Append(t.Context(), 3, storetest.Record(4))
	require.ErrorIs(t, err, link.ErrGone)

	s, err = link.Serve(path, j, link.Hello{Journal: "one", Station: "rack"}, nil)
	require.NoError(t, err)
	defer s.Close()
	require.Eventually(t, func() bool { return seat.Why() == nil }, time.Minute, time.Millisecond, "a board is back")
	require.Equal(t, "rack", c.Hello().Station)
	storetest.Fill(t, seat, 3, 4)
	require.NoError(t, seat.Close())
}

// Nothing of a seat stays behind, wherever it ends.
func TestItem17ASeatEnds(t *testing.T) {
	h := newHouse(t)
	before := runtime.NumGoroutine()
	for n := range 12 {
		board, err := h.keep("desk")
		require.NoError(t, err)
		s := h.screen("hall")
		_, err = s.Watch(t.Context(), 1)
		require.NoError(t, err)
		closed := make(chan error, 1)
		go func() { closed <- board.Close() }()
		time.Sleep(time.Duration(n) * 80 * time.Millisecond) // from before it looks until after it has it
		require.NoError(t, s.Close())
		require.NoError(t, <-closed)
	}
	require.Eventually(t, func() bool { return runtime.NumGoroutine() <= before+2 }, time.Minute, 10*time.Millisecond)
}
