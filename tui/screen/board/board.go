package board

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/subject"
	"cellar.example/mustwatch/tui/face"
	"cellar.example/mustwatch/tui/intent"
	"cellar.example/mustwatch/tui/keys"
	"cellar.example/mustwatch/tui/layout"
)

// Board is the desk's screen. The zero value is ready for use.
type Board struct {
	at     subject.Ref // name of the subject the cursor is on
	typed  string      // figures of a number typed so far
	astray bool        // and no number begins with them
	whole  bool        // a whole number has just been typed
	from   subject.Ref // where the cursor was before them
	top    int         // first line in view
	onNext bool        // the cursor is in the list of what is due
	next   int         // its place there
	open   bool        // quiet vessels have rows
	doubt  string      // a name that several things have, where it has not been said yet which
	filter string
	made   made
	names  names
	homes  homes
}

// made is what one frame is drawn from: the keys ask for it before it is drawn.
type made struct {
	state  *cellar.State
	seq    cellar.Seq
	now    time.Time
	filter string
	open   bool
	rows   []row
	sizes  sizes
	spots  []spot
	due    []cellar.Due
}

// frame makes what a frame is drawn from as things stand, once for a frame; while
// something is being saved it is made each time.
func (b *Board) frame(g face.Sight) *made {
	m := &b.made
	if m.state == g.State && m.seq == g.State.Seq && m.now.Equal(g.Now) && m.filter == b.filter && m.open == b.open &&
		len(g.Saving) == 0 {
		return m
	}
	if b.names == nil {
		b.names = names{}
	}
	*m = made{state: g.State, seq: g.State.Seq, now: g.Now, filter: b.filter, open: b.open, due: due(g)}
	m.rows, m.sizes = rows(g, b.names, b.filter, b.open)
	m.spots = spots(m.rows)
	if len(g.Saving) > 0 {
		m.state = nil
	}
	return m
}

var _ face.Face = (*Board)(nil)

// spot is one place the cursor can be.
type spot struct {
	line int
	code int
	sub  face.Subject
	past bool // of what nobody waits for any more: the cursor does not begin there
}

func spots(rs []row) []spot {
	out := make([]spot, 0, 2*len(rs))
	for i, r := range rs {
		if len(r.codes) == 0 {
			out = append(out, spot{line: i, sub: r.sub, past: r.past})
		}
		for j, c := range r.codes {
			out = append(out, spot{line: i, code: j, sub: c.sub, past: r.past})
		}
	}
	return out
}

// find is the index of the cursor's spot; when it is gone, the first that somebody waits for.
func (b *Board) find(all []spot) int {
	if i := slices.IndexFunc(all, func(s spot) bool { return s.sub.Ref() == b.at }); i >= 0 {
		return i
	}
	return max(0, slices.IndexFunc(all, func(s spot) bool { return !s.past }))
}

// Subject implements face.Face.
func (b *Board) Subject(g face.Sight) face.Subject {
	if b.onNext && len(b.frame(g).due) > 0 {
		d := b.pointed(g)
		sub := face.SubjectOf(d.Subject)
		sub.Clock = d.Clock
		return sub
	}
	all := b.frame(g).spots
	if len(all) == 0 {
		return face.Subject{}
	}
	return all[b.find(all)].sub
}

// pointed is the line of what is due that the cursor is on.
func (b *Board) pointed(g face.Sight) cellar.Due {
	if all := b.frame(g).due; len(all) > 0 {
		return all[min(b.next, len(all)-1)]
	}
	return cellar.Due{}
}

// SetFilter keeps only the rows that contain the words; "" shows all.
func (b *Board) SetFilter(words string) { b.filter = strings.TrimSpace(words) }

// Filter is what the rows are kept to.
func (b *Board) Filter() string { return b.filter }

// Go puts the cursor on a subject.
func (b *Board) Go(to subject.Ref) {
	b.at, b.onNext, b.typed, b.astray, b.whole, b.doubt = to, false, "", false, false, ""
}

// Handle implements face.Face.
func (b *Board) Handle(in intent.Intent, g face.Sight, box layout.Box) (intent.Intent, bool) {
	if _, typing := in.(intent.Number); !typing {
		b.whole = false
		astray := b.astray
		b.typed, b.astray = "", false
		if name := b.doubt; name != "" { // nor is one guessed at
			b.doubt = ""
			return intent.Which{Name: name}, true
		}
		if astray { // the key was meant for the tank that was mistyped
			return intent.Tell{Text: "Type the number again; the cursor has not moved."}, true
		}
	}
	switch in := in.(type) {
	case intent.Move:
		b.move(in, g)
	case intent.PageMove:
		for i := 0; i < max(1, box.H-6); i++ {
			b.move(intent.Move{DY: in.Dir}, g)
		}
	case intent.First:
		b.edge(g, false)
	case intent.Last:
		b.edge(g, true)
	case intent.Number:
		if !b.jump(in.Digit, g) {
			return intent.Tell{Text: fmt.Sprintf("There is no %s here. Press Esc and type the number again.", b.typed)},
				true
		}
		if name := b.doubt; name != "" && b.typed == "" {
			b.doubt = ""
			return intent.Which{Name: name}, true
		}
	case intent.TogglePane:
		b.onNext = !b.onNext
	case intent.ToggleQuiet:
		b.open = !b.open
	case intent.Back:
		return nil, b.back()
	case intent.Open:
		if b.onNext && len(b.pointed(g).Folded) > 0 {
			return intent.Older{}, true
		}
		return nil, false
	default:
		return nil, false
	}
	return nil, true
}

// back undoes one thing at a time: the typed number, the pane, the filter, the
// opened quiet vessels.
func (b *Board) back() bool {
	switch {
	case b.onNext:
		b.onNext = false
	case b.filter != "":
		b.filter = ""
	case b.open:
		b.open = false
	default:
		return false
	}
	return true
}

func (b *Board) edge(g face.Sight, last bool) {
	if b.onNext {
		b.next = 0
		if last {
			b.next = max(0, len(b.frame(g).due)-1)
		}
		return
	}
	all := b.frame(g).spots
	if len(all) == 0 {
		return
	}
	i := 0
	if last {
		i = len(all) - 1
	}
	b.at = all[i].sub.Ref()
}

// move steps the cursor: from line to line, and along the codes of a quiet
// line; to the right of a row lies the list of what is due.
func (b *Board) move(m intent.Move, g face.Sight) {
	if b.onNext {
		if m.DX < 0 {
			b.onNext = false
			return
		}
		b.next = min(max(0, b.next+m.DY), max(0, len(b.frame(g).due)-1))
		return
	}
	all := b.frame(g).spots
	if len(all) == 0 {
		return
	}
	i := b.find(all)
	switch {
	case m.DX != 0:
		j := i + m.DX
		if j >= 0 && j < len(all) && all[j].line == all[i].line {
			i = j
		} else if m.DX > 0 {
			b.onNext = true
		}
	case m.DY > 0:
		for i < len(all)-1 && all[i].line == all[i+1].line {
			i++
		}
		i = min(i+1, len(all)-1)
	case m.DY < 0:
		line := all[i].line
		for i > 0 && all[i].line == line {
			i--
		}
		for i > 0 && all[i-1].line == all[i].line {
			i--
		}
	}
	b.at = all[i].sub.Ref()
}

// jump puts the cursor on the first number that begins with what was typed. A figure
// after a whole number begins another one; one that leads nowhere is a slip: it must
// not send the hand to another tank, so the cursor goes back to where it was and
// stays there until another key is pressed.
func (b *Board) jump(d rune, g face.Sight) bool {
	if b.typed == "" {
		b.from = b.at
	}
	b.typed += string(d)
	b.doubt = ""
	fits := numbers(g, b.typed)
	if b.astray || len(fits) == 0 {
		b.at, b.astray, b.whole = b.from, true, false
		return false
	}
	same := slices.DeleteFunc(slices.Clone(fits), func(r subject.Ref) bool { return r.Name != b.typed })
	b.at, b.onNext, b.whole = fits[0], false, len(same) > 0
	if b.whole {
		b.at = same[0]
	}
	if len(same) > 1 { // which of them is asked before anything is done to one
		b.doubt = b.typed
	}
	if len(same) == len(fits) {
		b.typed = ""
	}
	return true
}

// numbers are those that begin with what is typed.
func numbers(g face.Sight, typed string) (out []subject.Ref) {
	for _, p := range g.Numbers {
		if strings.HasPrefix(p.Name, typed) {
			out = append(out, p)
		}
	}
	return out
}

// Begins reports whether a number begins with some signs, where one may begin: right after
// a whole number a letter is a key.
func (b *Board) Begins(first rune, g face.Sight, more ...rune) bool {
	return !b.whole && !b.astray && b.typed == "" && len(numbers(g, string(first)+string(more))) > 0
}

// GoesOn reports whether a sign goes on with the number that is half typed.
func (b *Board) GoesOn(sign rune, g face.Sight) bool {
	return !b.whole && !b.astray && b.typed != "" && len(numbers(g, b.typed+string(sign))) > 0
}

// Keys implements face.Face.
func (b *Board) Keys(g face.Sight) keys.Table {
	return append(table(g, b.Subject(g)), keys.Numbers())
}

// noTank says why a key that is about a tank cannot work now, "" where it can.
func noTank(sub face.Subject) string {
	if sub.Vessel == "" {
		return "put the cursor on a tank first"
	}
	return ""
}

// inhabited reports whether somebody is in a vessel or a press, by what was written.
func inhabited(g face.Sight, p cellar.TankNumber) bool {
	_, in := g.State.Inhabited(p)
	return in
}

// noHold says why nothing here can be put on hold or cancelled.
func noHold(g face.Sight, sub face.Subject) string {
	if l, ok := g.State.Load(sub.Load); ok && l.State == cellar.LoadExpected {
		return ""
	}
	return noTank(sub)
}

// table is the board's own keys. Each says why it cannot work now.
func table(g face.Sight, sub face.Subject) keys.Table {
	vessel := func() string { return noTank(sub) }
	full := func() string {
		if why := vessel(); why != "" {
			return why
		}
		if v, ok := g.State.Vessel(sub.Vessel); ok && v.Now.Stage.Empty() {
			if in, ok := g.State.Inhabited(sub.Vessel); ok {
				return string(sub.Vessel) + ": " + g.State.Words(in.Short()) + ", do nothing to it (w says why)"
			}
			return string(sub.Vessel) + " is " + string(v.Now.Stage)
		}
		return ""
	}
	held := func() string { // what was done may be saved after the juice has gone on
		if v, ok := g.State.Vessel(sub.Vessel); ok && !inhabited(g, sub.Vessel) {
			if _, _, late := g.State.Held(v, g.Now); late {
				return ""
			}
		}
		return full()
	}
	why := func() string {
		if inhabited(g, sub.Vessel) || inhabited(g, sub.Press) {
			return "" // that is said whatever is in it
		}
		return full()
	}
	open := func(f intent.Form) intent.Intent { return intent.OpenForm{Form: f} }
	juice, load := "", "" // in the footer where they are the next thing to do
	if sub.Press != "" {
		juice = "juice"
	}
	if sub.Load != "" {
		load = "load"
	}
	entries := keys.Table{
		{Keys: []string{"d"}, Short: "dose", Help: "save a dose; the board calculates while you type",
			Group: keys.GroupEntries, Intent: open(intent.FormDose), Off: held},
		{Keys: []string{"r"}, Short: "read", Help: "save a temperature, density, turbidity …", Group: keys.GroupEntries,
			Intent: open(intent.FormReading), Off: vessel},
		{Keys: []string{"c"}, Short: "test", Help: "start or read the pectin test", Group: keys.GroupEntries,
			Intent: open(intent.FormCheck), Off: held},
		{Keys: []string{"m"}, Short: "move", Help: "save a move: rack, drain, pump", Group: keys.GroupEntries,
			Intent: open(intent.FormMove), Off: held},
		{Keys: []string{"s"}, Short: "stage", Help: "change the stage: settle, float, clean …",
			Group: keys.GroupEntries, Intent: open(intent.FormStage), Off: vessel},
		{Keys: []string{"p"}, Short: "press", Help: "fill, start, stop, end or free a press", Group: keys.GroupEntries,
			Intent: open(intent.FormPress)},
		{Keys: []string{"f"}, Short: juice, Help: "save juice that ran from a press", Group: keys.GroupEntries,
			Intent: open(intent.FormJuice)},
		{Keys: []string{"g"}, Short: load, Help: "weigh in a load of grapes, or book one", Group: keys.GroupEntries,
			Intent: open(intent.FormLoad)},
		{Keys: []string{"n"}, Short: "note", Help: "save a note, a promise, an incident, an order",
			Group: keys.GroupEntries, Intent: open(intent.FormNote)},
		{Keys: []string{"x"}, Short: "correct", Help: "correct an entry, or take it back", Group: keys.GroupEntries,
			Intent: open(intent.FormCorrect)},
		{Keys: []string{"o"}, Short: "hold", Help: "put on hold, or release; cancel a booking",
			Group: keys.GroupEntries, Intent: open(intent.FormHold), Off: func() string { return noHold(g, sub) }},
		{Keys: []string{"t"}, Help: "set, move, snooze or turn off a clock", Group: keys.GroupEntries,
			Intent: open(intent.FormClock)},
		{Keys: []string{"="}, Help: "calculate, and take the answer into a form", Group: keys.GroupEntries,
			Intent: open(intent.FormCalc), Off: vessel},
		{Keys: []string{"u"}, Help: "product lots: book in, open a tub, count", Group: keys.GroupEntries,
			Intent: open(intent.FormProduct)},
		{Keys: []string{"e"}, Help: "start or hand over the shift", Group: keys.GroupEntries,
			Intent: open(intent.FormShift)},
		{Keys: []string{"z"}, Help: "crew: gas, permits, who is in, breaks, head count", Group: keys.GroupEntries,
			Intent: open(intent.FormCrew)},
	}
	return append(entries, looking(g, why)...)
}

// looking are the keys that save nothing. why says why a vessel cannot be asked about.
func looking(g face.Sight, why func() string) keys.Table {
	raised := func() string {
		if len(g.Alarms()) == 0 {
			return "nothing is due"
		}
		return ""
	}
	older := func() string {
		if len(g.State.OlderDue(g.Now)) == 0 {
			return "nothing is older than this shift and the last"
		}
		return ""
	}
	return keys.Table{
		{Keys: []string{"a"}, Short: "acknowledge", Help: "acknowledge what is due, in your name; it stays due",
			Group: keys.GroupLooking, Intent: intent.Seen{}, Off: raised},
		{Keys: []string{"space"}, Help: "open the form for the top line", Group: keys.GroupLooking,
			Intent: intent.AnswerAlarm{}, Off: raised},
		{Keys: []string{"."}, Help: "what came due before this shift and the last: answer, move, turn off",
			Group: keys.GroupLooking, Intent: intent.Older{}, Off: older},
		{Keys: []string{"w"}, Short: "why", Help: "what a tank can do next, and why not", Group: keys.GroupLooking,
			Intent: intent.Why{}, Off: why},
		{Keys: []string{"v"}, Help: "show the quiet tanks as rows, or fold them", Group: keys.GroupLooking,
			Intent: intent.ToggleQuiet{}},
		{Keys: []string{"y"}, Help: "the handover sheet", Group: keys.GroupLooking, Intent: intent.SheetView{}},
		{Keys: []string{";"}, Help: "open notes, promises and questions: tick off what is done",
			Group: keys.GroupLooking, Intent: intent.Notes{}},
		{Keys: []string{"i"}, Help: "change who is at the keys", Group: keys.GroupProgram,
			Intent: intent.SwitchPerson{}},
	}
}

// Numbers lists what a typed figure can jump to: numbers, and loads in the yard.
func Numbers(s *cellar.State) (out []subject.Ref) {
	for _, v := range s.Vessels() {
		out = append(out, v.Ref())
	}
	for _, p := range s.Presses() {
		out = append(out, p.Ref())
	}
	for _, l := range s.Loads {
		if l.State != cellar.LoadIn {
			out = append(out, l.Ref())
		}
	}
	return out
}
