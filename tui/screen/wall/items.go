package wall

import (
	"fmt"
	"sort"
	"strings"
	"time"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/tui/face"
)

// item is one thing that is due, in the few words the wall has for it.
type item struct {
	plate string // capitals: "P2", "0416"
	count string // minutes left or over: "26", "4:59", "+12", "NOW", "MAY"
	word  string // one word of action
	who   string // initials: whose it is, or who has seen it
	note  string // the whole verb, the time and the unit of the count, for those who stand near
	alarm bool   // it stands on top, reversed, with its mark
	soon  bool   // due within a quarter of an hour
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
		case d.Notice != "": // worth a look at the desk, nothing to run for
		case d.Kind != cellar.NotBefore:
			acts = append(acts, d)
		case d.Clock == "" && ahead <= loadAhead || d.Clock != "" && ahead <= 0:
			may = append(may, d)
		default:
			later = append(later, d)
		}
	}
	sort.SliceStable(acts, func(i, j int) bool { return rank(acts[i]) < rank(acts[j]) })
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
	n := int(g.Stale.For.Seconds())
	it := item{plate: spell(g.Stale.Station), count: fmt.Sprintf("%d:%02d", n/60, n%60), word: "STALE", alarm: true,
		note: fmt.Sprintf("last heard %s; may be old", face.Clock(g.Stale.Heard, g.Now, g.State.Zone()))}
	if g.Stale.For >= 10*time.Minute {
		it.count = fmt.Sprintf("+%d", n/60)
	}
	return it
}

func rank(d cellar.Due) int {
	switch {
	case d.Raised && !d.Taken:
		return 0
	case d.Raised:
		return 1
	}
	return 2
}

func itemOf(d cellar.Due, g face.Sight) item {
	left := d.At.Sub(g.Now)
	it := item{plate: spell(d.Subject), count: count(left), word: word(d.Verb), who: spell(string(d.Owner)), alarm: d.Raised}
	it.soon = !d.Raised && d.Kind != cellar.NotBefore && left <= soonWithin
	at := face.Clock(d.At, g.Now, g.State.Zone())
	var notes []string
	if strings.Contains(d.Verb, " ") {
		notes = append(notes, d.Verb)
	}
	switch {
	case d.Clock != "" && d.Kind == cellar.NotBefore:
		if left <= 0 {
			it.count = "MAY"
		}
		notes = append(notes, "may, from "+at)
	case d.Clock == "":
		notes = append(notes, "booked "+at)
	case !d.Until.IsZero() && left <= 0:
		st := cellar.Standing{Text: "read", At: d.At, Until: d.Until, Kind: d.Kind}
		says := face.Standing(st, g.Now, g.State.Zone())
		if notes = append(notes, strings.TrimPrefix(says, "read now, ")); says == voidSays {
			it.word = "VOID"
		} else {
			it.count = "NOW"
		}
	case d.Kind == cellar.NotAfter:
		notes = append(notes, "by "+at)
	default:
		notes = append(notes, at)
	}
	if d.SeenBy != "" {
		it.who = spell(string(d.SeenBy))
		notes = append([]string{"seen by " + string(d.SeenBy)}, notes...)
	}
	it.note = strings.Join(notes, ", ")
	if says := inMinutes(it.count); says != "" && it.word != "VOID" && len(it.note)+len(says) <= noteRoom {
		it.note += says
	}
	return it
}

// noteRoom is what a note has to the right edge of the narrowest wall.
const noteRoom = 33

// inMinutes says what a count in large figures without a colon counts.
func inMinutes(count string) string {
	n := strings.TrimPrefix(count, "+")
	if strings.Trim(n, "0123456789") != "" {
		return ""
	}
	if n == count {
		return ", " + n + " min left"
	}
	return ", " + n + " min over"
}

// voidSays is how a reading that was not taken in its time is told.
const voidSays = "void, test again"

// count is the time left or over in the figures of the wall: minutes, seconds
// only below ten minutes, hours where minutes would take five figures.
func count(left time.Duration) string {
	sign, d := "", left
	switch {
	case left <= 0 && left > -time.Minute:
		return "NOW"
	case left < 0:
		sign, d = "+", -left
	case left < 10*time.Minute:
		return face.Seconds(left)
	default:
		d = left + time.Minute - time.Second // a begun minute counts
	}
	if m := int(d / time.Minute); m < 1000 {
		return fmt.Sprintf("%s%d", sign, m)
	}
	if h := int(d / time.Hour); h < 100 {
		return fmt.Sprintf("%s%dH", sign, h)
	}
	return fmt.Sprintf("%s%dD", sign, min(99, int(d/(24*time.Hour))))
}

// oneWord are the verbs whose first word is not the one that says what to do.
var oneWord = map[string]string{"second look": "look"}

// word is the one word of a verb that is seen from afar.
func word(verb string) string {
	w := oneWord[verb]
	if w == "" {
		if f := strings.Fields(verb); len(f) > 0 {
			w = f[0]
		}
	}
	return spell(w)
}

// restLine counts what found no place and names the first of it.
func restLine(rest []cellar.Due, g face.Sight) string {
	if len(rest) == 0 {
		return ""
	}
	d := rest[0]
	return fmt.Sprintf("and %d more, next %s %s %s", len(rest), face.Clock(d.At, g.Now, g.State.Zone()), d.Subject, d.Verb)
}
