package cellar

import (
	"cmp"
	"slices"
	"time"

	"cellar.example/mustwatch/domain/quantity"
)

// A load is what was booked, what its ticket says and where it was tipped: where it
// stands and what is left of it follows, in whatever order that was saved.

// trailer is what is known of a load.
type trailer struct {
	booked *Load
	ticket *Load
	fills  []Fill
	whole  bool // all of it is in, by an opening
}

// Fill is what was said of one load, or a part of it, that ran into a press or a vessel.
type Fill struct {
	Seq     Seq
	At      time.Time
	Written time.Time
	By      Initials
	To      TankNumber
	Vessel  bool
	Load    LoadID
	Mass    quantity.Mass
	All     bool // all that was left: it follows the ticket
	Done    bool // it was said to be all in
}

// onTrailer is what is known of a load, as a copy to be changed.
func (h *holding) onTrailer() *trailer {
	if h == nil || h.trailer == nil {
		return &trailer{}
	}
	x := *h.trailer
	x.fills = slices.Clone(x.fills)
	return &x
}

// onLoad makes the line of what was said of a load alone.
func (s *State) onLoad(e *entry, at time.Time, id LoadID, do func(x *trailer)) []*line {
	return []*line{e.line(at, 0, func(before []*holding) []*holding {
		x := before[0].onTrailer()
		if !e.takenBack() {
			do(x)
		}
		return []*holding{{trailer: x}}
	}, loadPlace(id))}
}

// in is what has left the trailer.
func (x *trailer) in() (sum quantity.Mass) {
	for _, f := range x.fills {
		sum += f.Mass
	}
	return sum
}

// said is what was said to have left a trailer, whatever its ticket says.
func (l *Load) said() quantity.Mass { return l.goneBy(time.Time{}) }

// goneBy is the same with all that had left it by an instant: what took the rest later
// took less.
func (l *Load) goneBy(at time.Time) (sum quantity.Mass) {
	if len(l.Fills) == 0 {
		return l.In
	}
	for _, f := range l.Fills {
		if !f.All || !f.At.After(at) {
			sum += f.Mass
		}
	}
	return sum
}

// load is the load by what is known of it; ok is false where nothing is.
func (x *trailer) load(id LoadID) (l Load, ok bool) {
	if x.booked != nil {
		l = *x.booked
	}
	if t := x.ticket; t != nil {
		l.fill(*t)
		l.Arrived, l.Gross, l.Tare, l.Net = t.Arrived, t.Gross, t.Tare, t.Net
		l.Brix, l.PH, l.Temp, l.Rot = t.Brix, t.PH, t.Temp, t.Rot
		l.Seq, l.By, l.Written = t.Seq, t.By, t.Written
	}
	l.ID, l.In, l.Fills, l.State = id, x.in(), x.fills, LoadExpected
	ran := len(x.fills) > 0
	switch {
	case x.whole:
		l.In, l.State = l.Net, LoadIn
	case ran && x.ticket != nil && l.In >= l.Net && !slices.ContainsFunc(x.fills, func(f Fill) bool { return !f.Done }):
		l.State = LoadIn
	case ran:
		l.State = LoadTipping
	case x.ticket != nil:
		l.State = LoadWaiting
	}
	return l, ran || x.booked != nil || x.ticket != nil
}

// tips lets a load run somewhere: what was said, or all that its ticket leaves.
func (x *trailer) tips(e *entry, f *Tipping) *Fill {
	l, _ := x.load(f.Load)
	fill := Fill{Seq: e.Seq, At: e.At, Written: e.Written, By: e.By, To: f.To, Vessel: f.Vessel, Load: f.Load,
		Mass: f.Mass, All: f.All}
	if f.All {
		fill.Mass = max(0, l.Net-l.In)
	}
	x.fills = append(x.fills, fill)
	return &fill
}

// tipped says that what ran before is all in: a trailer tips into one place at a time.
func (x *trailer) tipped() {
	for i := range x.fills {
		x.fills[i].Done = true
	}
}

// variety is of which grapes a load is, by what is known of it, or as was said of it.
func (x *trailer) variety(said string) string {
	for _, l := range []*Load{x.ticket, x.booked} {
		if l != nil && l.Variety != "" {
			return l.Variety
		}
	}
	return said
}

// brings brings the list of loads to what is known of one: by the time it was booked for,
// or came.
func (s *State) brings(id LoadID, x *trailer) {
	i := slices.IndexFunc(s.Loads, func(l *Load) bool { return l.ID == id })
	l, known := x.load(id)
	switch {
	case !known && i >= 0:
		s.Loads = slices.Delete(slices.Clone(s.Loads), i, i+1)
		return
	case !known:
		return
	case i < 0:
		s.Loads = append(s.Loads, &l)
	default:
		*s.Loads[i] = l
	}
	slices.SortStableFunc(s.Loads, func(a, b *Load) int {
		return cmp.Or(a.first().Compare(b.first()), cmp.Compare(a.ID,
			b.ID))
	})
}

// first is when a load was booked for, or is first heard of.
func (l *Load) first() time.Time {
	switch {
	case !l.Booked.IsZero():
		return l.Booked
	case !l.Arrived.IsZero() || len(l.Fills) == 0:
		return l.Arrived
	}
	return l.Fills[0].At
}
