package storetest

import (
	"context"
	"errors"
	"os"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/cellar"
)

// Open makes an empty journal for one test.
type Open func(t *testing.T) cellar.Journal

// Option adds to what Run tests.
type Option func(*suite)

// Reopen names the way to a journal's content after it was closed, for those
// that outlive a Close.
func Reopen(again func(t *testing.T, closed cellar.Journal) cellar.Journal) Option {
	return func(s *suite) { s.again = again }
}

type suite struct {
	open  Open
	again func(t *testing.T, closed cellar.Journal) cellar.Journal
}

// Run tests everything that the port promises. Each test gets a journal of its
// own and closes it.
func Run(t *testing.T, open Open, options ...Option) {
	s := suite{open: open}
	for _, add := range options {
		add(&s)
	}
	for _, test := range []struct {
		name string
		run  func(*testing.T, cellar.Journal)
	}{
		{"an empty journal has nothing to read", s.empty},
		{"records are read in order from any sequence", s.order},
		{"a decision on an old head is refused", s.conflict},
		{"of many at once one wins", s.contest},
		{"several records are one unit", s.atomic},
		{"nothing to append is an error", s.nothing},
		{"instants are whole seconds in UTC", s.instants},
		{"text of any kind comes back", s.texts},
		{"a record is not shared with its writer or its readers", s.notShared},
		{"reading stops at the reader's error", s.readStops},
		{"a reader may append", s.readAppends},
		{"an ended context does nothing", s.ended},
		{"watching misses nothing", s.watchNoGap},
		{"watching begins anywhere", s.watchFrom},
		{"a slow watcher holds up nobody", s.watchSlow},
		{"watching ends with its context or the journal", s.watchEnds},
		{"closing twice does nothing", s.closeTwice},
		{"a closed journal refuses", s.closed},
		{"what was appended is there again", s.durable},
	} {
		t.Run(test.name, func(t *testing.T) {
			j := s.open(t)
			t.Cleanup(func() { require.NoError(t, j.Close()) })
			test.run(t, j)
		})
	}
}

func (s *suite) empty(t *testing.T, j cellar.Journal) {
	require.Empty(t, Collect(t, j, 0))
	require.Empty(t, Collect(t, j, 1))
	require.Empty(t, Collect(t, j, 7))
}

func (s *suite) order(t *testing.T, j cellar.Journal) {
	const n = 1200 // more than any store takes in one go
	recs := make([]cellar.Record, n)
	for i := range recs {
		recs[i] = Record(i + 1)
		recs[i].Seq = 99 // ignored
	}
	last, err := j.Append(context.Background(), 0, recs...)
	require.NoError(t, err)
	require.Equal(t, cellar.Seq(n), last)
	for _, from := range []int{0, 1, 2, 511, 512, 513, n - 1, n, n + 1, n + 50} {
		got := Collect(t, j, cellar.Seq(from))
		first := max(from, 1)
		require.Len(t, got, max(0, n-first+1), "from %d", from)
		RequireFilled(t, got, first)
	}
}

func (s *suite) conflict(t *testing.T, j cellar.Journal) {
	Fill(t, j, 0, 3)
	for _, after := range []cellar.Seq{0, 2, 4, 1 << 40} {
		seq, err := j.Append(context.Background(), after, Record(4))
		require.ErrorIs(t, err, cellar.ErrConflict, "after %d", after)
		require.Zero(t, seq)
	}
	require.Len(t, Collect(t, j, 0), 3)
	Fill(t, j, 3, 4)
}

func (s *suite) contest(t *testing.T, j cellar.Journal) {
	const rounds, writers = 20, 4
	for round := range rounds {
		var wg sync.WaitGroup
		errs := make(chan error, writers)
		for range writers {
			wg.Go(func() {
				_, err := j.Append(context.Background(), cellar.Seq(round), Record(round+1))
				errs <- err
			})
		}
		wg.Wait()
		close(errs)
		won := 0
		for err := range errs {
			if err == nil {
				won++
				continue
			}
			require.ErrorIs(t, err, cellar.ErrConflict)
		}
		require.Equal(t, 1, won)
	}
	got := Collect(t, j, 0)
	require.Len(t, got, rounds)
	RequireFilled(t, got, 1)
}

func (s *suite) atomic(t *testing.T, j cellar.Journal) {
	ctx := context.Background()
	bad := Record(3)
	bad.Fact = nil
	_, err := j.Append(ctx, 0, Record(1), Record(2), bad)
	require.Error(t, err)
	require.Empty(t, Collect(t, j, 0), "half of a unit was written")

	bad = Record(2)
	bad.At = time.Date(12026, 1, 1, 0, 0, 0, 0, time.UTC)
	_, err = j.Append(ctx, 0, Record(1), bad)
	require.Error(t, err)
	require.Empty(t, Collect(t, j, 0), "half of a unit was written")

	seq, err := j.Append(ctx, 0, Record(1), Record(2), Record(3))
	require.NoError(t, err)
	require.Equal(t, cellar.Seq(3), seq)
	RequireFilled(t, Collect(t, j, 0), 1)
}

func (s *suite) nothing(t *testing.T, j cellar.Journal) {
	_, err := j.Append(context.Background(), 0)
	require.Error(t, err)
	require.NotErrorIs(t, err, cellar.ErrConflict)
}

func (s *suite) instants(t *testing.T, j cellar.Journal) {
	rec := Record(1)
	zone := time.FixedZone("", -3*3600)
	rec.At = Evening.In(zone).Add(999 * time.Millisecond)
	rec.Written = time.Now() // with a monotonic reading
	_, err := j.Append(context.Background(), 0, rec)
	require.NoError(t, err)
	got := Collect(t, j, 0)[0]
	require.Equal(t, Evening, got.At)
	require.Equal(t, rec.Written.UTC().Truncate(time.Second), got.Written)
}

func (s *suite) texts(t *testing.T, j cellar.Journal) {
	for i, text := range []string{
		"", "plain", "Säure 6,8 g/L – ½ Tank · \"süß\" \\ <b> & \u2028", "tab\tnew\nline\x00\x1b[31m", "日本",
		`","hash":"`,
	} {
		rec := Record(i + 1)
		rec.Fact, rec.Station, rec.Entry, rec.By = Note(text), text, text, cellar.Initials(text)
		_, err := j.Append(context.Background(), cellar.Seq(i), rec)
		require.NoError(t, err)
		got := Collect(t, j, cellar.Seq(i+1))[0]
		require.Equal(t, text, Text(t, got))
		require.Equal(t, text, got.Entry)
		require.Equal(t, cellar.Initials(text), got.By)
		if text != "" { // a store may give a record without a station its own
			require.Equal(t, text, got.Station)
		}
	}
}

func (s *suite) notShared(t *testing.T, j cellar.Journal) {
	note := Note("as it was").(*cellar.Noted)
	rec := Record(1)
	rec.Fact = note
	recs := []cellar.Record{rec}
	_, err := j.Append(context.Background(), 0, recs...)
	require.NoError(t, err)
	require.Zero(t, recs[0].Seq, "the caller's record was written to")
	note.Text = "changed by the writer"

	first := Collect(t, j, 0)[0]
	require.Equal(t, "as it was", Text(t, first))
	first.Fact.(*cellar.Noted).Text = "changed by a reader"
	require.Equal(t, "as it was", Text(t, Collect(t, j, 0)[0]))
}

func (s *suite) readStops(t *testing.T, j cellar.Journal) {
	Fill(t, j, 0, 5)
	enough := errors.New("enough")
	var seen []cellar.Seq
	err := j.Read(context.Background(), 2, func(rec cellar.Record) error {
		seen = append(seen, rec.Seq)
		if rec.Seq == 4 {
			return enough
		}
		return nil
	})
	require.Equal(t, enough, err)
	require.Equal(t, []cellar.Seq{2, 3, 4}, seen)
}

func (s *suite) readAppends(t *testing.T, j cellar.Journal) {
	Fill(t, j, 0, 3)
	next := 3
	err := j.Read(context.Background(), 1, func(cellar.Record) error {
		Fill(t, j, next, next+1)
		next++
		return nil
	})
	require.NoError(t, err)
	require.Equal(t, 6, next, "reading ends at what was the end when it began")
	require.Len(t, Collect(t, j, 0), 6)
}

func (s *suite) ended(t *testing.T, j cellar.Journal) {
	Fill(t, j, 0, 3)
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	_, err := j.Append(ctx, 3, Record(4))
	require.ErrorIs(t, err, context.Canceled)
	require.ErrorIs(t, j.Read(ctx, 0, func(cellar.Record) error { return nil }), context.Canceled)

	ctx, cancel = context.WithCancel(context.Background())
	var seen int
	err = j.Read(ctx, 0, func(cellar.Record) error {
		seen++
		cancel()
		return nil
	})
	require.ErrorIs(t, err, context.Canceled)
	require.Equal(t, 1, seen)
	require.Len(t, Collect(t, j, 0), 3)
}

func (s *suite) closeTwice(t *testing.T, j cellar.Journal) {
	Fill(t, j, 0, 1)
	require.NoError(t, j.Close())
	require.NoError(t, j.Close())
}

func (s *suite) closed(t *testing.T, j cellar.Journal) {
	Fill(t, j, 0, 1)
	require.NoError(t, j.Close())
	ctx := context.Background()
	_, err := j.Append(ctx, 1, Record(2))
	require.ErrorIs(t, err, os.ErrClosed)
	require.ErrorIs(t, j.Read(ctx, 0, func(cellar.Record) error { return nil }), os.ErrClosed)
	_, err = j.Watch(ctx, 0)
	require.ErrorIs(t, err, os.ErrClosed)
}

func (s *suite) durable(t *testing.T, j cellar.Journal) {
	if s.again == nil {
		t.Skip("this journal ends with its Close")
	}
	Fill(t, j, 0, 10)
	_, err := j.Append(context.Background(), 10, Record(11), Record(12))
	require.NoError(t, err)
	require.NoError(t, j.Close())

	again := s.again(t, j)
	t.Cleanup(func() { require.NoError(t, again.Close()) })
	got := Collect(t, again, 0)
	require.Len(t, got, 12)
	RequireFilled(t, got, 1)
	_, err = again.Append(context.Background(), 0, Record(13))
	require.ErrorIs(t, err, cellar.ErrConflict)
	Fill(t, again, 12, 14)
}
