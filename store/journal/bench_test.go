package journal

import (
	"context"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"go.etcd.io/bbolt"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/store/codec"
	"cellar.example/mustwatch/store/storetest"
)

// rawStore is bbolt with nothing around it, the measure for an append.
func rawStore(b *testing.B) *bbolt.DB {
	b.Helper()
	db, err := bbolt.Open(filepath.Join(b.TempDir(), "raw.db"), 0o600, nil)
	require.NoError(b, err)
	b.Cleanup(func() { _ = db.Close() })
	require.NoError(b, db.Update(func(tx *bbolt.Tx) error {
		_, err := tx.CreateBucket(recordsBucket)
		return err
	}))
	return db
}

// BenchmarkAppend alternates an append with a raw put and commit of the same
// bytes, so that both see the same disk, and reports the medians and their
// ratio. The target is a ratio of at most 1.25.
func BenchmarkAppend(b *testing.B) {
	db := rawStore(b)
	j, err := Open(fresh(b), Options{})
	require.NoError(b, err)
	defer j.Close()
	var ours, raw []time.Duration
	var prev codec.Hash
	for b.Loop() {
		rec := storetest.Record(len(ours) + 1)
		rec.Seq = cellar.Seq(len(ours) + 1)
		sealed, hash, err := codec.Encode(rec, prev)
		require.NoError(b, err)
		prev = hash

		began := time.Now()
		_, err = j.Append(context.Background(), rec.Seq-1, rec)
		ours = append(ours, time.Since(began))
		require.NoError(b, err)

		began = time.Now()
		err = db.Update(func(tx *bbolt.Tx) error { return tx.Bucket(recordsBucket).Put(key(rec.Seq), sealed) })
		raw = append(raw, time.Since(began))
		require.NoError(b, err)
	}
	b.ReportMetric(float64(median(ours))/float64(median(raw)), "x-raw")
	b.ReportMetric(float64(median(ours).Microseconds()), "µs/append")
	b.ReportMetric(float64(median(raw).Microseconds()), "µs/raw")
}

func median(d []time.Duration) time.Duration {
	d = slices.Clone(d)
	slices.Sort(d)
	return d[len(d)/2]
}

// big is a journal of a harvest, written in few commits.
func big(b *testing.B, n int) string {
	b.Helper()
	path := fresh(b)
	j, err := Open(path, Options{})
	require.NoError(b, err)
	const unit = 10_000
	recs := make([]cellar.Record, 0, unit)
	for done := 0; done < n; done += len(recs) {
		recs = recs[:0]
		for i := range min(unit, n-done) {
			recs = append(recs, storetest.Record(done+i+1))
		}
		_, err := j.Append(context.Background(), cellar.Seq(done), recs...)
		require.NoError(b, err)
	}
	require.NoError(b, j.Close())
	return path
}

const harvest = 100_000

// BenchmarkReplay reads a harvest of records, decoded and checked.
func BenchmarkReplay(b *testing.B) {
	j, err := Open(big(b, harvest), Options{ReadOnly: true})
	require.NoError(b, err)
	defer j.Close()
	for b.Loop() {
		n := 0
		require.NoError(b, j.Read(context.Background(), 0, func(cellar.Record) error { n++; return nil }))
		require.Equal(b, harvest, n)
	}
	b.ReportMetric(float64(harvest)*float64(b.N)/b.Elapsed().Seconds(), "records/s")
}

// BenchmarkScan goes over the same records with a bare cursor, the measure for a
// replay.
func BenchmarkScan(b *testing.B) {
	j, err := Open(big(b, harvest), Options{ReadOnly: true})
	require.NoError(b, err)
	defer j.Close()
	for b.Loop() {
		require.NoError(b, j.db.View(func(tx *bbolt.Tx) error {
			return tx.Bucket(recordsBucket).ForEach(func(_, _ []byte) error { return nil })
		}))
	}
	b.ReportMetric(float64(harvest)*float64(b.N)/b.Elapsed().Seconds(), "records/s")
}

// BenchmarkVerify walks the chain and every page of a harvest.
func BenchmarkVerify(b *testing.B) {
	j, err := Open(big(b, harvest), Options{ReadOnly: true})
	require.NoError(b, err)
	defer j.Close()
	for b.Loop() {
		require.NoError(b, j.Verify(context.Background()))
	}
	b.ReportMetric(float64(harvest)*float64(b.N)/b.Elapsed().Seconds(), "records/s")
}

// BenchmarkOpen opens journals of two sizes: it must hardly grow with them.
func BenchmarkOpen(b *testing.B) {
	for name, n := range map[string]int{"1k": 1_000, "100k": harvest} {
		b.Run(name, func(b *testing.B) {
			path := big(b, n)
			for b.Loop() {
				j, err := Open(path, Options{})
				require.NoError(b, err)
				require.NoError(b, j.Close())
			}
		})
	}
}
