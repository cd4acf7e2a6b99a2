package cellar

import (
	"slices"
	"strings"
	"time"

	"cellar.example/mustwatch/domain/caution"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/subject"
)

// What everybody does, in the words of the trade's safety sheets.
var actGas = caution.BadGas.Text() + " Never go in after anyone."

const (
	actMissing = "Shout their name. Meter before any pit. Nobody goes down alone."
	actInside  = "GET HELP, STAY OUT."
)

// How an emergency comes off the top.
const (
	endsByName  = "Stays until a person ends it by name. A lower reading does not."
	endsCounted = "Stays until they are counted, or a person ends it by name."
	endsOut     = "Stays until you save that they are out (z c), or who watches (z a)."
)

func (s *State) insideEmergency(p Peril) Emergency {
	return Emergency{Kind: EmergencyInside, Place: p.Place, Who: []Initials{p.Who}, At: p.Since, Rings: p.Since,
		By: p.Who, Title: s.Words(p.Says()), Act: actInside, Ends: endsOut}
}

func (s *State) missingEmergency(all []*emergency, now time.Time) Emergency {
	e := Emergency{Kind: EmergencyMissing, At: all[0].at, Rings: all[0].rings, By: all[0].by, Act: actMissing,
		Ends: endsCounted}
	last := all[0].count
	var seen []string
	for _, x := range all {
		e.Who = append(e.Who, x.who)
		e.Rings = laterOf(e.Rings, x.rings) // one more is missing: it rings again
		if x.count.At.After(last.At) {
			last = x.count
		}
		seen = append(seen, string(x.who)+" "+x.seen)
	}
	e.Title = "MISSING: " + Spaced(e.Who)
	e.Says = []string{s.phrase("{counted} of {listed} counted at {time} by {who}, {ago}",
		last.Listed-len(last.Missing)-len(last.Break), last.Listed-len(last.Break), last.At, last.By, ago(last.At,
			now)), strings.Join(seen, ". ")}
	return e
}

func (s *State) gasEmergency(x *emergency, now time.Time) Emergency {
	e := Emergency{Kind: EmergencyGas, Place: s.placeOf(x), At: x.at, Rings: x.rings, By: x.by, Act: actGas,
		Ends: endsByName}
	e.Title = strings.ToUpper(firstWords(e.Place, "place not said")) + ": STAY OUT"
	g := s.gasOf(x.gas)
	if g == nil {
		return e
	}
	if s.deadlyCO2(*g) || !s.deadlyO2(*g) { // limits may have been changed since
		e.CO2 = g.CO2
	}
	if s.deadlyO2(*g) || e.CO2 == nil {
		e.O2 = g.O2
	}
	read := s.phrase("{gas}, read {time} by {who}, {ago}", g.Text(), g.At, g.By, ago(g.At, now))
	if g.TakenBack {
		read += ", taken back"
	}
	e.Says = append(e.Says, read)
	if last, ok := s.LastGasAt(e.Place); ok && last.Seq != g.Seq && !last.At.Before(g.At) {
		e.Says = append(e.Says, s.phrase("newer reading, {time} by {who}: {gas}", last.At, last.By, last.Text()))
	}
	return e
}

// ago is how long an instant is past, in words.
func ago(t, now time.Time) string {
	d := now.Sub(t)
	if d < time.Minute {
		return "just now"
	}
	return quantity.Span(d.Truncate(time.Minute)).String() + " ago"
}

// Line is an emergency in one line: what, what was read, what to do.
func (e Emergency) Line() string {
	return strings.TrimSuffix(strings.Join(append([]string{e.Title}, e.Says...), ". "), ".") + ". " + e.Act
}

// lastSeen says where somebody was last before an instant, by what was written: the
// last thing they wrote, went into or came out of.
func (s *State) lastSeen(who Initials, before time.Time) string {
	var at time.Time
	where := ""
	see := func(t time.Time, place string) {
		if place != "" && !t.After(before) && !t.Before(at) {
			at, where = t, place
		}
	}
	for e := range s.latestBy(who) {
		if e.Written.Add(maxAhead).Before(at) {
			break // nothing that was written before that is later
		}
		if e.At.Equal(at) {
			continue // written after it, and as late
		}
		if !slices.Contains(notAPlace, e.Subject) && e.Subject.Kind != subject.Product {
			see(e.At, e.Subject.Name)
		}
	}
	for _, x := range s.stays {
		if x.Who == who && x.Taken == "" {
			see(x.Since, "in "+x.Place)
			see(x.Out, x.Place)
		}
	}
	if where == "" {
		return "has saved nothing yet"
	}
	return s.phrase("last entry at {time}: {place}", at, where)
}

// notAPlace are the subjects of what is written that say nothing about where its
// writer was.
var notAPlace = []subject.Ref{theHouse, theCrew, theShift}
