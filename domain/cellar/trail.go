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
		first := 0
		var nodes []*Trail
		for ; t != nil; t = t.before {
			nodes = append(nodes, t)
			if first = t.lastTo(at); first >= 0 {
				break
			}
		}
		for _, n := range slices.Backward(nodes) {
			if n.run == nil && !yield(n.Reading) {
				return
			}
			for i := max(first, 0); i < len(n.run); i++ {
				if m := &n.run[i]; m.has&hasTemp != 0 && !yield(contact.Reading{At: m.time(), T: m.temp}) {
					return
				}
			}
			first = 0
		}
	}
}

// lastTo is where in a run the last temperature stands that was read by an instant, -1
// where none was.
func (t *Trail) lastTo(at time.Time) int {
	if t.run == nil && !t.At.After(at) {
		return 0
	}
	n := sort.Search(len(t.run), func(i int) bool { return t.run[i].at > at.Unix() })
	for n > 0 && t.run[n-1].has&hasTemp == 0 {
		n--
	}
	return n - 1
}

// Since lists the readings from an instant on, oldest first, with the last one before
// it.
func (t *Trail) Since(at time.Time) []contact.Reading { return slices.Collect(t.From(at)) }

// Between lists them up to another instant.
func (t *Trail) Between(at, end time.Time) (out []contact.Reading) {
	for r := range t.From(at) {
		if r.At.After(end) {
			break
		}
		out = append(out, r)
	}
	return out
}

// upTo is the trail without what was read after an instant.
func (t *Trail) upTo(at time.Time) *Trail {
	for ; t != nil && t.At.After(at); t = t.before {
		if n := t.lastTo(at); n >= 0 {
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
