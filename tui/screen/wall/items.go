package wall

import (
	"fmt"
	"sort"
	"strings"
	"time"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/tui/cell"
	"cellar.example/mustwatch/tui/face"
)

// item is one thing that is due, in the few words the wall has for it.
type item struct {
	number string   // capitals: "P2", "0416"
	block  bool     // it is a tank or a press, not a load, a person or a word
	count  string   // time left or over, with its letter: "26m", "1h45", "+12m", "NOW", "MAY"
	word   string   // one word of action
	who    string   // initials: whose it is, or who has seen it
	notes  []string // the whole verb and the time, for those who stand near
	alarm  bool     // it stands on top, reversed, with its mark
	soon   bool     // due within a quarter of an hour
}

// How near a due must be to be marked, and how far ahead a load that is booked
// is worth a place.
const (
	soonWithin = 15 * time.Minute
	loadAhead  = time.Hour
)

// items picks at most n of what is due, and counts what found no place. Alarms
// nobody has seen stand first, as on every face, then those somebody has, then
// the rest by time. What may be done but need not stands only where there is
// room.
func items(g face.Sight, n int) (shown []item, rest []cellar.Due) {
	var acts, may, later []cellar.Due
	for _, d := range g.Next() {
		ahead := d.At.Sub(g.Now)
		switch {
		case len(d.Folded) > 0: // a line, and no place
			continue
		case d.Notice != "": // worth a look at the desk, nothing to run for
		case d.Kind != cellar.NotBefore, overdue(d, g):
			acts = append(acts, d)
		case d.Clock == "" && ahead <= loadAhead || d.Clock != "" && ahead <= 0:
			may = append(may, d)
		default:
			later = append(later, d)
		}
	}
	sort.SliceStable(acts, func(i, j int) bool { return rank(acts[i], g) < rank(acts[j], g) })
	all := append(acts, may...)
	if len(all) == 0 {
		all = later
	}
	for i := 0; i < min(n, len(all)); i++ {
		shown = append(shown, itemOf(all[i], g))
	}
	if len(acts) > n {
		rest = acts[n:]
	}
	return shown, rest
}

// staleItem is the board that is not heard of, as an alarm of its own.
func staleItem(g face.Sight) item {
	return item{number: spell(g.Stale.Station), count: count(-g.Stale.For), word: "STALE", alarm: true,
		notes: []string{"last heard " + face.Clock(g.Stale.Heard, g.Now, g.State.Zone()), "may be old"}}
}

func rank(d cellar.Due, g face.Sight) int {
	switch {
	case d.Raised && !d.Taken:
		return 0
	case d.Raised:
		return 1
	case overdue(d, g):
		return 2
	}
	return 3
}

// overdue reports whether it is a load that was to be there and has not been seen.
func overdue(d cellar.Due, g face.Sight) bool {
	l, ok := g.State.Load(cellar.LoadID(d.Subject.Name))
	return ok && d.Subject == l.Ref() && d.Clock == "" && d.Notice == "" && l.Late(g.Now) > 0
}

func itemOf(d cellar.Due, g face.Sight) item {
	left := d.At.Sub(g.Now)
	sub := face.SubjectOf(d.Subject)
	it := item{number: spell(g.State.NameOf(d.Subject)), block: sub.Vessel != "" || sub.Press != "", count: count(left),
		word: word(act(d, g)),
		who:  spell(string(d.Owner)), alarm: d.Raised || overdue(d, g)}
	it.soon = !d.Raised && d.Kind != cellar.NotBefore && left <= soonWithin
	at := face.Clock(d.At, g.Now, g.State.Zone())
	var notes []string
	if it.word != spell(d.Verb) { // the large word does not say it all
		notes = append(notes, d.Verb)
	}
	switch {
	case d.Clock != "" && d.Kind == cellar.NotBefore:
		if left <= 0 {
			it.count = "CAN"
		}
		notes = append(notes, "from "+at)
	case it.alarm && d.Clock == "":
		notes = append(notes, "booked "+at+", not arrived")
	case d.Clock == "":
		notes = append(notes, "booked "+at)
	case !d.Until.IsZero() && left <= 0:
		notes = append(notes, face.VoidIn(d.At, d.Until, g.Now))
		if face.TurnOf(d.At, d.Until, g.Now) == face.Void {
			it.word = "VOID"
		} else {
			it.count = "NOW"
		}
	case d.Kind == cellar.NotAfter:
		notes = append(notes, "by "+at)
	case left <= 0:
		notes = append(notes, "late, due "+at)
	default:
		notes = append(notes, at)
	}
	if d.AcknowledgedBy != "" {
		it.who = spell(string(d.AcknowledgedBy))
		notes = append([]string{"acknowledged by " + string(d.AcknowledgedBy)}, notes...)
	}
	it.notes = notes
	return it
}

// note is as much of an item's notes as w cells hold, whole ones and at least the
// words that fit: half a time is another one.
func (it item) note(w int) string {
	for n := len(it.notes); n > 0; n-- {
		if text := strings.Join(it.notes[:n], ", "); cell.Width(text) <= w {
			return text
		}
	}
	if len(it.notes) == 0 {
		return ""
	}
	return append(cell.Wrap(it.notes[0], max(1, w)), "")[0]
}

// count is the time left or over in the figures of the wall, each with its letter:
// a bare 105 beside a tank called 103 is read as one. A begun minute counts.
func count(left time.Duration) string {
	sign, d := "", left+time.Minute-1
	switch {
	case left <= 0 && left > -time.Minute:
		return "NOW"
	case left < 0:
		sign, d = "+", -left
	}
	m, h := int(d/time.Minute), int(d/time.Hour)
	switch {
	case m < 60:
		return fmt.Sprintf("%s%dm", sign, m)
	case h < 10:
		return fmt.Sprintf("%s%dh%02d", sign, h, m%60)
	case h < 48:
		return fmt.Sprintf("%s%dh", sign, h)
	}
	return fmt.Sprintf("%s%dd", sign, min(99, h/24))
}

// act is the code of what is to be done, or the words that somebody typed for it.
func act(d cellar.Due, g face.Sight) string {
	if k, ok := g.State.ClockByID(d.Clock); ok {
		return k.Verb
	}
	return d.Verb
}

// oneWord are the codes whose first word is not the one that says what to do.
var oneWord = map[string]string{"second-look": "check", "all-out": "out"}

// word is the one word of an act that is seen from afar.
func word(act string) string {
	w := oneWord[act]
	if f := strings.FieldsFunc(act, func(r rune) bool { return r == ' ' || r == '-' }); w == "" && len(f) > 0 {
		w = f[0]
	}
	return spell(w)
}

// restLine counts what found no place and names as much of it as w cells hold, what
// is overdue first.
func restLine(rest []cellar.Due, g face.Sight, w int) string {
	counted := olderLine(g)
	if len(rest) == 0 {
		return counted
	}
	if counted != "" {
		counted = " · " + counted
		w -= cell.Width(counted)
	}
	text := fmt.Sprintf("and %d more", len(rest))
	if n := lates(rest, g); n > 0 {
		text += fmt.Sprintf(", %d overdue", n)
	}
	for i, d := range rest {
		next := text + map[bool]string{true: ": ", false: ", "}[i == 0] + fmt.Sprintf("%s %s %s",
			g.State.NameOf(d.Subject), d.Verb, count(d.At.Sub(g.Now)))
		if cell.Width(next) > w {
			break
		}
		text = next
	}
	return text + counted
}

// olderLine counts what came due before this shift and the last.
func olderLine(g face.Sight) string {
	for _, d := range g.Next() {
		if len(d.Folded) > 0 {
			return face.Older(d, g.Now, g.State.Zone())
		}
	}
	return ""
}

func lates(rest []cellar.Due, g face.Sight) (n int) {
	for _, d := range rest {
		if rank(d, g) < 3 {
			n++
		}
	}
	return n
}
