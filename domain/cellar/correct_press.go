package cellar

import "time"

// What a press was said to do is put right like what flowed: its time, or all of it.

// pressAct is what an entry says that a press did, and which press; "" where it says
// something else.
func pressAct(f Fact) (p Plate, says string) {
	switch f := f.(type) {
	case *PressBegun:
		return f.Press, "programme " + f.Programme + " started"
	case *PressHalted:
		return f.Press, map[bool]string{true: "locked out: ", false: "stopped: "}[f.Locked] + f.Reason
	case *PressResumed:
		return f.Press, "goes on"
	case *PressEnded:
		return f.Press, "programme ended"
	case *PressFreed:
		return f.Press, "empty and rinsed"
	}
	return "", ""
}

// ofPress reports whether an entry is what a press did.
func ofPress(e *entry) bool {
	if e == nil {
		return false
	}
	p, _ := pressAct(e.Fact)
	return p != ""
}

// press takes back what a press did, or gives it another time.
func (c *Correct) press(d *decision, e *entry) ([]Fact, error) {
	p, says := pressAct(e.Fact)
	if e.struck("", "") {
		return nil, reject("struck", "of", "that entry is taken back already{by}", d.s.struckBy(c.Of))
	}
	f := &Corrected{Of: c.Of, Place: string(p), What: says, Field: "entry", Was: says, Strike: c.Strike, Reason: c.Reason}
	if !c.Strike {
		if c.Field != "at" {
			return nil, reject("field", "how", "it has no value: take it back, or correct its time")
		}
		t, err := time.Parse(time.RFC3339, c.Value)
		if err != nil || t.After(d.now) {
			return nil, reject("value", "value", "write the true time, not in the future, as 2026-09-24T22:15:00+02:00")
		}
		if err := d.opened(t, "value"); err != nil {
			return nil, err
		}
		f.Field, f.Was, f.Now = "at", e.At.Format(time.RFC3339), Instant(t).Format(time.RFC3339)
	}
	o := d.draftOf(f)
	d.mend(pressRef(p), &mendTry{field: f.Field, what: says, was: f.Was, now: f.Now, by: e.By, at: e.At, frees: o.frees(), retimes: o.retimes()})
	return []Fact{f}, d.possible(o, "value", func(n Seq) bool { return n == c.Of })
}

// correctablePresses is what a press did by one record.
func (s *State) correctablePresses(seq Seq) (out []Correctable) {
	if e := s.entryOf(seq); e != nil && !e.struck("", "") {
		if p, says := pressAct(e.Fact); p != "" {
			out = append(out, Correctable{Of: seq, At: e.At, By: e.By, Press: p, Field: WholeEntry, Value: says, Says: says, Written: e.Written})
		}
	}
	return out
}
