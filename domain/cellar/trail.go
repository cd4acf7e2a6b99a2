package cellar

import (
	"iter"
	"slices"
	"sort"
	"time"

	"cellar.example/mustwatch/domain/contact"
)

// Trail is the temperatures that were read of a content, in whichever vessels it lay:
// the latest, and those before it. Contents share what they have in common, so that a
// reading costs the same after ten and after ten thousand. Nil is none.
type Trail struct {
	contact.Reading
	run    []mark // of one vessel, up to and with the latest; nil where that stands alone
	before *Trail
}

// and is the trail with a reading more.
func (t *Trail) and(r contact.Reading) *Trail { return &Trail{Reading: r, before: t} }

// with is the trail with what was read of one vessel, the last of it a temperature. It
// has the first of that already, up to from.
func (t *Trail) with(run []mark, from int) *Trail {
	if from > 0 && t != nil && len(t.run) > 0 && t.run[0] == run[0] {
		t = t.before
	}
	last := run[len(run)-1]
	return &Trail{contact.Reading{At: last.time(), T: last.temp}, run, t}
}

// From goes over the readings from an instant on, oldest first, with the last one before
// it: what held then.
func (t *Trail) From(at time.Time) iter.Seq[contact.Reading] {
	return func(yield func(contact.Reading) bool) {
		for _, run := range t.runs(at, forEver) {
			for i := range run {
				if m := &run[i]; m.has&hasTemp != 0 && !yield(contact.Reading{At: m.time(), T: m.temp}) {
					return
				}
			}
		}
	}
}

// runs are the marks from an instant on, with the last temperature before it, up to
// another instant.
func (t *Trail) runs(at, end time.Time) (out [][]mark) {
	for ; t != nil; t = t.before {
		run := t.run
		if run == nil {
			run = []mark{{at: t.At.Unix(), temp: t.T, has: hasTemp}}
		}
		from, to := lastTo(run, at), sort.Search(len(run), func(i int) bool { return run[i].at > end.Unix() })
		if first := max(from, 0); first < to {
			out = append(out, run[first:to])
		}
		if from >= 0 {
			break
		}
	}
	slices.Reverse(out)
	return out
}

// lastTo is where in a run the last temperature stands that was read by an instant, -1
// where none was.
func lastTo(run []mark, at time.Time) int {
	n := sort.Search(len(run), func(i int) bool { return run[i].at > at.Unix() })
	for n > 0 && run[n-1].has&hasTemp == 0 {
		n--
	}
	return n - 1
}

// Since lists the readings from an instant on, oldest first, with the last one before
// it.
func (t *Trail) Since(at time.Time) []contact.Reading { return slices.Collect(t.From(at)) }

// mostReckoned is how many readings a forecast is calculated from: more would make it
// dearer and no better.
const mostReckoned = 32

// coldest are the readings between two instants, with the last one before them. Where so
// many stand together that they are more than can be calculated with, it is of each bunch
// the coldest, for that is what a contact goes by, and the last of all.
func (t *Trail) coldest(at, end time.Time) []contact.Reading {
	return t.bunched(at, end, mostReckoned, func(a, b *mark) bool { return b.temp < a.temp })
}

// evenly are the readings from an instant on, with the last one before it: where there
// are many, some of them, and the last of all.
func (t *Trail) evenly(at time.Time) []contact.Reading {
	return t.bunched(at, forEver, mostReckoned, func(_, _ *mark) bool { return true })
}

func (t *Trail) bunched(at, end time.Time, most int, better func(a, b *mark) bool) (out []contact.Reading) {
	runs, all := t.runs(at, end), 0
	for _, run := range runs {
		all += len(run)
	}
	bunch, n := (all+most-1)/most, 0
	var best, last *mark
	keep := func() {
		out = append(out, contact.Reading{At: best.time(), T: best.temp})
		best, n = nil, 0
	}
	for _, run := range runs {
		for i := range run {
			m := &run[i]
			if m.has&hasTemp == 0 {
				continue
			}
			if best == nil || better(best, m) {
				best = m
			}
			if last, n = m, n+1; n == bunch {
				keep()
			}
		}
	}
	if best != nil {
		keep()
	}
	if last != nil && !out[len(out)-1].At.Equal(last.time()) {
		out = append(out, contact.Reading{At: last.time(), T: last.temp})
	}
	return out
}

// upTo is the trail without what was read after an instant.
func (t *Trail) upTo(at time.Time) *Trail {
	for ; t != nil && t.At.After(at); t = t.before {
		if n := lastTo(t.run, at); n >= 0 {
			return t.before.with(t.run[:n+1], 0)
		}
	}
	return t
}

// joined is the trail with what was read of another vessel before it came there, each
// by its time.
func (t *Trail) joined(own []contact.Reading) *Trail {
	if len(own) == 0 {
		return t
	}
	from := own[0].At
	all := own
	if came := t.Since(from); len(came) > 0 {
		came = slices.DeleteFunc(came, func(r contact.Reading) bool { return !r.At.After(from) })
		all = slices.Concat(came, own)
		sort.SliceStable(all, func(i, j int) bool { return all[i].At.Before(all[j].At) })
	}
	out := t.upTo(from)
	for _, r := range all {
		out = out.and(r)
	}
	return out
}

// same reports whether two trails are kept alike: of two that were gathered apart it
// may say that they are two, which costs a little and is never wrong.
func (t *Trail) same(o *Trail) bool {
	for ; t != o; t, o = t.before, o.before {
		if t == nil || o == nil || t.T != o.T || !t.At.Equal(o.At) || len(t.run) != len(o.run) {
			return false
		}
		if len(t.run) > 0 && &t.run[0] != &o.run[0] && !slices.Equal(t.run, o.run) {
			return false
		}
	}
	return true
}
