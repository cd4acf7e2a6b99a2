package vessel

import (
	"strings"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/tui/face"
	"cellar.example/mustwatch/tui/intent"
	"cellar.example/mustwatch/tui/keys"
	"cellar.example/mustwatch/tui/layout"
)

// Vessel is the screen of one vessel.
type Vessel struct {
	number cellar.TankNumber
	back   int    // how many lots before the one of now is in view
	typed  string // figures of another number typed so far
	top    int
	lines  int
}

var _ face.Face = (*Vessel)(nil)

// New opens the screen of a vessel.
func New(p cellar.TankNumber) *Vessel { return &Vessel{number: p} }

// Subject implements face.Face.
func (v *Vessel) Subject(face.Sight) face.Subject { return face.Subject{Vessel: v.number} }

// Handle implements face.Face.
func (v *Vessel) Handle(in intent.Intent, g face.Sight, box layout.Box) (intent.Intent, bool) {
	if x, is := in.(intent.Number); is {
		return v.jump(x.Digit, g), true
	}
	if v.typed != "" { // the key was meant for a tank that is not the one in view
		v.typed = ""
		return intent.Tell{Text: g.Say("Type the full number; this is still {tank}.", v.number)}, true
	}
	switch in := in.(type) {
	case intent.Move:
		if in.DX != 0 {
			v.neighbour(in.DX, g)
			return nil, true
		}
		v.scroll(in.DY, box)
	case intent.PageMove:
		v.scroll(in.Dir*max(1, box.H-2), box)
	case intent.LotBack:
		return v.lotBack(in.N, g), true
	case intent.First:
		v.top = 0
	case intent.Last:
		v.scroll(v.lines, box)
	default:
		return nil, false
	}
	return nil, true
}

// jump goes to the vessel whose number is typed, once it is whole. Until then no key
// acts on the one in view.
func (v *Vessel) jump(d rune, g face.Sight) intent.Intent {
	v.typed += string(d)
	begins := false
	for _, x := range g.State.Vessels() {
		if string(x.Number) == v.typed {
			v.number, v.typed, v.top, v.back = x.Number, "", 0, 0
			return intent.Tell{}
		}
		begins = begins || strings.HasPrefix(string(x.Number), v.typed)
	}
	if begins {
		return intent.Tell{Text: g.Say("Number {typed}…, this is still {tank}.", v.typed, v.number)}
	}
	return intent.Tell{Text: g.Say("There is no {typed}. Press Esc and type the number again; this is still {tank}.",
		v.typed, v.number)}
}

// lotBack brings another lot of the vessel into view, older ones by n above zero.
func (v *Vessel) lotBack(n int, g face.Sight) intent.Intent {
	x, ok := g.State.Vessel(v.number)
	if !ok || v.back+n < 0 {
		return intent.Tell{Text: g.Say("This is what {tank} holds now.", v.number)}
	}
	if _, ok := g.State.LotBack(x, v.back+n); !ok {
		return intent.Tell{Text: g.Say("There is no older lot in {tank}.", v.number)}
	}
	v.back, v.top = v.back+n, 0
	return nil
}

// lot is the lot in view.
func (v *Vessel) lot(x *cellar.Vessel, g face.Sight) cellar.Lot {
	lot, ok := g.State.LotBack(x, v.back)
	if !ok { // an entry was taken back, and the lots are fewer
		v.back = 0
		lot, _ = g.State.LotBack(x, 0)
	}
	return lot
}

func (v *Vessel) scroll(n int, box layout.Box) {
	v.top = max(0, min(v.top+n, v.lines-box.H))
}

// neighbour goes to the vessel beside this one.
func (v *Vessel) neighbour(n int, g face.Sight) {
	all := g.State.Vessels()
	for i, x := range all {
		if x.Number == v.number {
			v.number = all[(i+n+len(all))%len(all)].Number
			v.top, v.back = 0, 0
			return
		}
	}
}

// Keys implements face.Face.
func (v *Vessel) Keys(g face.Sight) keys.Table {
	x, ok := g.State.Vessel(v.number)
	full := func() string {
		if !ok || x.Now.Stage.Empty() {
			return string(v.number) + " holds nothing"
		}
		return ""
	}
	held := func() string { // what was done may be saved after the juice has gone on
		if ok {
			if _, _, late := g.State.Held(x, g.Now); late {
				return ""
			}
		}
		return full()
	}
	why := func() string {
		if ok {
			if _, in := g.State.Inhabited(x.Number); in {
				return "" // that is said whatever is in it
			}
		}
		return full()
	}
	open := func(f intent.Form) intent.Intent { return intent.OpenForm{Form: f} }
	hold := "hold"
	if ok && x.Hold != nil {
		hold = "release"
	}
	return v.ofNow(g, keys.Table{
		{Keys: []string{"d"}, Short: "dose", Help: "save a dose", Group: keys.GroupEntries,
			Intent: open(intent.FormDose), Off: held},
		{Keys: []string{"r"}, Short: "reading", Help: "save a reading", Group: keys.GroupEntries,
			Intent: open(intent.FormReading)},
		{Keys: []string{"c"}, Short: "test", Help: "start or read the pectin test", Group: keys.GroupEntries,
			Intent: open(intent.FormCheck), Off: held},
		{Keys: []string{"m"}, Short: "move", Help: "save a move", Group: keys.GroupEntries,
			Intent: open(intent.FormMove), Off: held},
		{Keys: []string{"s"}, Short: "stage", Help: "change the stage", Group: keys.GroupEntries,
			Intent: open(intent.FormStage)},
		{Keys: []string{"n"}, Short: "note", Help: "save a note", Group: keys.GroupEntries,
			Intent: open(intent.FormNote)},
		{Keys: []string{"o"}, Short: hold, Help: "put on hold, or release", Group: keys.GroupEntries,
			Intent: open(intent.FormHold)},
		{Keys: []string{"t"}, Short: "clock", Help: "set, move, snooze or turn off a clock", Group: keys.GroupEntries,
			Intent: open(intent.FormClock)},
		{Keys: []string{"="}, Short: "calc", Help: "calculate, and take the answer into a form",
			Group: keys.GroupEntries, Intent: open(intent.FormCalc)},
		{Keys: []string{"x"}, Short: "correct", Help: "correct an entry, or take it back", Group: keys.GroupEntries,
			Intent: open(intent.FormCorrect)},
		{Keys: []string{"u"}, Help: "product lots: book in, open a tub, count", Group: keys.GroupEntries,
			Intent: open(intent.FormProduct)},
		{Keys: []string{"z"}, Help: "crew: gas, permits, breaks, head count", Group: keys.GroupEntries,
			Intent: open(intent.FormCrew)},
		{Keys: []string{"y"}, Help: "the handover sheet", Group: keys.GroupLooking, Intent: intent.SheetView{}},
		{Keys: []string{"b"}, Help: "the wall", Group: keys.GroupLooking, Intent: intent.WallView{}},
		{Keys: []string{"i"}, Help: "change who is at the keys", Group: keys.GroupProgram,
			Intent: intent.SwitchPerson{}},
		{Keys: []string{"w"}, Help: "what it can do next, and why not", Group: keys.GroupLooking, Intent: intent.Why{},
			Off: why},
		{Keys: []string{"a"}, Help: "acknowledge what is due", Group: keys.GroupLooking, Intent: intent.Seen{}},
		{Keys: []string{"space"}, Help: "open the form for the top line", Group: keys.GroupLooking,
			Intent: intent.AnswerAlarm{}},
		{Keys: []string{"p"}, Short: "lot before", Help: "the lot that was in it before, and the one before that",
			Group: keys.GroupLooking, Intent: intent.LotBack{N: 1}},
		{Keys: []string{"v"}, Help: "the lot that came after, back to now", Group: keys.GroupLooking,
			Intent: intent.LotBack{N: -1}, Off: v.isNow},
		keys.Numbers(),
	})
}

func (v *Vessel) isNow() string {
	if v.back == 0 {
		return "this is what it holds now"
	}
	return ""
}

// ofNow turns off what would be saved of the vessel as it is while a lot that has left it
// is in view.
func (v *Vessel) ofNow(g face.Sight, all keys.Table) keys.Table {
	if v.back == 0 {
		return all
	}
	off := func() string { return g.Say("this lot has left {tank}; v goes back to now", v.number) }
	for i, k := range all {
		if f, opens := k.Intent.(intent.OpenForm); opens && f.Form != intent.FormCorrect && k.Keys[0] != "u" &&
			k.Keys[0] != "z" {
			all[i].Off = off
		}
	}
	return all
}
