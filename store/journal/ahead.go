package journal

import (
	"runtime"

	"cellar.example/mustwatch/domain/cellar"
)

// maxAhead is how many batches are decoded at once, at most: the fold that takes
// them is one goroutine and does not keep up with more.
const maxAhead = 4

// ahead decodes a stretch of records in several goroutines and hands the batches
// over in order. It is what makes the first fold of a harvest quick.
//
// It can be done out of order because each batch is checked against the hash
// that is stored with the record before it, and that one is checked by the batch
// it belongs to: all links are checked, whichever comes first.
type ahead struct {
	j        *Journal
	from, to cellar.Seq
	flying   []chan batch // in order; each gets one value
	width    int
}

// batch is a stretch of records, with the error of the one that follows on them.
type batch struct {
	recs []cellar.Record
	err  error
}

func (j *Journal) readAhead(from, to cellar.Seq) *ahead {
	if n := to - from + 1; from <= to && n > 2*batchLen && n > to/2 {
		j.warm.Do(j.fetch)
	}
	return &ahead{j: j, from: from, to: to, width: min(maxAhead, runtime.GOMAXPROCS(0))}
}

// fetch reads the file once from front to back, so that the system has it at hand.
// bbolt tells the system to expect reads in no order, with which the first fold of
// a harvest from a cold disk took more than twice as long. What fails here fails
// again, and is reported, where it matters.
func (j *Journal) fetch() {
	piece := make([]byte, 1<<20)
	for at, size := int64(0), j.sizeNow(); at < size; at += int64(len(piece)) {
		if n, err := j.file.ReadAt(piece, at); err != nil || n == 0 {
			return
		}
	}
}

// next returns the next batch, or false when there is none. Whoever gets an error
// in it must not ask for more.
func (a *ahead) next() (batch, bool) {
	for len(a.flying) < a.width && a.from <= a.to {
		from, n := a.from, batchOf(a.from, a.to)
		done := make(chan batch, 1)
		go func() {
			recs, err := a.j.decode(from, n)
			done <- batch{recs, err}
		}()
		a.flying = append(a.flying, done)
		a.from += cellar.Seq(n)
	}
	if len(a.flying) == 0 {
		return batch{}, false
	}
	b := <-a.flying[0]
	a.flying = a.flying[1:]
	return b, true
}

// stop waits for what is still being decoded, so that no reading is left in the
// store once Read has returned.
func (a *ahead) stop() {
	for _, done := range a.flying {
		<-done
	}
}
