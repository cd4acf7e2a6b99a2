package main

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"go.etcd.io/bbolt"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/store/codec"
	"cellar.example/mustwatch/store/journal"
)

// season is the example's house with n readings of its tanks in its journal, two a
// minute; its clock stands behind the last.
func season(b testing.TB, n int) *bench {
	b.Helper()
	t, ok := b.(*testing.T)
	if !ok {
		t = &testing.T{}
	}
	x := benchIn(t, b.TempDir())
	x.house()
	h, err := hold(context.Background(), x.file("cellar.db"), journal.Options{})
	require.NoError(b, err)
	recs := make([]cellar.Record, 0, 10_000)
	for done := 0; done < n; done += len(recs) {
		recs = recs[:0]
		for range min(cap(recs), n-done) {
			recs = append(recs, x.reading(h.state, done+len(recs)))
		}
		_, err := h.Append(context.Background(), h.state.Seq+cellar.Seq(done), recs...)
		require.NoError(b, err)
	}
	require.NoError(b, h.Close())
	return x
}

func (b *bench) reading(s *cellar.State, n int) cellar.Record {
	b.clock = b.clock.Add(30 * time.Second)
	temp := quantity.Celsius(12 + float64(n%7)/10)
	all := s.Vessels()
	return cellar.Record{At: b.clock, Written: b.clock, By: "RV", Station: "enter",
		Fact: &cellar.WasRead{Vessel: all[n%len(all)].Number, Measured: cellar.Measured{Temp: &temp}}}
}

func middle(all []time.Duration) time.Duration {
	all = slices.Clone(all)
	slices.Sort(all)
	return all[len(all)/2]
}

// BenchmarkStart opens a journal of 100 000 records and folds it, by turns with a bare
// cursor that decodes the same records. The target is a ratio of at most 3.
func BenchmarkStart(b *testing.B) {
	x := season(b, 100_000)
	var ours, raw []time.Duration
	for b.Loop() {
		began := time.Now()
		h, err := hold(context.Background(), x.file("cellar.db"), journal.Options{})
		ours = append(ours, time.Since(began))
		require.NoError(b, err)
		require.NoError(b, h.Close())

		began = time.Now()
		require.NoError(b, decoded(x.file("cellar.db")))
		raw = append(raw, time.Since(began))
	}
	b.ReportMetric(float64(middle(ours))/float64(middle(raw)), "x-raw")
	b.ReportMetric(float64(middle(ours).Milliseconds()), "ms/start")
	b.ReportMetric(float64(middle(raw).Milliseconds()), "ms/raw")
}

// BenchmarkStartKept opens a journal of a million records of which the state was kept. The
// target is half a second.
func BenchmarkStartKept(b *testing.B) {
	x := season(b, 1_000_000)
	h, err := hold(context.Background(), x.file("cellar.db"), journal.Options{})
	require.NoError(b, err)
	require.NoError(b, h.letGo(nil))
	var all []time.Duration
	for b.Loop() {
		began := time.Now()
		h, err := hold(context.Background(), x.file("cellar.db"), journal.Options{})
		all = append(all, time.Since(began))
		require.NoError(b, err)
		require.Equal(b, h.state.Seq, h.kept)
		require.NoError(b, h.letGo(nil))
	}
	b.ReportMetric(float64(middle(all).Milliseconds()), "ms/start")
}

// decoded goes over a journal with a cursor and decodes every record but the first,
// which is chained to what only the journal knows.
func decoded(path string) error {
	db, err := bbolt.Open(path, 0o600, &bbolt.Options{ReadOnly: true})
	if err != nil {
		return err
	}
	defer db.Close()
	return db.View(func(tx *bbolt.Tx) error {
		c := tx.Bucket([]byte("records")).Cursor()
		_, first := c.First()
		prev, err := codec.HashOf(first)
		for k, v := c.Next(); k != nil && err == nil; k, v = c.Next() {
			_, prev, err = codec.Decode(v, prev)
		}
		return err
	})
}

// BenchmarkEnter writes 5 000 readings into a journal of 100 000, start and end of the
// program and all, by turns with as many commits of the same bytes into a bare store as
// large. The target is a ratio of at most 1.5.
func BenchmarkEnter(b *testing.B) {
	const lines, turn = 5_000, 100
	for b.Loop() {
		x := season(b, 100_000)
		h, err := hold(context.Background(), x.file("cellar.db"), journal.Options{})
		require.NoError(b, err)
		require.NoError(b, h.letGo(nil)) // as whatever had it open before has left it
		db, sealed := rawCopy(b, x.file("cellar.db"))
		in, say := io.Pipe()
		told := &counted{at: make(chan int, lines)}
		x.program.stdin, x.program.stdout = in, told
		ended := make(chan int)
		var ours, raw time.Duration
		began := time.Now()
		go func() {
			p := *x.program
			ended <- p.run(context.Background(), []string{"enter", "-v", "-"})
		}()
		for n := 0; n < lines; n += turn {
			for i := range turn {
				_, err := fmt.Fprintf(say, "{\"do\":\"reading\",\"by\":\"RV\",\"vessel\":\"%s\",\"temp\":\"12.%d "+
					"°C\",\"happened\":true}\n", []string{"S1", "S2", "S3", "F1"}[i%4], i%7)
				require.NoError(b, err)
			}
			for told.n < n+turn {
				told.n += <-told.at
			}
			ours += time.Since(began)
			raw += commits(b, db, sealed, turn)
			began = time.Now()
		}
		require.NoError(b, say.Close())
		code := <-ended
		ours += time.Since(began)
		require.Equal(b, endDone, code, x.err.String())
		b.ReportMetric(ours.Seconds()/raw.Seconds(), "x-raw")
		b.ReportMetric(ours.Seconds(), "s/enter")
		b.ReportMetric(raw.Seconds(), "s/raw")
	}
}

// counted tells how many lines have been said.
type counted struct {
	at chan int
	n  int
}

func (c *counted) Write(p []byte) (int, error) {
	c.at <- bytes.Count(p, []byte("\n"))
	return len(p), nil
}

// rawCopy is a bare store with the records of a journal in it, and the bytes of one.
func rawCopy(b *testing.B, path string) (db *bbolt.DB, sealed []byte) {
	b.Helper()
	db, err := bbolt.Open(filepath.Join(b.TempDir(), "raw.db"), 0o600, nil)
	require.NoError(b, err)
	b.Cleanup(func() { _ = db.Close() })
	from, err := bbolt.Open(path, 0o600, &bbolt.Options{ReadOnly: true})
	require.NoError(b, err)
	defer from.Close()
	require.NoError(b, from.View(func(tx *bbolt.Tx) error {
		return db.Update(func(to *bbolt.Tx) error {
			records, err := to.CreateBucket([]byte("records"))
			if err != nil {
				return err
			}
			return tx.Bucket([]byte("records")).ForEach(func(k, v []byte) error {
				sealed = slices.Clone(v)
				return records.Put(k, v)
			})
		})
	}))
	return db, sealed
}

func commits(b *testing.B, db *bbolt.DB, sealed []byte, n int) time.Duration {
	began := time.Now()
	for range n {
		require.NoError(b, db.Update(func(tx *bbolt.Tx) error {
			records := tx.Bucket([]byte("records"))
			seq, _ := records.NextSequence()
			return records.Put([]byte(fmt.Sprintf("\xff%07d", seq)), sealed)
		}))
	}
	return time.Since(began)
}
