package cellar_test

import (
	"testing"
	"time"

	"pgregory.net/rapid"

	"cellar.example/mustwatch/domain/cellar"
)

// kept is what a state is after it was written down and read again.
func kept(t interface{ Fatal(...any) }, s *cellar.State) *cellar.State {
	data, err := s.Kept()
	if err != nil {
		t.Fatal(err)
	}
	out, err := cellar.Restored(data)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func inAllAlike(t interface{ Fatal(...any) }, got, want *cellar.State) {
	if err := cellar.Alike(got, want); err != nil {
		t.Fatal(err)
	}
}

// A state that was kept in the middle of a night and taken up again is the state that the
// whole journal adds up to, in every field, whatever is said, corrected and taken back
// after that.
func TestKeptIsReplayed(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h, night := drawNight(t)
		cut := rapid.IntRange(0, len(night)).Draw(t, "kept after")
		one, two := openHouse(t).s, openHouse(t).s
		apply := func(r cellar.Record) {
			cellar.Apply(one, again(t, r))
			cellar.Apply(two, again(t, r))
			_ = two.Clocks() // a board looks at it, a replay does not
		}
		for _, r := range night[:cut] {
			apply(r)
		}
		two = kept(t, two)
		inAllAlike(t, two, one)
		for _, r := range night[cut:] {
			apply(r)
		}
		inAllAlike(t, two, one)
		seq := h.s.Seq
		for range rapid.IntRange(0, 4).Draw(t, "corrected") {
			if len(night) == 0 {
				break
			}
			of := pick(t, "of", night...)
			seq++
			r := takeBack(of, seq-1)
			c := &cellar.Corrected{Of: of.Seq, Reason: "drawn"}
			if _, ok := amended(t, of, nil); ok && rapid.Bool().Draw(t, "corrected") {
				amended(t, of, c)
				r.Fact = c
			}
			apply(r)
		}
		inAllAlike(t, two, one)
		inAllAlike(t, kept(t, two), one)
		sameCellar(t, two, one)
	})
}

// The same of the commands that a night is made of beside what flows.
func TestKeptIsReplayedOfAnything(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h := &house{s: cellar.NewState(), now: sixPM}
		var recs []cellar.Record
		h.saw = func(r cellar.Record) { recs = append(recs, r) }
		for _, l := range smallHouse {
			if err := h.line(l); err != nil {
				t.Fatal(err)
			}
		}
		n := rapid.IntRange(0, 40).Draw(t, "commands")
		for range n {
			h.now = h.now.Add(time.Duration(rapid.IntRange(0, 40).Draw(t, "later")) * time.Minute)
			before := h.s.Seq
			_, _ = h.try(anyCommand(t, h), h.now)
			if h.s.Seq != before && rapid.IntRange(0, 9).Draw(t, "kept") == 0 {
				h.s = kept(t, h.s)
			}
		}
		s := cellar.NewState()
		for _, r := range recs {
			cellar.Apply(s, again(t, r))
		}
		inAllAlike(t, h.s, s)
	})
}

// What is broken, cut off or of another program is no state, and never a wrong one.
func TestKeptIsNotReadBroken(t *testing.T) {
	data, err := openHouse(t).s.Kept()
	if err != nil {
		t.Fatal(err)
	}
	for n := 0; n < len(data); n += 1 + len(data)/300 {
		if _, err := cellar.Restored(data[:n]); err == nil {
			t.Fatalf("%d of %d bytes are a state", n, len(data))
		}
	}
}
