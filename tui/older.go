package tui

import (
	"fmt"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/tui/face"
	"cellar.example/mustwatch/tui/intent"
	"cellar.example/mustwatch/tui/keys"
	"cellar.example/mustwatch/tui/overlay"
)

// What can be done with a line of what is older. All but the first are what the form of clocks
// calls it.
const (
	olderAnswer = "answer"
	olderMove   = "move"
	olderOff    = "off"
	olderDone   = "done"
	olderSnooze = "later"
)

// olderAsks is the field that each of them asks for.
var olderAsks = map[string]string{olderMove: "due", olderOff: "reason", olderDone: "do", olderSnooze: "until"}

// older lists what came due before this shift and the last, with a key for each thing that can
// be done with it.
func (r *Root) older() {
	act := func(key, short, help, do string) keys.Binding {
		return keys.Binding{Keys: []string{key}, Short: short, Help: help, Group: keys.GroupEntries,
			Intent: intent.OnOlder{Do: do}}
	}
	r.over = append(r.over, &overlay.List{
		Title: "Due before this shift and the last",
		Empty: "Nothing is older than this shift and the last.",
		Rows: func() (rows []overlay.Row) {
			for _, d := range r.state.OlderDue(r.now) {
				rows = append(rows, overlay.Row{Key: olderKey(d), Text: r.olderText(d)})
			}
			return rows
		},
		Acts: keys.Table{
			act("enter", "answer", "open the entry that answers it", olderAnswer),
			act("d", "done", "it was done, nothing else to save", olderDone),
			act("o", "turn off", "turn it off, with a reason", olderOff),
			act("m", "move", "give it another due, with a reason", olderMove),
			act("s", "snooze", "snooze it", olderSnooze),
		},
		Act: func(do intent.Intent, key string) intent.Intent {
			in := do.(intent.OnOlder)
			in.Key = key
			return in
		},
	})
}

// olderKey names a line of the list.
func olderKey(d cellar.Due) string {
	if d.Clock != "" {
		return string(d.Clock)
	}
	return d.Subject.Full() + " " + d.Verb + " " + d.Notice
}

// olderText is what stands in the list: when it was due, what of, what to do, whose.
func (r *Root) olderText(d cellar.Due) string {
	text := face.DueSays(r.state.NameOf(d.Subject), d, "")
	if d.Late(r.now) {
		text += " " + face.Late(r.now.Sub(d.At))
	}
	text = fmt.Sprintf("%s  %s  %s", face.Clock(d.At, r.now, r.state.Zone()), text, d.Owner)
	if c, ok := r.state.ClockByID(d.Clock); ok && c.Basis.Code == "" {
		text += "  " + d.Basis
	}
	return text
}

// onOlder opens what was asked for of a line. The list is there again once that is done.
func (r *Root) onOlder(in intent.OnOlder) {
	for _, d := range r.state.OlderDue(r.now) {
		if olderKey(d) != in.Key {
			continue
		}
		sub := face.SubjectOf(d.Subject)
		sub.Clock = d.Clock
		c, clock := r.state.ClockByID(d.Clock)
		switch {
		case clock && in.Do == olderAnswer:
			r.answer(c)
		case clock:
			r.openForm(intent.FormClock, sub)
			if r.form != nil {
				r.form.Form.Propose("do", in.Do, "as picked")
				r.form.Form.Focus(olderAsks[in.Do])
			}
		case sub.Load != "" && in.Do == olderOff:
			r.openForm(intent.FormHold, sub) // which cancels a booking
		case sub.Load != "" && (in.Do == olderAnswer || in.Do == olderMove):
			r.openForm(intent.FormLoad, sub)
		case in.Do == olderAnswer:
			r.board.Go(d.Subject)
			r.open()
			return
		default:
			r.say("that ends when what it asks for is saved: Enter opens it")
		}
		r.sorting = true
		return
	}
	r.say("that was answered meanwhile")
}

// sorts brings the list of what is older back when the form that was opened from it is closed.
func (r *Root) sorts() {
	if r.sorting && r.form == nil && r.top() == nil {
		r.sorting = false
		if len(r.state.OlderDue(r.now)) > 0 {
			r.older()
		}
	}
}
