package cellar

import (
	"cmp"
	"errors"
	"fmt"
	"reflect"
	"slices"

	"cellar.example/mustwatch/domain/freeze"
)

// A state can be kept beside its journal, so that the next start need not fold a
// season. It is never part of the truth: whoever has it can do without it.

// kinds are what stands behind the interfaces of a state: facts, by their kind.
var kinds = freeze.Kinds{
	Name: func(v any) string {
		if f, ok := v.(Fact); ok {
			return Kind(f)
		}
		return ""
	},
	New: func(kind string) (any, bool) { return NewFact(kind) },
	Func: func(t reflect.Type) bool {
		return t == reflect.TypeOf(line{}.Fold) || t == reflect.TypeOf(sameHolding) ||
			t == reflect.TypeOf((&State{}).seen)
	},
}

// settle forgets what is only kept to be looked up sooner.
func (s *State) settle() {
	s.book.Settle()
	s.open = nil
	s.Clocks() // drops those that are done
	slices.SortFunc(s.going, func(a, b *AlarmClock) int { return cmp.Compare(a.nth, b.nth) })
	s.open, s.zone = nil, nil
}

// foldsAgain puts the folds back of what an entry says.
func (e *entry) foldsAgain(s *State) error {
	if len(e.seq) == 0 {
		return nil
	}
	fresh := e.again(s)
	if len(fresh) != len(e.seq) {
		return fmt.Errorf("record %d has %d lines, and had %d", e.Seq, len(fresh), len(e.seq))
	}
	for i, l := range e.seq {
		if fresh[i].Key.Compare(l.Key) != 0 || !slices.Equal(fresh[i].Places, l.Places) {
			return fmt.Errorf("record %d says something else than it did", e.Seq)
		}
		l.Fold = fresh[i].Fold
	}
	return nil
}

// Kept is the state as bytes that Restored makes a state of again.
func (s *State) Kept() ([]byte, error) {
	s.settle()
	return kinds.Bytes(s)
}

// Alike reports whether two states are one in every field, and why not.
func Alike(a, b *State) error {
	a.settle()
	b.settle()
	x, err := kinds.Plain(a)
	y, no := kinds.Plain(b)
	if err = errors.Join(err, no); err != nil {
		return err
	}
	if !slices.Equal(x, y) {
		for i := range min(len(x), len(y)) {
			if x[i] != y[i] {
				return fmt.Errorf("states of %d and %d bytes differ from byte %d on: %q and %q", len(x), len(y), i,
					x[max(0, i-60):min(len(x), i+40)], y[max(0, i-60):min(len(y), i+40)])
			}
		}
		return fmt.Errorf("states of %d and %d bytes differ", len(x), len(y))
	}
	return nil
}

// Restored makes a state of bytes that Kept gave. The error says that they are none of
// this program's.
func Restored(data []byte) (*State, error) {
	s := &State{}
	if err := kinds.Into(data, s); err != nil {
		return nil, err
	}
	if s.book == nil || s.book.Book == nil || s.book.readings == nil {
		return nil, errors.New("there is no book in it")
	}
	s.book.GoesBy(sameHolding, s.seen)
	for _, e := range s.said {
		if err := e.foldsAgain(s); err != nil {
			return nil, err
		}
	}
	return s, nil
}
