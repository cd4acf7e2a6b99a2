package cellar

import (
	"iter"
	"slices"
	"sort"
	"time"

	"cellar.example/mustwatch/domain/subject"
	"cellar.example/mustwatch/domain/text"
)

// Event is one line of what was written, for histories.
type Event struct {
	Seq       Seq
	At        time.Time
	Written   time.Time
	By        Initials
	Entry     string
	Subject   subject.Ref
	Text      string // made of say when it is asked for
	say       text.Say
	TakenBack bool // the entry was taken back since, wherever it had reached
	Halt      *Halt
}

// Halt is what an event says of a press that came to stand, or went on.
type Halt struct {
	GoesOn bool
	Why    string
}

// history is what was written, as it was written: what was corrected later stands
// beside it. A reading that is kept in a row is told from there.
type history struct {
	events []Event                   // in the order of the journal
	of     map[subject.Ref][]writing // of each subject, by true time
	by     map[Initials][]writing    // by each person, in the order of the journal
}

// writing is one of the events, or with isRow of the rows of readings.
type writing uint32

const isRow writing = 1 << 31

// log keeps what a record did to a subject, said with values in the order of the template's names.
func (s *State) log(r Record, of subject.Ref, template string, values ...any) {
	s.history.events = append(s.history.events, Event{Seq: r.Seq, At: r.At, Written: r.Written, By: r.By,
		Entry: r.Entry, Subject: of, say: text.Of(template, values...)})
	s.wroteOf(of, r.By, writing(len(s.history.events)-1))
}

// wroteOf lists what was written under its subject, behind all that is as old, and under
// who wrote it.
func (s *State) wroteOf(of subject.Ref, by Initials, w writing) {
	if s.history.of == nil {
		s.history.of, s.history.by = map[subject.Ref][]writing{}, map[Initials][]writing{}
	}
	s.history.by[by] = append(s.history.by[by], w)
	all, at := s.history.of[of], s.writtenAt(w)
	n := len(all)
	if n > 0 && at < s.writtenAt(all[n-1]) {
		n = sort.Search(n, func(i int) bool { return s.writtenAt(all[i]) > at })
	}
	s.history.of[of] = slices.Insert(all, n, w)
}

// writtenAt is the true time of what was written, in seconds, by the clock it was
// written by.
func (s *State) writtenAt(w writing) int64 {
	if w&isRow != 0 {
		return s.book.readings.rows.at(int(w &^ isRow)).at
	}
	return s.history.events[w].At.Unix()
}

func (s *State) event(w writing) Event {
	if w&isRow == 0 {
		e := s.history.events[w]
		e.Text, e.TakenBack = s.At(e.At).Words(e.say), s.takenBack(e.Seq)
		return e
	}
	r := s.book.readings.record(s.book.readings.rows.at(int(w &^ isRow)))
	f := r.Fact.(*WasRead)
	return Event{Seq: r.Seq, At: r.At, Written: r.Written, By: r.By, Entry: r.Entry, Subject: vesselRef(f.Vessel),
		Text: f.wrote(s), TakenBack: s.takenBack(r.Seq)}
}

// takenBack reports whether an entry was taken back as a whole.
func (s *State) takenBack(seq Seq) bool {
	e, a := s.entryOf(seq), s.asideOf(seq)
	return e != nil && e.takenBack() || a != nil && a.taken
}

// LatestEvents goes over all that was written, from the last record back.
func (s *State) LatestEvents(yield func(Event) bool) {
	rows := s.book.readings.rows
	i, k := len(s.history.events), rows.n
	for i > 0 || k > 0 {
		w := writing(i - 1)
		if i == 0 || k > 0 && rows.at(k-1).seq > s.history.events[i-1].Seq {
			k--
			w = isRow | writing(k)
		} else {
			i--
		}
		if !yield(s.event(w)) {
			return
		}
	}
}

// latestBy goes over what somebody wrote, from their last record back.
func (s *State) latestBy(who Initials) iter.Seq[Event] {
	return func(yield func(Event) bool) {
		for _, w := range slices.Backward(s.history.by[who]) {
			if !yield(s.event(w)) {
				return
			}
		}
	}
}

// LatestOf goes over what was written about a subject, from the latest by true time
// back.
func (s *State) LatestOf(of subject.Ref) iter.Seq[Event] {
	return func(yield func(Event) bool) {
		for _, w := range slices.Backward(s.history.of[of]) {
			if !yield(s.event(w)) {
				return
			}
		}
	}
}

// EventsOf lists what was written about a subject, oldest first by true time.
func (s *State) EventsOf(of subject.Ref) (out []Event) {
	for _, w := range s.history.of[of] {
		out = append(out, s.event(w))
	}
	return out
}

// eventBy is the first thing that a record wrote; ok is false where it wrote nothing.
func (s *State) eventBy(seq Seq) (e Event, ok bool) {
	all := s.history.events
	i := sort.Search(len(all), func(i int) bool { return all[i].Seq >= seq })
	if x := s.book.readings.entryOf(seq); x != nil {
		return s.event(isRow | writing(x.mark.row)), true
	}
	if i == len(all) || all[i].Seq != seq {
		return e, false
	}
	return all[i], true
}
