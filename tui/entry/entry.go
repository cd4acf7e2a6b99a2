package entry

import (
	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/tui/face"
	"cellar.example/mustwatch/tui/intent"
	"cellar.example/mustwatch/tui/widget"
)

// Entry is one form, open on one subject.
type Entry struct {
	Kind    intent.Form
	Subject face.Subject
	// Key names the draft that is kept when the form is left: kind, subject and,
	// where one key opens two forms, which of them.
	Key  string
	Form *widget.Form
	// Command turns the values of the form into a command, as said by the person
	// of the sight. The error is a *cellar.Rejection for what cannot be read.
	Command func(values map[string]string) (cellar.Command, error)
	// Take, for a form that writes nothing, hands what it worked out to another
	// form. Then Command is nil.
	Take func(values map[string]string) (Taken, error)
	// More reports whether another line is to be written together with this one. Line is
	// this one by itself, and what it is called.
	More func(values map[string]string) bool
	Line func(values map[string]string) (cellar.Command, string, error)
}

// Gathered are lines that are written together with the one of a form, and the entry
// that does not go together with them, which is corrected next.
type Gathered struct {
	Lines  []cellar.Command
	Labels []string
	With   cellar.Seq
	// Find are words that what is offered to be corrected contains.
	Find string
}

// opener fills in the form and the command of an entry, or says in one sentence
// why it cannot be opened now.
type opener func(k *desk) (*Entry, string)

// openers are the forms by kind.
var openers = map[intent.Form]opener{
	intent.FormDose: openDose, intent.FormReading: openReading, intent.FormCheck: openCheck,
	intent.FormMove: openMove, intent.FormStage: openStage, intent.FormLoad: openLoad,
	intent.FormPress: openPress, intent.FormJuice: openJuice, intent.FormNote: openNote,
	intent.FormHold: openHold, intent.FormClock: openClock, intent.FormProduct: openProduct,
	intent.FormCorrect: openCorrect, intent.FormShift: openShift, intent.FormCalc: openCalc,
	intent.FormTime: openTime,
	intent.FormCrew: openCrew, intent.FormEnded: openEnded,
}

// Open makes the form of a kind on a subject. look gives the current sight
// whenever the form calculates, so that state and time may move on while it is
// open. why is not empty when it cannot be opened now, and says so in a sentence.
func Open(kind intent.Form, sub face.Subject, look func() face.Sight) (e *Entry, why string) {
	return OpenWith(kind, sub, look, Gathered{})
}

// OpenWith does so for a line that is written together with others.
func OpenWith(kind intent.Form, sub face.Subject, look func() face.Sight, with Gathered) (e *Entry, why string) {
	open, ok := openers[kind]
	if !ok {
		return nil, "There is no form for " + string(kind) + "."
	}
	k := &desk{look: look, sub: sub, with: with, offered: map[string]string{}}
	e, why = open(k)
	if why != "" {
		return nil, why
	}
	e.Kind, e.Subject = kind, sub
	e.Key = string(kind) + " " + sub.Ref().Full() + e.Key
	if e.Form.FieldNotes == nil {
		e.Form.FieldNotes = func(values map[string]string) map[string][]string { return k.notes(e.Command, values) }
	}
	e.Form.Follow = func(values map[string]string) {
		if k.follow != nil {
			k.follow(values)
		}
		k.planAsOf(values)
	}
	e.Form.Follow(e.Form.Values())
	return e, ""
}
