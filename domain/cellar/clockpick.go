package cellar

import (
	"encoding/json"
	"slices"
	"strings"
	"time"

	"cellar.example/mustwatch/domain/subject"
	"cellar.example/mustwatch/domain/text"
)

// LineName names an entry: by its number in the journal, or by the id that its sender gave it.
type LineName struct {
	Seq Seq
	ID  string
}

// IsZero reports whether no entry is named.
func (n LineName) IsZero() bool { return n == LineName{} }

// MarshalJSON implements json.Marshaler.
func (n LineName) MarshalJSON() ([]byte, error) {
	if n.ID != "" {
		return json.Marshal(n.ID)
	}
	return json.Marshal(n.Seq)
}

// UnmarshalJSON implements json.Unmarshaler: a number, or the id as text.
func (n *LineName) UnmarshalJSON(raw []byte) error {
	*n = LineName{}
	if len(raw) > 0 && raw[0] == '"' {
		return json.Unmarshal(raw, &n.ID)
	}
	return json.Unmarshal(raw, &n.Seq)
}

// of reports whether an entry is the one that is named.
func (n LineName) of(s *State, seq Seq) bool {
	if n.ID == "" {
		return n.Seq == seq
	}
	e, ok := s.eventBy(seq)
	return ok && e.Entry == n.ID
}

// clockPick names one running clock: by its id, as the only one of a subject, or as the one there with a
// verb, with the due it has, or that rests on a line.
type clockPick struct {
	id      ClockID
	subject subject.Ref
	verb    string
	was     time.Time
	line    LineName
}

func (p clockPick) means(s *State, c *AlarmClock) bool {
	return p.subject.Meets(c.Subject) && (p.verb == "" || c.Verb == p.verb || c.Says() == p.verb) &&
		(p.was.IsZero() || sameMinute(c.Due, p.was)) && (p.line.IsZero() || p.line.of(s, s.lineOfClock(c)))
}

// sameMinute reports whether an instant is the one that somebody read, to the minute, and typed.
func sameMinute(t, typed time.Time) bool {
	return t.Equal(Instant(typed)) || t.Truncate(time.Minute).Equal(typed)
}

// lineOfClock is the entry that a clock rests on: what it follows from, the promise that it is of, or
// that it was set by.
func (s *State) lineOfClock(c *AlarmClock) Seq {
	for _, n := range s.Notes {
		if n.Clock == c.ID {
			return n.Seq
		}
	}
	return c.ground
}

// clock is the running clock that is meant. Where several are, all are listed, and what tells them apart.
func (d *decision) clock(p clockPick) (*AlarmClock, error) {
	if p.id != "" {
		c := d.s.clocks[p.id]
		switch {
		case c == nil:
			return nil, reject("clock", "clock", "that clock has ended")
		case c.Done:
			return nil, reject("done", "clock", "{done_words}", d.s.doneWords(c))
		}
		return c, nil
	}
	var hits []*AlarmClock
	var on []subject.Ref
	for _, c := range d.s.Clocks() {
		if p.means(d.s, c) {
			hits, on = append(hits, c), append(on, c.Subject)
		}
	}
	if err := which(p.subject, on, "subject"); err != nil {
		return nil, err
	}
	switch len(hits) {
	case 0:
		for _, id := range slices.Backward(d.s.clockOrder) {
			if c := d.s.clocks[id]; c.Done && p.means(d.s, c) {
				return nil, reject("done", "subject", "{done_words}", d.s.doneWords(c))
			}
		}
		return nil, reject("clock", "subject", "no such clock runs on {what:%q}", p.subject)
	case 1:
		return hits[0], nil
	}
	var all []text.Say
	for _, c := range hits {
		all = append(all, text.Of("{verb} due {time} (\"was\":\"{was}\", \"of\":{line})", c.Says(), d.saysDay(c.Due),
			c.Due.In(d.s.Zone()).Format(time.RFC3339), int(d.s.lineOfClock(c))))
	}
	return nil, reject("clock", p.field(hits), "{count} clocks run on {what}: {all}; type \"verb\", \"was\" "+
		"or \"of\" of the one you mean", len(hits), p.subject, text.Join("; ", all...))
}

// field is where the clocks that are meant differ first: the verb, else the due.
func (p clockPick) field(hits []*AlarmClock) string {
	if slices.ContainsFunc(hits, func(c *AlarmClock) bool { return c.Verb != hits[0].Verb }) {
		return "verb"
	}
	return "was"
}

// note is the open note that is meant: by its id, as the only one of a subject, or by its line or its time.
func (d *decision) note(c *EndNote) (*Note, error) {
	of := c.Subject
	if of.IsZero() { // as where it was written
		of = theCellar
	}
	var hits []*Note
	var on []subject.Ref
	for _, n := range d.s.Notes {
		switch {
		case c.What != "" && n.What != c.What:
		case n.Done || c.Note != "" && n.ID != c.Note || c.Note == "" && !of.Meets(n.Subject):
		case !c.Of.IsZero() && !c.Of.of(d.s, n.Seq) || !c.Was.IsZero() && !sameMinute(n.Until, c.Was):
		default:
			hits, on = append(hits, n), append(on, n.Subject)
		}
	}
	if err := which(of, on, "subject"); err != nil {
		return nil, err
	}
	switch len(hits) {
	case 0:
		return nil, reject("note", "subject", "there is no such open note")
	case 1:
		return hits[0], nil
	}
	var all []text.Say
	for _, n := range hits {
		one := text.Of("{what} of {time}: {words} (\"of\":{line}", string(n.What), d.saysDay(n.At), firstOf(n.Text),
			int(n.Seq))
		if !n.Until.IsZero() {
			one = text.Of("{note}, \"was\":\"{was}\"", one, n.Until.In(d.s.Zone()).Format(time.RFC3339))
		}
		all = append(all, text.Of("{note})", one))
	}
	return nil, reject("note", "of", "{count} notes are open on {what}: {all}; type \"what\" or \"of\" of the "+
		"one you mean", len(hits), of, text.Join("; ", all...))
}

// firstOf is enough of a note to know it by.
func firstOf(words string) string {
	const most = 5
	all := strings.Fields(words)
	if len(all) <= most {
		return strings.Join(all, " ")
	}
	return strings.Join(all[:most], " ") + " …"
}
