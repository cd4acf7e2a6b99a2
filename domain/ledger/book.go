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

// Mark is something small that was read at a place: it changes what is seen of the
// place and flows nowhere. A type without pointers costs next to nothing to keep.
type Mark interface {
	comparable
	Key() Key
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

// Book keeps lines and what follows from them. It is not safe for use from several
// goroutines; a draft may be read beside its book as long as neither changes.
type Book[P comparable, V any, M Mark] struct {
	base   *Book[P, V, M] // of a draft
	zero   V
	same   func(a, b V) bool
	see    func(p P, v V, marks []M, from int) V
	tracks map[P]*track[P, V, M]
	touch  map[P]bool // places whose content was changed since the last Touched
}

// New returns a book in which every place holds zero. same reports whether two
// contents are one: where they are, nothing that follows is folded again. see is what
// is seen of a place by the marks that were read of it, of which v has the first ones
// in it already, up to from; it changes nothing it is given.
func New[P comparable, V any, M Mark](zero V, same func(a, b V) bool, see func(p P, v V, marks []M,
	from int) V) *Book[P, V, M] {
	return &Book[P, V, M]{zero: zero, same: same, see: see, tracks: map[P]*track[P, V, M]{}, touch: map[P]bool{}}
}

// Draft returns a book that begins as this one stands and changes nothing in it:
// what would be if. This book must not change as long as the draft is used.
func (b *Book[P, V, M]) Draft() *Book[P, V, M] {
	d := New(b.zero, b.same, b.see)
	d.base = b
	return d
}

// look returns the track of a place for reading, or nil.
func (b *Book[P, V, M]) look(p P) *track[P, V, M] {
	for ; b != nil; b = b.base {
		if t := b.tracks[p]; t != nil {
			return t
		}
	}
	return nil
}

// track returns the track of a place for changing.
func (b *Book[P, V, M]) track(p P) *track[P, V, M] {
	t := b.tracks[p]
	if t == nil {
		t = &track[P, V, M]{endAt: -1}
		if base := b.look(p); base != nil {
			t.base, t.cut = base, base.len()
			t.end, t.endAt, t.endN = base.end, base.endAt, base.endN
		} else {
			t.steps = []Step[P, V, M]{{After: b.zero}}
		}
		b.tracks[p] = t
	}
	return t
}

// Add takes lines in, wherever in time they stand.
func (b *Book[P, V, M]) Add(lines ...*Line[P, V]) { b.Edit(nil, lines) }

// Remove takes lines out, as if they had never been said.
func (b *Book[P, V, M]) Remove(lines ...*Line[P, V]) { b.Edit(lines, nil) }

// Edit takes lines out and others in, and folds once what follows from both.
func (b *Book[P, V, M]) Edit(out, in []*Line[P, V]) {
	w := &work[P, V, M]{b: b}
	for _, l := range out {
		for _, p := range l.Places {
			t := b.track(p)
			i := t.after(l.Key) - 1
			if t.at(i).Line != l {
				continue // it is not in this book
			}
			w.changed(p, i, b.before(p, t, i), t.at(i).After)
			t.join(i)
		}
	}
	for _, l := range in {
		for _, p := range l.Places {
			b.split(p, b.track(p), l)
		}
		w.push(l)
	}
	w.run()
}

// work is one pass of the fold: lines that must be folded again, earliest first.
type work[P comparable, V any, M Mark] struct {
	b     *Book[P, V, M]
	queue []*Line[P, V]
}

func (w *work[P, V, M]) Len() int           { return len(w.queue) }
func (w *work[P, V, M]) Less(i, j int) bool { return w.queue[i].Key.Compare(w.queue[j].Key) < 0 }
func (w *work[P, V, M]) Swap(i, j int)      { w.queue[i], w.queue[j] = w.queue[j], w.queue[i] }
func (w *work[P, V, M]) Push(x any)         { w.queue = append(w.queue, x.(*Line[P, V])) }
func (w *work[P, V, M]) Pop() any {
	n := len(w.queue) - 1
	l := w.queue[n]
	w.queue = w.queue[:n]
	return l
}

func (w *work[P, V, M]) push(l *Line[P, V]) { heap.Push(w, l) }

// changed notes that a place holds something else before its step i+1 than it did.
// The step itself is about to go, or has been folded.
func (w *work[P, V, M]) changed(p P, i int, now, was V) {
	if w.b.same(now, was) {
		return
	}
	w.b.touch[p] = true
	if t := w.b.tracks[p]; i+1 < t.len() {
		w.push(t.at(i + 1).Line)
	}
}

// run folds what is in the queue, and what follows from it.
func (w *work[P, V, M]) run() {
	for len(w.queue) > 0 {
		l := heap.Pop(w).(*Line[P, V])
		for len(w.queue) > 0 && w.queue[0] == l {
			heap.Pop(w)
		}
		w.fold(l)
	}
}

func (w *work[P, V, M]) fold(l *Line[P, V]) {
	before, index := make([]V, len(l.Places)), make([]int, len(l.Places))
	for i, p := range l.Places {
		t := w.b.track(p)
		at := t.after(l.Key) - 1
		if t.at(at).Line != l {
			return // it has been taken out
		}
		index[i], before[i] = at, w.b.before(p, t, at)
	}
	for i, after := range l.Fold(before) {
		t := w.b.track(l.Places[i])
		t.own(index[i])
		was := t.at(index[i]).After
		t.at(index[i]).After = after
		w.changed(l.Places[i], index[i], after, was)
	}
}

// Again folds every line again, for when what the folds rest on has changed. A draft
// does so from what is its own.
func (b *Book[P, V, M]) Again() {
	w := &work[P, V, M]{b: b}
	for _, t := range b.tracks {
		t.endAt = -1
		for i := range t.steps {
			if l := t.steps[i].Line; l != nil {
				w.push(l)
			}
		}
	}
	w.run()
}

// Settle forgets what is only kept to be looked up sooner.
func (b *Book[P, V, M]) Settle() {
	for _, t := range b.tracks {
		t.end, t.endAt, t.endN = b.zero, -1, 0
	}
}

// GoesBy gives a book its functions, as New does.
func (b *Book[P, V, M]) GoesBy(same func(a, b V) bool, see func(p P, v V, marks []M, from int) V) {
	b.same, b.see = same, see
}

// Clear takes everything out.
func (b *Book[P, V, M]) Clear() { clear(b.tracks) }

// Touched returns the places whose contents have changed since it was last asked,
// in no order.
func (b *Book[P, V, M]) Touched() []P {
	out := make([]P, 0, len(b.touch))
	for p := range b.touch {
		out = append(out, p)
	}
	clear(b.touch)
	return out
}

// Now is what a place holds after all its lines, as it was read last.
func (b *Book[P, V, M]) Now(p P) V {
	t := b.look(p)
	if t == nil {
		return b.zero
	}
	return b.before(p, t, t.len())
}

// At is what a place held at an instant, after all that was then.
func (b *Book[P, V, M]) At(p P, at time.Time) V {
	t := b.look(p)
	if t == nil {
		return b.zero
	}
	i := sort.Search(t.len()-1, func(i int) bool { return t.at(i + 1).Line.Key.At.After(at) })
	marks := t.at(i).Marks
	return b.seen(p, t, i, sort.Search(len(marks), func(n int) bool { return marks[n].Key().At.After(at) }))
}

// Until is what a place held after all that stands before a key, or at it.
func (b *Book[P, V, M]) Until(p P, k Key) V {
	t := b.look(p)
	if t == nil {
		return b.zero
	}
	i := t.after(k) - 1
	return b.seen(p, t, i, marksTo(t.at(i).Marks, k))
}

// After reports whether anything stands at a place after a key.
func (b *Book[P, V, M]) After(p P, k Key) bool {
	t := b.look(p)
	if t == nil {
		return false
	}
	s := t.at(t.len() - 1)
	return s.Line != nil && s.Line.Key.Compare(k) > 0 || marksTo(s.Marks, k) < len(s.Marks)
}

// Between goes over the keys of all that stands at a place from one instant to another.
func (b *Book[P, V, M]) Between(p P, from, to time.Time) iter.Seq[Key] {
	return func(yield func(Key) bool) {
		for s := range b.Back(p) {
			for _, m := range slices.Backward(s.Marks) {
				if k := m.Key(); k.At.Before(from) || !k.At.After(to) && !yield(k) {
					return
				}
			}
			if s.Line == nil || s.Line.Key.At.Before(from) || !s.Line.Key.At.After(to) && !yield(s.Line.Key) {
				return
			}
		}
	}
}

// Around is what a place held just before a line and just after it; ok is false
// where the line does not touch it.
func (b *Book[P, V, M]) Around(p P, l *Line[P, V]) (before, after V, ok bool) {
	t := b.look(p)
	if t == nil {
		return b.zero, b.zero, false
	}
	i := t.after(l.Key) - 1
	if t.at(i).Line != l {
		return b.zero, b.zero, false
	}
	return b.before(p, t, i), t.at(i).After, true
}

// Empty reports whether nothing was ever said or read of a place.
func (b *Book[P, V, M]) Empty(p P) bool {
	t := b.look(p)
	return t == nil || t.len() == 1 && len(t.at(0).Marks) == 0
}

// Lines goes over the lines of a place in order, each with what the place holds
// after it.
func (b *Book[P, V, M]) Lines(p P) iter.Seq2[*Line[P, V], V] {
	return func(yield func(*Line[P, V], V) bool) {
		for s := range b.Steps(p) {
			if s.Line != nil && !yield(s.Line, s.After) {
				return
			}
		}
	}
}

// Steps goes over all that stands of a place in order, what was read of it among it.
func (b *Book[P, V, M]) Steps(p P) iter.Seq[Step[P, V, M]] {
	return func(yield func(Step[P, V, M]) bool) {
		t := b.look(p)
		for i := 0; t != nil && i < t.len(); i++ {
			if !yield(*t.at(i)) {
				return
			}
		}
	}
}

// Back goes over the same from the latest to the first.
func (b *Book[P, V, M]) Back(p P) iter.Seq[Step[P, V, M]] {
	return func(yield func(Step[P, V, M]) bool) {
		t := b.look(p)
		for i := 0; t != nil && i < t.len(); i++ {
			if !yield(*t.at(t.len() - 1 - i)) {
				return
			}
		}
	}
}
