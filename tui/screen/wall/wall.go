package wall

import (
	"cellar.example/mustwatch/tui/face"
	"cellar.example/mustwatch/tui/intent"
	"cellar.example/mustwatch/tui/keys"
	"cellar.example/mustwatch/tui/layout"
)

// Wall is the face for reading from far away. It has no cursor; the zero value is
// ready for use.
type Wall struct {
	planned planned
}

// planned is the plan of the last frame, kept while window and house stay: to find
// where everything fits costs as much as to draw it.
type planned struct {
	box   layout.Box
	house house
	ascii bool
	plan  plan
}

func (w *Wall) planFor(g face.Sight, box layout.Box) plan {
	if h := houseOf(g); w.planned.box != box || w.planned.house != h || w.planned.ascii != g.Ascii {
		w.planned = planned{box, h, g.Ascii, planFor(box, h, g.Ascii)}
	}
	return w.planned.plan
}

var _ face.Whole = (*Wall)(nil)

// Whole implements face.Whole.
func (w *Wall) Whole() {}

// Subject implements face.Face: the wall points at nothing, so that a key pressed
// from it is about the first alarm.
func (w *Wall) Subject(face.Sight) face.Subject { return face.Subject{} }

// Handle implements face.Face.
func (w *Wall) Handle(in intent.Intent, g face.Sight, _ layout.Box) (intent.Intent, bool) {
	switch in.(type) {
	case intent.Open: // a glove finds the large key
		if why := raised(g)(); why != "" {
			return intent.Tell{Text: why}, true
		}
		return intent.AnswerAlarm{}, true
	case intent.Number:
		return intent.Tell{Text: "The wall has no cursor: press esc, and type the number on the board."}, true
	case intent.Find:
		return intent.Tell{Text: "The wall has no search: press esc, and search on the board."}, true
	case intent.WallView:
		return intent.Tell{Text: "This is the wall: press esc for the board."}, true
	case intent.Move, intent.PageMove, intent.First, intent.Last:
		return nil, true // nothing scrolls
	}
	return nil, false
}

func raised(g face.Sight) func() string {
	return func() string {
		if len(g.Alarms()) == 0 && len(g.State.Emergencies(g.Now)) == 0 {
			return "nothing is due"
		}
		return ""
	}
}

// Keys implements face.Face.
func (w *Wall) Keys(g face.Sight) keys.Table {
	numbers := keys.Numbers()
	numbers.Help = "type numbers on the board, not here"
	return keys.Table{
		{Keys: []string{"space"}, Short: "open", Help: "open the form for the top line, also enter",
			Group: keys.GroupLooking, Intent: intent.AnswerAlarm{}, Off: raised(g)},
		{Keys: []string{"a"}, Short: "acknowledge", Help: "acknowledge the first alarm, in your name; it stays due",
			Group: keys.GroupLooking, Intent: intent.Seen{}, Off: raised(g)},
		{Keys: []string{"esc"}, Short: "board", Help: "back to the board", Group: keys.GroupMoving,
			Intent: intent.Back{}},
		{Keys: []string{"z"}, Help: "crew: gas, permits, who is in, breaks, head count", Group: keys.GroupEntries,
			Intent: intent.OpenForm{Form: intent.FormCrew}},
		{Keys: []string{"i"}, Help: "change who is at the keys", Group: keys.GroupProgram,
			Intent: intent.SwitchPerson{}},
		numbers,
	}
}

// footer is the keys that are worth a place on the last line.
func (w *Wall) footer(g face.Sight) keys.Table {
	out := w.Keys(g)
	for _, b := range keys.Common() {
		switch b.Intent.(type) {
		case intent.ToggleLight:
			if !g.Theme.Mono {
				b.Short = "light or dark"
				out = append(out, b)
			}
		case intent.Help:
			out = append(out, b)
		}
	}
	return out
}
