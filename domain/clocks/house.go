package clocks

import "time"

// House is the house's time on one machine: elapsed time since a sample. It is a
// value; the zero value is none.
type House struct {
	base    time.Time // house time at from
	from    Sample
	seen    Sample        // at the last Look
	floor   time.Time     // the last entry
	ahead   time.Duration // the wall ahead of the house, as last noticed
	granted time.Duration // of that, what a person has said is right
	before  time.Duration // what was known of the wall before a restart of the machine
	lost    bool
	since   time.Time
}

// Begin takes the house's time up at s. last is the latest anchor there is, zero
// for none; granted is how far a person has said the wall is off; floor is the
// instant of the last entry. A step that happened while no board ran comes back
// as an event.
func Begin(s Sample, last Anchor, granted time.Duration, floor time.Time) (House, []Event) {
	h := House{base: s.Wall, from: s, seen: s, floor: floor, granted: granted}
	known := last.Ahead()
	var events []Event
	switch {
	case last.House.IsZero():
	case s.sees() && last.BootID == s.BootID && s.Boot >= last.Boot:
		h.base = last.House.Add(s.Boot - last.Boot)
		h.ahead = s.Wall.Sub(h.base)
		if abs(h.ahead-known) > Slack {
			events = append(events, Event{Kind: Stepped, By: h.ahead - known, From: h.base.Add(known), To: s.Wall,
				At: h.base, Away: true})
		}
		if abs(h.ahead) <= Slack { // the wall is right; what it was kept right by is taken in
			h.base, h.ahead = s.Wall, 0
		}
	case abs(known) <= Slack:
	case known < 0: // nobody knows whether the wall has been corrected: the later reading counts
		h.base, h.ahead, h.granted = s.Wall.Add(-known), known, 0
	default:
		h.before, h.granted = known, 0
	}
	h.since = h.base
	if floor.Sub(h.base) > FloorSlack {
		h.lost, h.base, h.since = true, floor, floor
		events = nil
	}
	return h, events
}

// Now is the house's time at s.
func (h *House) Now(s Sample) time.Time {
	t := h.elapsed(s)
	if h.lost && s.Wall.After(t) { // corrected meanwhile, as it seems: nothing is raised late
		t = s.Wall
	}
	if t.Before(h.floor) {
		return h.floor
	}
	return t
}

func (h *House) elapsed(s Sample) time.Time { return h.base.Add(s.Boot - h.from.Boot) }

// Look notices what happened since the last look. It is called once a second: the
// ends of a sleep and the instant of a step are known to that.
func (h *House) Look(s Sample) []Event {
	g, ran := Between(h.seen, s), s.Mono-h.seen.Mono
	was := h.Now(h.seen)
	h.seen = s
	var out []Event
	switch {
	case g.Slept > Slack:
		out = append(out, Event{Kind: Slept, From: was, To: h.Now(s), At: h.Now(s)})
	case ran > Slack && !h.lost:
		out = append(out, Event{Kind: Stood, From: was, To: h.Now(s), At: h.Now(s)})
	}
	if h.lost {
		return out
	}
	if !s.sees() && g.Stepped > Slack { // most likely asleep; in doubt nothing is raised late
		h.base = h.base.Add(g.Stepped)
		return append(out, Event{Kind: Unclear, From: was, To: h.Now(s), At: h.Now(s)})
	}
	t := h.elapsed(s)
	ahead := s.Wall.Sub(t)
	if by := ahead - h.ahead; abs(by) > Slack {
		out = append(out, Event{Kind: Stepped, By: by, From: t.Add(h.ahead), To: s.Wall, At: h.Now(s)})
		h.ahead, h.since = ahead, h.Now(s)
	}
	return out
}

// Anchor ties the house's time to the machine at s.
func (h *House) Anchor(s Sample) Anchor {
	return Anchor{House: plain(h.Now(s)), Wall: plain(s.Wall), BootID: s.BootID, Boot: s.Boot}
}

// plain drops the monotonic reading, which means nothing to another program.
func plain(t time.Time) time.Time { return t.UTC().Round(0) }

// Confirm takes the time a person has said: that of the anchor.
func (h *House) Confirm(a Anchor) {
	h.base, h.floor, h.since = a.House, a.House, a.House
	h.from.Boot = a.Boot
	h.ahead, h.granted = a.Ahead(), a.Ahead()
	h.before, h.lost = 0, false
}

// Ask is the question that stands open at s; its doubt is Sure when there is none.
func (h *House) Ask(s Sample) Question {
	q := Question{House: h.Now(s), Other: s.Wall, Since: h.since}
	switch {
	case h.lost:
		q.Doubt = Lost
	case h.before != 0:
		q.Doubt, q.Other = Restart, q.House.Add(-h.before)
	case abs(h.ahead) > Slack && abs(h.ahead-h.granted) > Slack:
		q.Doubt = Parted
	}
	return q
}
