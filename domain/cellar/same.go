package cellar

import (
	"fmt"

	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/subject"
)

// same closes an entry that stands written already.
func (d *decision) same() ([]Fact, error) {
	for _, f := range d.found {
		if f.Like != 0 {
			return []Fact{&SameEntry{Of: Seq(f.Like), Subject: d.subject, What: d.what, Rule: f.Rule}}, nil
		}
	}
	return nil, reject("same", "", "nothing like it stands written yet; write it as it was")
}

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
			f.Message += " Is this the same one, or one more?"
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
	What    string      `json:"what"`
	Rule    gate.Code   `json:"rule"`
}

func (f *SameEntry) apply(s *State, r Record) {
	text := fmt.Sprintf("%s: the same as entry %d", f.What, f.Of)
	if e, ok := s.eventBy(f.Of); ok {
		text = fmt.Sprintf("%s: the same that %s wrote for %s, not counted again", f.What, e.By, s.Clock(e.At))
	}
	s.log(r, s.formerly(f.Subject), text)
}

var _ = fact[SameEntry]("same-entry")
