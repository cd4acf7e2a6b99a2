package cellar

import (
	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/subject"
	"cellar.example/mustwatch/domain/text"
)

// same closes an entry that stands written already.
func (d *decision) same() ([]Fact, error) {
	for _, f := range d.found {
		if f.Like != 0 {
			return []Fact{&SameEntry{Of: Seq(f.Like), Subject: d.subject, What: d.what, Rule: f.Rule}}, nil
		}
	}
	return nil, reject("same", "", "nothing like it is saved yet; save it as it was")
}

var sameOrMore = text.New("same-or-more", "Is this the same one, or one more?")

// unasked are the findings that are put also to whoever writes what has happened,
// where they stand unanswered: an earlier entry that may be this very one, so that
// nobody counts it twice, and what the board called not yet, which may be another
// vessel. By anybody's word it is written.
func (d *decision) unasked(open []gate.Finding) (out []gate.Finding) {
	for _, f := range open {
		_, answered := gate.AnswerTo(f, d.found, d.head.Answers)
		if f.Like == 0 && !f.Asked || answered {
			continue
		}
		f.Right, f.Second, f.Reason = gate.Anyone, false, false
		if f.Like != 0 {
			f.Say = text.Join(" ", f.Say, sameOrMore.Say())
		}
		out = append(out, f)
	}
	return out
}

// SameEntry is an entry that was written late, by somebody who did not know that
// it stood written. It changes nothing but the history.
type SameEntry struct {
	Of      Seq         `json:"of"`
	Subject subject.Ref `json:"subject"`
	What    text.Say    `json:"what"`
	Rule    gate.Code   `json:"rule"`
}

func (f *SameEntry) apply(s *State, r Record) {
	of := s.formerly(f.Subject)
	if e, ok := s.eventBy(f.Of); ok {
		s.log(r, of, "{what}: the same that {who} saved for {time}, not counted again", f.What, e.By, e.At)
		return
	}
	s.log(r, of, "{what}: the same as entry {entry}", f.What, f.Of)
}

var _ = fact[SameEntry]("same-entry")
