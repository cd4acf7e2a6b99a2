package journal

import (
	"bytes"
	"context"
	"fmt"

	"go.etcd.io/bbolt"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/store/codec"
)

// batchLen is how many records are taken in one transaction: enough that the
// transaction costs nothing, few enough that an append never waits for long.
const batchLen = 512

// batchOf is how many records to take next of those from one to another. Both are
// bounded before they are narrowed: a damaged key can be any number.
func batchOf(from, to cellar.Seq) int { return int(min(batchLen, to-from+1)) }

// Read implements cellar.Journal. It ends at the record that was the last when
// it was called. fn runs outside of any transaction: it may take its time, and
// it may append.
func (j *Journal) Read(ctx context.Context, from cellar.Seq, fn func(cellar.Record) error) error {
	if j.isClosed() {
		return fmt.Errorf("read the journal: %w", errClosed)
	}
	if err := ctx.Err(); err != nil {
		return fmt.Errorf("read the journal: %w", err)
	}
	ahead := j.readAhead(max(from, 1), j.headNow().seq)
	defer ahead.stop()
	for {
		b, more := ahead.next()
		if !more {
			return nil
		}
		for _, rec := range b.recs {
			if err := ctx.Err(); err != nil {
				return fmt.Errorf("read the journal: %w", err)
			}
			if err := fn(rec); err != nil {
				return err
			}
		}
		if b.err != nil {
			return fmt.Errorf("read the journal: %w", b.err)
		}
	}
}

// Watch implements cellar.Journal. The channel is closed by Close as well, and
// when a record cannot be read; then Warning says why.
func (j *Journal) Watch(ctx context.Context, from cellar.Seq) (<-chan cellar.Record, error) {
	out, err := j.feed.Follow(ctx, from, func(next cellar.Seq) ([]cellar.Record, error) {
		last := j.headNow().seq
		if next > last {
			return nil, nil
		}
		return j.decode(next, batchOf(next, last))
	}, func(err error) {
		j.mu.Lock()
		j.warnings.atWatch = fmt.Errorf("watch the journal: %w", err)
		j.mu.Unlock()
	})
	if err != nil {
		return nil, fmt.Errorf("watch the journal: %w", err)
	}
	return out, nil
}

// decode decodes n records from a sequence on. The records before the one that
// fails come with the error.
func (j *Journal) decode(from cellar.Seq, n int) ([]cellar.Record, error) {
	recs := make([]cellar.Record, 0, n)
	err := j.chain(from, n, func(sealed []byte, prev codec.Hash) (cellar.Seq, codec.Hash, error) {
		rec, hash, err := codec.Decode(sealed, prev)
		if err == nil && rec.Seq == from+cellar.Seq(len(recs)) {
			recs = append(recs, rec)
		}
		return rec.Seq, hash, err
	})
	return recs, err
}

// link reads one stored record against the hash before it.
type link func(sealed []byte, prev codec.Hash) (cellar.Seq, codec.Hash, error)

// chain hands n records from a sequence on to read, in one transaction. Every
// one must be there, under its own number, and chained to the one before.
func (j *Journal) chain(from cellar.Seq, n int, read link) error {
	return j.view(func(_ *bbolt.Tx, records *bbolt.Bucket) error {
		prev, err := j.hashOf(records, from-1)
		if err != nil {
			return err
		}
		c := records.Cursor()
		k, v := c.Seek(key(from))
		for seq := from; seq < from+cellar.Seq(n); seq++ {
			if !bytes.Equal(k, key(seq)) {
				return fmt.Errorf("%w: record %d is not there", cellar.ErrDamaged, seq)
			}
			named, hash, err := read(v, prev)
			if err != nil {
				return fmt.Errorf("record %d: %w", seq, err)
			}
			if named != seq {
				return fmt.Errorf("%w: record %d calls itself %d", cellar.ErrDamaged, seq, named)
			}
			prev = hash
			k, v = c.Next()
		}
		return nil
	})
}

// hashAt returns the stored hash of a record; 0 stands for Info.
func (j *Journal) hashAt(seq cellar.Seq) (hash codec.Hash, err error) {
	err = j.view(func(_ *bbolt.Tx, records *bbolt.Bucket) error {
		hash, err = j.hashOf(records, seq)
		return err
	})
	return hash, err
}

func (j *Journal) hashOf(records *bbolt.Bucket, seq cellar.Seq) (codec.Hash, error) {
	if seq == 0 {
		return j.genesis, nil
	}
	sealed := records.Get(key(seq))
	if sealed == nil {
		return codec.Hash{}, fmt.Errorf("%w: record %d is not there", cellar.ErrDamaged, seq)
	}
	hash, err := codec.HashOf(sealed)
	if err != nil {
		return hash, fmt.Errorf("record %d: %w", seq, err)
	}
	return hash, nil
}

// Verify walks the whole chain, then the pages under it, then holds it against
// the head beside it, and returns the first thing that is wrong, wrapped in
// cellar.ErrDamaged and with its sequence where it has one. Records of a newer
// program are whole without being understood. Appends wait while the pages are
// looked at; the chain does not hold them up.
func (j *Journal) Verify(ctx context.Context) error {
	if j.isClosed() {
		return fmt.Errorf("verify the journal: %w", errClosed)
	}
	if err := j.verify(ctx); err != nil {
		return fmt.Errorf("verify the journal: %w", err)
	}
	return nil
}

func (j *Journal) verify(ctx context.Context) error {
	if err := j.checkChain(ctx, 1); err != nil {
		return err
	}
	j.write.Lock()
	defer j.write.Unlock()
	if j.isClosed() {
		return errClosed
	}
	if err := j.SameFile(); err != nil {
		return err
	}
	if _, err := inspect(j.file, everyPage); err != nil {
		return err
	}
	if m, ok, _ := readMark(j.path); ok {
		return j.checkMark(m)
	}
	return nil
}

// checkChain checks the records from a sequence to the last one.
func (j *Journal) checkChain(ctx context.Context, from cellar.Seq) error {
	check := func(sealed []byte, prev codec.Hash) (cellar.Seq, codec.Hash, error) {
		entry, err := codec.Check(sealed, prev)
		return entry.Seq, entry.Hash, err
	}
	for next, last := from, j.headNow().seq; next <= last; {
		if err := ctx.Err(); err != nil {
			return err
		}
		n := batchOf(next, last)
		if err := j.chain(next, n, check); err != nil {
			return err
		}
		next += cellar.Seq(n)
	}
	return nil
}
