package intent

import "time"

// Intent is one wish. The set is sealed: a new one is added here, where the
// whole list can be read, and nowhere else.
type Intent interface{ isIntent() }

// Moving about.
type (
	// Move steps the cursor: DX to the right, DY downwards. In a picker DX
	// steps through its choices.
	Move struct{ DX, DY int }
	// PageMove steps a window's height: Dir +1 downwards, -1 upwards.
	PageMove struct{ Dir int }
	// LotBack brings a lot of the vessel in view that was in it before into view, or with N
	// below zero one that came after.
	LotBack struct{ N int }
	// First goes to the top.
	First struct{}
	// Last goes to the bottom.
	Last struct{}
	// Number is one sign of a vessel's number, typed to jump to it: a digit or a
	// capital letter. The screen collects them.
	Number struct{ Digit rune }
	// TogglePane moves the cursor to the other pane.
	TogglePane struct{}
	// Open enters what the cursor is on.
	Open struct{}
	// Back leaves one level. Nothing typed is lost.
	Back struct{}
	// Quit ends the program, after the pending write.
	Quit struct{}
	// End ends it, whatever hangs on it.
	End struct{}
	// Suspend leaves the terminal to the shell for a while.
	Suspend struct{}
)

// Faces and help.
type (
	// Help shows all keys.
	Help struct{}
	// Cautions shows all cautions.
	Cautions struct{}
	// Find searches vessels, loads and lots.
	Find struct{}
	// Which asks which of several things of one name is meant.
	Which struct{ Name string }
	// Why explains what is wrong with the row under the cursor, or why it may
	// not be moved.
	Why struct{}
	// ToggleQuiet opens or folds the vessels nothing is due on.
	ToggleQuiet struct{}
	// SheetView shows the handover sheet.
	SheetView struct{}
	// Notes lists the notes that stand, to tick off what is done.
	Notes struct{}
	// TickOff ticks a note off.
	TickOff struct{ Note string }
	// Shifts lists the shifts, to see the sheet of one.
	Shifts struct{}
	// PastSheet shows the sheet of the shift that began then.
	PastSheet struct{ Began time.Time }
	// SavePast puts the sheet of a shift of earlier, that is in view, into a file.
	SavePast struct{}
	// WallView shows the face for reading from far away.
	WallView struct{}
	// SwitchPerson says who is at the keys.
	SwitchPerson struct{}
	// ToggleLight changes between the dark and the light theme.
	ToggleLight struct{}
	// ToggleBell mutes the bell or lets it ring.
	ToggleBell struct{}
	// Print sends the face in view to paper or to a file.
	Print struct{}
)

// Clocks.
type (
	// Seen takes an overdue clock on the name of the person at the keys.
	Seen struct{}
	// AnswerAlarm opens the entry that answers the alarm line.
	AnswerAlarm struct{}
	// Older lists what came due before this shift and the last.
	Older struct{}
	// OnOlder does something with one line of that list.
	OnOlder struct {
		Do  string // answer, or what the form of clocks calls it
		Key string // of the line
	}
)

// Form names an entry form.
type Form string

// The entry forms.
const (
	FormDose    Form = "dose"
	FormReading Form = "reading"
	FormCheck   Form = "check"   // clarity, alcohol test, a look
	FormMove    Form = "move"    // rack, pump, drain
	FormStage   Form = "stage"   // what the vessel is doing now
	FormLoad    Form = "load"    // grapes at the gate
	FormPress   Form = "press"   // fill, start, stop, end a press
	FormJuice   Form = "juice"   // what has run from a press
	FormNote    Form = "note"    // a note or a promise
	FormHold    Form = "hold"    // put on hold, release
	FormClock   Form = "clock"   // start, shift or end a clock
	FormProduct Form = "product" // lots and containers in store
	FormCorrect Form = "correct" // put an earlier entry right
	FormShift   Form = "shift"   // start or end of a shift
	FormEnded   Form = "ended"   // the end of the shift before, where it was forgotten
	FormCalc    Form = "calc"    // a figure worked out, taken into another form
	FormTime    Form = "time"    // what time it is
	FormCrew    Form = "crew"    // gas, permits, who is in, breaks, head count
)

// Forms and overlays.
type (
	// OpenForm opens an entry form on what the cursor is on.
	OpenForm struct {
		Form Form
		Do   string // what its first picker begins with, "" as usual
	}
	// NextField goes one field on.
	NextField struct{}
	// PrevField goes one field back.
	PrevField struct{}
	// Choose takes choice N, counted from zero, of the focused picker.
	Choose struct{ N int }
	// Clear empties the focused field.
	Clear struct{}
	// Submit hands in the whole form.
	Submit struct{}
	// Accept goes ahead with what was asked about: a warning is overridden, a
	// dangerous thing confirmed.
	Accept struct{}
	// Leave gives up what a rule stopped. That it was tried is kept.
	Leave struct{}
	// Tell has a sentence said to the person.
	Tell struct{ Text string }
	// EndedThen says that the shift before ended when this one began.
	EndedThen struct{}
	// Later puts a question off.
	Later struct{}
	// Retry tries a failed write again.
	Retry struct{}
)

func (Move) isIntent()         {}
func (PageMove) isIntent()     {}
func (LotBack) isIntent()      {}
func (First) isIntent()        {}
func (Last) isIntent()         {}
func (Number) isIntent()       {}
func (TogglePane) isIntent()   {}
func (Open) isIntent()         {}
func (Back) isIntent()         {}
func (Quit) isIntent()         {}
func (Suspend) isIntent()      {}
func (End) isIntent()          {}
func (Help) isIntent()         {}
func (Cautions) isIntent()     {}
func (Find) isIntent()         {}
func (Which) isIntent()        {}
func (Why) isIntent()          {}
func (ToggleQuiet) isIntent()  {}
func (SheetView) isIntent()    {}
func (WallView) isIntent()     {}
func (SwitchPerson) isIntent() {}
func (ToggleLight) isIntent()  {}
func (ToggleBell) isIntent()   {}
func (Print) isIntent()        {}
func (Seen) isIntent()         {}
func (AnswerAlarm) isIntent()  {}
func (Older) isIntent()        {}
func (OnOlder) isIntent()      {}
func (OpenForm) isIntent()     {}
func (NextField) isIntent()    {}
func (PrevField) isIntent()    {}
func (Choose) isIntent()       {}
func (Clear) isIntent()        {}
func (Submit) isIntent()       {}
func (Accept) isIntent()       {}
func (Leave) isIntent()        {}
func (Retry) isIntent()        {}
func (Tell) isIntent()         {}
func (Shifts) isIntent()       {}
func (Notes) isIntent()        {}
func (TickOff) isIntent()      {}
func (PastSheet) isIntent()    {}
func (SavePast) isIntent()     {}
func (EndedThen) isIntent()    {}
func (Later) isIntent()        {}
