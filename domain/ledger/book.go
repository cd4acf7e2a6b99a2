package ledger

import (
	"cmp"
	"container/heap"
	"iter"
	"slices"
	"sort"
	"time"
)

// Key is where a line stands among the others.
type Key struct {
	At   time.Time // true time, UTC
	Rank int       // order within one instant, before the sequence
	Seq  uint64    // of the record that says it
	Sub  int       // order among the lines of one record
}

// Compare orders keys by true time, rank, sequence and part.
func (k Key) Compare(o Key) int {
	return cmp.Or(k.At.Compare(o.At), cmp.Compare(k.Rank, o.Rank), cmp.Compare(k.Seq, o.Seq), cmp.Compare(k.Sub, o.Sub))
}

// Line is one thing that was said. P names places, V is what a place holds.
type Line[P comparable, V any] struct {
	Key    Key
	Places []P
	// Fold gives what each of Places holds after the line from what it held before,
	// in their order. It changes nothing it is given, never fails and depends on
	// nothing that may change.
	Fold func(before []V) []V
}

// step is a line on one of its places, with what the place holds after it. The next
// step was folded on just that, or is in the queue of work.
type step[P comparable, V any] struct {
	line  *Line[P, V]
	after V
}

// track is all that touched one place, in order. A draft's track takes its first
// steps from the track it was drawn from.
type track[P comparable, V any] struct {
	base  *track[P, V]
	cut   int // steps taken from base
	steps []step[P, V]
}

func (t *track[P, V]) len() int { return t.cut + len(t.steps) }

func (t *track[P, V]) at(i int) *step[P, V] {
	for i < t.cut {
		t = t.base
	}
	return &t.steps[i-t.cut]
}

// after is the number of steps whose lines stand before k, or at it.
func (t *track[P, V]) after(k Key) int {
	n := t.len()
	if n == 0 || t.at(n-1).line.Key.Compare(k) <= 0 {
		return n // the usual case: it is the latest
	}
	return sort.Search(n, func(i int) bool { return t.at(i).line.Key.Compare(k) > 0 })
}

// own makes the steps from i on the track's own, so that they may be changed.
func (t *track[P, V]) own(i int) {
	if i >= t.cut {
		return
	}
	steps := make([]step[P, V], 0, t.len()-i)
	for j := i; j < t.len(); j++ {
		steps = append(steps, *t.at(j))
	}
	t.steps, t.cut = steps, i
}

// Book keeps lines and what follows from them. It is not safe for use from several
// goroutines; a draft may be read beside its book as long as neither changes.
type Book[P comparable, V any] struct {
	base   *Book[P, V] // of a draft
	zero   V
	same   func(a, b V) bool
	tracks map[P]*track[P, V]
	touch  map[P]bool // places whose content was changed since the last Touched
}

// New returns a book in which every place holds zero. same reports whether two
// contents are one: where they are, nothing that follows is folded again.
func New[P comparable, V any](zero V, same func(a, b V) bool) *Book[P, V] {
	return &Book[P, V]{zero: zero, same: same, tracks: map[P]*track[P, V]{}, touch: map[P]bool{}}
}

// Draft returns a book that begins as this one stands and changes nothing in it:
// what would be if. This book must not change as long as the draft is used.
func (b *Book[P, V]) Draft() *Book[P, V] {
	d := New[P](b.zero, b.same)
	d.base = b
	return d
}

// look returns the track of a place for reading, or nil.
func (b *Book[P, V]) look(p P) *track[P, V] {
	for ; b != nil; b = b.base {
		if t := b.tracks[p]; t != nil {
			return t
		}
	}
	return nil
}

// track returns the track of a place for changing.
func (b *Book[P, V]) track(p P) *track[P, V] {
	t := b.tracks[p]
	if t == nil {
		t = &track[P, V]{}
		if base := b.look(p); base != nil {
			t.base, t.cut = base, base.len()
		}
		b.tracks[p] = t
	}
	return t
}

// Add takes lines in, wherever in time they stand.
func (b *Book[P, V]) Add(lines ...*Line[P, V]) { b.Edit(nil, lines) }

// Remove takes lines out, as if they had never been said.
func (b *Book[P, V]) Remove(lines ...*Line[P, V]) { b.Edit(lines, nil) }

// Edit takes lines out and others in, and folds once what follows from both.
func (b *Book[P, V]) Edit(out, in []*Line[P, V]) {
	w := &work[P, V]{b: b}
	for _, l := range out {
		for _, p := range l.Places {
			t := b.track(p)
			i := t.after(l.Key) - 1
			if i < 0 || t.at(i).line != l {
				continue // it is not in this book
			}
			t.own(i)
			w.changed(p, i, t.before(i, b.zero), t.at(i).after)
			t.steps = slices.Delete(t.steps, i-t.cut, i-t.cut+1)
		}
	}
	for _, l := range in {
		for _, p := range l.Places {
			t := b.track(p)
			i := t.after(l.Key)
			t.own(i)
			// Until it is folded it changes nothing: what follows was folded on this.
			t.steps = slices.Insert(t.steps, i-t.cut, step[P, V]{line: l, after: t.before(i, b.zero)})
		}
		w.push(l)
	}
	w.run()
}

// before is what the place held before its step i.
func (t *track[P, V]) before(i int, zero V) V {
	if i == 0 {
		return zero
	}
	return t.at(i - 1).after
}

// work is one pass of the fold: lines that must be folded again, earliest first.
type work[P comparable, V any] struct {
	b     *Book[P, V]
	queue []*Line[P, V]
}

func (w *work[P, V]) Len() int           { return len(w.queue) }
func (w *work[P, V]) Less(i, j int) bool { return w.queue[i].Key.Compare(w.queue[j].Key) < 0 }
func (w *work[P, V]) Swap(i, j int)      { w.queue[i], w.queue[j] = w.queue[j], w.queue[i] }
func (w *work[P, V]) Push(x any)         { w.queue = append(w.queue, x.(*Line[P, V])) }
func (w *work[P, V]) Pop() any {
	n := len(w.queue) - 1
	l := w.queue[n]
	w.queue = w.queue[:n]
	return l
}

func (w *work[P, V]) push(l *Line[P, V]) { heap.Push(w, l) }

// changed notes that a place holds something else before its step i+1 than it did.
// The step itself is about to go, or has been folded.
func (w *work[P, V]) changed(p P, i int, now, was V) {
	if w.b.same(now, was) {
		return
	}
	w.b.touch[p] = true
	if t := w.b.tracks[p]; i+1 < t.len() {
		w.push(t.at(i + 1).line)
	}
}

// run folds what is in the queue, and what follows from it.
func (w *work[P, V]) run() {
	for len(w.queue) > 0 {
		l := heap.Pop(w).(*Line[P, V])
		for len(w.queue) > 0 && w.queue[0] == l {
			heap.Pop(w)
		}
		w.fold(l)
	}
}

func (w *work[P, V]) fold(l *Line[P, V]) {
	before, index := make([]V, len(l.Places)), make([]int, len(l.Places))
	for i, p := range l.Places {
		t := w.b.track(p)
		at := t.after(l.Key) - 1
		if at < 0 || t.at(at).line != l {
			return // it has been taken out
		}
		index[i], before[i] = at, t.before(at, w.b.zero)
	}
	for i, after := range l.Fold(before) {
		t := w.b.track(l.Places[i])
		t.own(index[i])
		was := t.at(index[i]).after
		t.at(index[i]).after = after
		w.changed(l.Places[i], index[i], after, was)
	}
}

// Again folds every line anew, for when what the folds rest on has changed. A draft
// does so from what is its own.
func (b *Book[P, V]) Again() {
	w := &work[P, V]{b: b}
	for _, t := range b.tracks {
		for i := range t.steps {
			w.push(t.steps[i].line)
		}
	}
	w.run()
}

// Touched returns the places whose contents have changed since it was last asked,
// in no order.
func (b *Book[P, V]) Touched() []P {
	out := make([]P, 0, len(b.touch))
	for p := range b.touch {
		out = append(out, p)
	}
	clear(b.touch)
	return out
}

// Now is what a place holds after all its lines.
func (b *Book[P, V]) Now(p P) V {
	t := b.look(p)
	if t == nil {
		return b.zero
	}
	return t.before(t.len(), b.zero)
}

// At is what a place held at an instant, after all that was then.
func (b *Book[P, V]) At(p P, at time.Time) V {
	t := b.look(p)
	if t == nil {
		return b.zero
	}
	n := sort.Search(t.len(), func(i int) bool { return t.at(i).line.Key.At.After(at) })
	return t.before(n, b.zero)
}

// Around is what a place held just before a line and just after it; ok is false
// where the line does not touch it.
func (b *Book[P, V]) Around(p P, l *Line[P, V]) (before, after V, ok bool) {
	t := b.look(p)
	if t == nil {
		return b.zero, b.zero, false
	}
	i := t.after(l.Key) - 1
	if i < 0 || t.at(i).line != l {
		return b.zero, b.zero, false
	}
	return t.before(i, b.zero), t.at(i).after, true
}

// Len is the number of lines that touch a place.
func (b *Book[P, V]) Len(p P) int {
	if t := b.look(p); t != nil {
		return t.len()
	}
	return 0
}

// Steps goes over the lines of a place in order, each with what the place holds
// after it.
func (b *Book[P, V]) Steps(p P) iter.Seq2[*Line[P, V], V] {
	return func(yield func(*Line[P, V], V) bool) {
		t := b.look(p)
		for i := 0; t != nil && i < t.len(); i++ {
			if s := t.at(i); !yield(s.line, s.after) {
				return
			}
		}
	}
}

// Back goes over the lines of a place from the latest to the first.
func (b *Book[P, V]) Back(p P) iter.Seq2[*Line[P, V], V] {
	return func(yield func(*Line[P, V], V) bool) {
		t := b.look(p)
		for i := b.Len(p) - 1; i >= 0; i-- {
			if s := t.at(i); !yield(s.line, s.after) {
				return
			}
		}
	}
}
