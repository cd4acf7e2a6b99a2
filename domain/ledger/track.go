package ledger

import (
	"slices"
	"sort"
)

// Step is a line on one of its places, with what the place holds after it and what
// was read of that before the next line. The next step was folded on just what is
// seen then, or is in the queue of work. The first step of a place has no line: its
// marks were read before anything was said.
type Step[P comparable, V any, M Mark] struct {
	Line  *Line[P, V]
	After V
	// Marks stand in order. What has been handed out of them is never written to: they
	// are added to at the end, and copied for anything else.
	Marks []M
}

// track is all that touched one place, in order. A draft's track takes its first
// steps from the track it was drawn from.
type track[P comparable, V any, M Mark] struct {
	base  *track[P, V, M]
	cut   int // steps taken from base
	steps []Step[P, V, M]

	// What is seen after one step with the first of its marks is kept, so that one
	// mark more costs the same after ten and after ten thousand.
	end         V
	endAt, endN int // -1 where nothing is kept
}

func (t *track[P, V, M]) len() int { return t.cut + len(t.steps) }

func (t *track[P, V, M]) at(i int) *Step[P, V, M] {
	for i < t.cut {
		t = t.base
	}
	return &t.steps[i-t.cut]
}

// after is the number of steps whose lines stand before k, or at it.
func (t *track[P, V, M]) after(k Key) int {
	n := t.len()
	if l := t.at(n - 1).Line; l == nil || l.Key.Compare(k) <= 0 {
		return n // the usual case: it is the latest
	}
	return 1 + sort.Search(n-1, func(i int) bool { return t.at(i+1).Line.Key.Compare(k) > 0 })
}

// marksTo is the number of marks that stand before k, or at it.
func marksTo[M Mark](marks []M, k Key) int {
	n := len(marks)
	if n == 0 || marks[n-1].Key().Compare(k) <= 0 {
		return n
	}
	return sort.Search(n, func(i int) bool { return marks[i].Key().Compare(k) > 0 })
}

// own makes the steps from i on the track's own, so that they may be changed.
func (t *track[P, V, M]) own(i int) {
	if t.endAt >= i {
		t.endAt = -1
	}
	if i >= t.cut {
		return
	}
	steps := make([]Step[P, V, M], 0, t.len()-i+1)
	for j := i; j < t.len(); j++ {
		s := *t.at(j)
		s.Marks = slices.Clip(s.Marks)
		steps = append(steps, s)
	}
	t.steps, t.cut = steps, i
}

// seen is what a place holds after its step i, with the first n of its marks.
func (b *Book[P, V, M]) seen(p P, t *track[P, V, M], i, n int) V {
	s := t.at(i)
	switch {
	case n == 0:
		return s.After
	case t.endAt == i && t.endN == n:
		return t.end
	case t.endAt == i && t.endN < n:
		return b.see(p, t.end, s.Marks[:n], t.endN)
	}
	return b.see(p, s.After, s.Marks[:n], 0)
}

// before is what the place held before its step i.
func (b *Book[P, V, M]) before(p P, t *track[P, V, M], i int) V {
	n := len(t.at(i - 1).Marks)
	v := b.seen(p, t, i-1, n)
	if i == t.len() && n > 0 {
		t.end, t.endAt, t.endN = v, i-1, n
	}
	return v
}

// split makes room for a line behind step i-1: the marks that stand after it become
// its own. Until it is folded it changes nothing, for what follows was folded on this.
func (b *Book[P, V, M]) split(p P, t *track[P, V, M], l *Line[P, V]) {
	i := t.after(l.Key)
	marks := t.at(i - 1).Marks
	n := marksTo(marks, l.Key)
	s := Step[P, V, M]{Line: l, After: b.seen(p, t, i-1, n)}
	if n < len(marks) {
		t.own(i - 1)
		t.at(i-1).Marks, s.Marks = marks[:n:n], slices.Clip(marks[n:])
	}
	t.own(i)
	t.steps = slices.Insert(t.steps, i-t.cut, s)
}

// join takes step i out; its marks stand after the step before it then.
func (t *track[P, V, M]) join(i int) {
	t.own(i)
	if m := t.at(i).Marks; len(m) > 0 {
		t.own(i - 1)
		s := t.at(i - 1)
		s.Marks = slices.Concat(s.Marks, m)
	}
	t.steps = slices.Delete(t.steps, i-t.cut, i-t.cut+1)
}

// Mark takes a mark in, wherever in time it stands.
func (b *Book[P, V, M]) Mark(p P, m M) {
	t := b.track(p)
	i := t.after(m.Key()) - 1
	marks := t.at(i).Marks
	n := marksTo(marks, m.Key())
	if i < t.cut || n < len(marks) {
		t.own(i)
		marks = slices.Clip(t.at(i).Marks)
	}
	if n < len(marks) {
		marks = slices.Concat(marks[:n], []M{m}, marks[n:])
	} else {
		marks = append(marks, m)
	}
	t.at(i).Marks = marks
	b.marked(p, t, i)
}

// Unmark takes a mark out, as if it had never been read.
func (b *Book[P, V, M]) Unmark(p P, m M) {
	t := b.track(p)
	i := t.after(m.Key()) - 1
	n := marksTo(t.at(i).Marks, m.Key()) - 1
	if n < 0 || t.at(i).Marks[n] != m {
		return // it is not in this book
	}
	t.own(i)
	s := t.at(i)
	s.Marks = slices.Concat(s.Marks[:n], s.Marks[n+1:])
	b.marked(p, t, i)
}

// marked folds what follows from the marks of step i having changed.
func (b *Book[P, V, M]) marked(p P, t *track[P, V, M], i int) {
	b.touch[p] = true
	if i+1 < t.len() {
		w := &work[P, V, M]{b: b}
		w.push(t.at(i + 1).Line)
		w.run()
	}
}
