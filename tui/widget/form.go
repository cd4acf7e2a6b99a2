package widget

import (
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	tea "github.com/charmbracelet/bubbletea"

	"cellar.example/mustwatch/tui/cell"
	"cellar.example/mustwatch/tui/intent"
	"cellar.example/mustwatch/tui/keys"
)

// Form is a few fields that are handed in together. Tab, Enter and the arrows leave a
// field, and nothing else does: a sign that picks waits, for it may begin a word, and
// only one that cannot go on with the word belongs to the next field. Enter goes to what
// is still needed, and hands in the form from any field when nothing is. Esc leaves.
//
// It decides nothing: Submit comes back up when all fields are filled in and
// valid by themselves, and the caller reads Values. If the cellar's rules refuse
// them, the caller says so with Fail, and nothing that was typed is lost.
type Form struct {
	Title string
	// Cautions gives the lines shown before a danger, which never scroll away. It is
	// asked on every drawing, for what is a danger hangs on what is filled in and on
	// what others write meanwhile.
	Cautions func(values map[string]string) []string
	// Verb says what Enter does, in the footer. Empty means "write".
	Verb string
	// Live gives lines shown below the fields: the calculation while somebody
	// types. It is asked on every drawing, with what is filled in so far, so it
	// must be quick and must put up with half a number.
	Live func(values map[string]string) []string
	// FieldNotes gives warnings shown under fields, by the field's name. The
	// same holds for it.
	FieldNotes func(values map[string]string) map[string][]string
	// Follow is called after every key that may have changed something, after a
	// draft is put back, and before the form is handed in. It is where proposals
	// that hang on other fields are calculated again, with Propose.
	Follow func(values map[string]string)

	entries []*entry
	focus   int
	table   keys.Table
}

// NewForm makes a form with the focus on its first field. It needs at least one
// field, and names must differ.
func NewForm(title string, fields ...Field) *Form {
	f := &Form{Title: title}
	for _, field := range fields {
		f.entries = append(f.entries, newEntry(field))
	}
	f.table = keys.Table{
		{Keys: []string{"enter"}, Help: "leave the field; save, when no field is needed any more",
			Intent: intent.Submit{}},
		{Keys: []string{"tab", "down"}, Short: "next", Help: "next field", Intent: intent.NextField{}},
		{Keys: []string{"shift+tab", "up"}, Help: "previous field", Intent: intent.PrevField{}},
		{Keys: []string{"esc"}, Short: "leave, keep draft", Help: "leave the form and keep the draft",
			Intent: intent.Back{}},
		{Keys: []string{"ctrl+u"}, Help: "clear the field; again, clear the form", Intent: intent.Clear{}},
		{Keys: []string{"f1"}, Label: "F1", Short: "all keys", Help: "all keys; ? too, but not in a text field",
			Intent: intent.Help{}},
	}
	f.move(0, +1)
	return f
}

// Keys are the form's keys, for the footer. Letters belong to the fields.
func (f *Form) Keys() keys.Table {
	t := append(keys.Table{}, f.table...)
	t[0].Short = f.Verb
	if f.Verb == "" {
		t[0].Short = "save"
	}
	if n := f.lacking(); n >= 0 && n != f.focus {
		t[0].Short = "on to " + strings.ToLower(f.entries[n].Label)
	}
	return t
}

// Values are the values of the fields that are needed, by name, trimmed. A field
// left empty has an empty value.
func (f *Form) Values() map[string]string {
	all := f.all()
	values := make(map[string]string, len(all))
	for _, e := range f.entries {
		if e.needed(all) {
			values[e.Name] = all[e.Name]
		}
	}
	return values
}

// drawn reports whether a field has its line, needed or not.
func (e *entry) drawn(all map[string]string) bool { return e.Part == nil || e.Part(all) }

// needed reports whether a field is asked for, given all values.
func (e *entry) needed(all map[string]string) bool {
	return e.drawn(all) && (e.When == nil || e.When(all))
}

func (f *Form) all() map[string]string {
	values := make(map[string]string, len(f.entries))
	for _, e := range f.entries {
		values[e.Name] = e.value()
	}
	return values
}

// Value is the value of one field, "" if there is no such field.
func (f *Form) Value(name string) string {
	if e := f.entry(name); e != nil {
		return e.value()
	}
	return ""
}

// Passed reports whether a field has been gone through, filled in or not: what it
// lacks is worth a word only then.
func (f *Form) Passed(name string) bool {
	e := f.entry(name)
	return e != nil && e.left
}

// Draft is what the person has typed so far, without proposals: what has to be
// kept when the form is left. It is empty when there is nothing to lose.
func (f *Form) Draft() map[string]string {
	draft := map[string]string{}
	for _, e := range f.entries {
		if e.touched {
			draft[e.Name] = e.value()
		}
	}
	return draft
}

// empty takes back all that was typed: the proposals stand again, and there is no
// draft.
func (f *Form) empty() {
	for _, e := range f.entries {
		e.clear()
		e.propose(e.Value, e.Origin)
		e.left = false
	}
	f.focus = 0
	f.settle()
}

// Restore puts a draft back. Names that no longer exist are passed over.
func (f *Form) Restore(draft map[string]string) {
	for _, e := range f.entries {
		if v, ok := draft[e.Name]; ok {
			e.restore(v)
		}
	}
	f.settle()
}

// Propose changes what a field proposes, unless the person has typed there: a
// calculation never overwrites a hand.
func (f *Form) Propose(name, value, origin string) {
	if e := f.entry(name); e != nil && !e.touched {
		e.propose(value, origin)
	}
}

// Relabel shows a choice of a field by other words; "" brings its own back.
func (f *Form) Relabel(name, value, label string) {
	e := f.entry(name)
	if e == nil || e.indexOf(value) < 0 {
		return
	}
	i := e.indexOf(value)
	if e.labels == nil {
		e.labels = map[int]string{}
	}
	if _, kept := e.labels[i]; !kept {
		e.labels[i] = e.Choices[i].Label
	}
	if label == "" {
		label = e.labels[i]
	}
	e.Choices = slices.Clone(e.Choices)
	e.Choices[i].Label = label
}

// Renew puts a proposal in place of whatever stands in a field, where what was
// typed there was about something else.
func (f *Form) Renew(name, value, origin string) {
	if e := f.entry(name); e != nil {
		e.clear()
		e.propose(value, origin)
	}
}

// Fail shows a sentence under a field and moves there. With a name the form does
// not have it shows it under the field that has the focus, so that a refusal is
// never lost.
func (f *Form) Fail(name, sentence string) {
	e := f.entry(name)
	if e == nil || !f.shown(e) {
		e = f.entries[f.focus]
	}
	e.fault = cell.Clean(sentence)
	f.Focus(e.Name)
}

// Focus moves to a field, if it exists and is shown.
func (f *Form) Focus(name string) {
	for i, e := range f.entries {
		if e.Name == name && f.shown(e) {
			f.goTo(i)
			return
		}
	}
}

// Typing reports whether the keys go to a field that takes text.
func (f *Form) Typing() bool { return !f.entries[f.focus].picker() }

// Focused is the name of the field the keys go to.
func (f *Form) Focused() string { return f.entries[f.focus].Name }

// Update takes one key message. What the form cannot do itself comes back up:
// intent.Submit when everything is filled in and valid, intent.Back when the
// person leaves. handled is false for keys that mean nothing here.
func (f *Form) Update(msg tea.KeyMsg) (up intent.Intent, handled bool) {
	e := f.entries[f.focus]
	if f.asksHelp(e, msg) {
		return intent.Help{}, true
	}
	if e.picker() {
		if msg.Paste {
			return nil, true
		}
		if parts := keys.Split(msg); len(parts) > 1 {
			for _, part := range parts {
				f.Update(part) // letters never hand in a form
			}
			return nil, true
		}
		if f.pick(e, msg) {
			return nil, true
		}
	}
	if in, _, ok := f.table.Lookup(msg); ok {
		if n, rest, half := e.halfNumber(); half && goesOn(in) {
			f.pickAndType(n, rest)
		}
		return f.Handle(in)
	}
	if e.picker() {
		return nil, false
	}
	handled = e.edit(msg)
	f.settle()
	return nil, handled
}

// asksHelp reports whether a key asks what the keys are: F1 anywhere, "?" where it is
// nothing that could be typed.
func (f *Form) asksHelp(e *entry, msg tea.KeyMsg) bool {
	return msg.Type == tea.KeyF1 || (e.picker() || e.Kind == Figure) && !msg.Paste && msg.Type == tea.KeyRunes &&
		string(msg.Runes) == "?"
}

// pick is what keys mean to a picker: arrows step, the erasing keys empty it, and a sign
// picks its choice or begins the name of one.
func (f *Form) pick(e *entry, msg tea.KeyMsg) bool {
	switch msg.Type {
	case tea.KeyLeft, tea.KeyRight:
		by := 1
		e.sought = ""
		if msg.Type == tea.KeyLeft {
			by = -1
		}
		f.Handle(intent.Move{DX: by})
	case tea.KeyBackspace, tea.KeyDelete:
		if n := len([]rune(e.sought)); n > 1 {
			e.seek(string([]rune(e.sought)[:n-1]))
			f.elsewhere(e)
			f.settle()
			return true
		}
		f.Handle(intent.Clear{})
	case tea.KeyRunes, tea.KeySpace:
		if msg.Alt || len(msg.Runes) != 1 {
			return false
		}
		f.sign(e, msg.Runes[0])
		f.elsewhere(e)
		f.settle()
	default:
		return false
	}
	return true
}

// sign is one sign typed at a picker. What is typed from the first one on looks for the
// choice that is called so. A sign that cannot go on with a name belongs to the next
// field, where the one before it was a key and the next field has a use for it.
func (f *Form) sign(e *entry, r rune) {
	if e.refused && e.sought != "" { // it was refused whole; the hand begins again
		e.clear()
	}
	n := e.byKey(r)
	switch typed := e.sought + cell.Clean(string(r)); {
	case e.sought == "" && e.touched && e.choice >= 0 && n != e.choice && e.byPlace(r):
		// figures meant for another field must not turn over what was picked here
		e.fault = fmt.Sprintf("%q is picked already: Del clears it, arrows change it", e.Choices[e.choice].Label)
	case e.sought == "" && n < 0 && !unicode.IsLetter(r) && !e.hasNames():
		e.fault = "no choice here has the key \"" + cell.Clean(string(r)) + "\""
	case e.sought == "":
		e.seek(typed)
	default:
		key, rest, ok := e.keyed(typed)
		// no word begins so
		switch ok = ok && (e.Else == "" || unicode.IsDigit(r) && unicode.IsLetter([]rune(typed)[0])); {
		case ok && f.takes(rest):
			f.pickAndType(key, rest)
		case ok && n >= 0 && e.waits():
			e.seek(string(r)) // another key of the same picker
		default:
			e.seek(typed)
		}
	}
}

// elsewhere keeps the words typed at a picker in the field that takes them, as long as
// they are the name of no choice.
func (f *Form) elsewhere(e *entry) {
	to := f.entry(e.ElseTo)
	if to == nil {
		return
	}
	other, named := e.indexOf(e.Else), e.fits(e.sought)
	switch {
	case !named && len([]rune(e.sought)) > 1 && other >= 0:
		e.choice, e.touched, e.fault = other, true, ""
		to.restore(e.sought)
	case to.touched:
		to.clear()
		to.touched = false
	}
}

// takes reports whether the field after the focused one has a use for what begins so.
func (f *Form) takes(text string) bool {
	next := f.next()
	r, _ := utf8.DecodeRuneInString(text)
	switch {
	case next == nil:
		return false
	case next.picker():
		return next.byKey(r) >= 0 || next.fits(string(r))
	case next.Kind == Figure && f.entries[f.focus].byKey(r) >= 0: // rather another key here
		return unicode.IsDigit(r)
	}
	return true
}

// next is the needed field after the focused one, nil at the end.
func (f *Form) next() *entry {
	for _, e := range f.entries[f.focus+1:] {
		if f.shown(e) {
			return e
		}
	}
	return nil
}

// pickAndType takes a key that waited for more and gives what was typed after it to
// the next field.
func (f *Form) pickAndType(n int, rest string) {
	f.Handle(intent.Choose{N: n})
	f.leave(+1)
	for _, r := range rest {
		f.Update(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{r}})
	}
}

func goesOn(in intent.Intent) bool {
	switch in.(type) {
	case intent.NextField, intent.Submit:
		return true
	}
	return false
}

// Handle acts on an intent, wherever it came from. Its results are those of
// Update.
func (f *Form) Handle(in intent.Intent) (up intent.Intent, handled bool) {
	e := f.entries[f.focus]
	switch in := in.(type) {
	case intent.NextField:
		f.leave(+1)
	case intent.PrevField:
		f.leave(-1)
	case intent.Choose:
		if !e.picker() || in.N < 0 || in.N >= len(e.Choices) {
			return nil, false
		}
		e.choose(in.N)
	case intent.Move:
		if !e.picker() || in.DX == 0 {
			return nil, false
		}
		e.step(in.DX)
	case intent.Clear:
		if e.value() == "" && e.sought == "" {
			f.empty()
			return nil, true
		}
		e.clear()
		f.follow()
	case intent.Submit:
		return f.submit(), true
	case intent.Back, intent.Help:
		return in, true
	default:
		return nil, false
	}
	f.settle()
	return nil, true
}

// submit leaves the field: for the first one that is wrong or still needed, or else the
// form comes back up. A field that is not reached yet is not blamed for being empty.
func (f *Form) submit() intent.Intent {
	f.entries[f.focus].left = true
	f.follow()
	for _, e := range f.entries {
		if !f.shown(e) {
			continue
		}
		e.fault = e.complaint()
		e.refused = e.fault != ""
	}
	wrong := f.lacking()
	if wrong < 0 {
		return intent.Submit{}
	}
	e := f.entries[wrong]
	if e.fault == "" && (e.left || wrong < f.focus) {
		e.fault = "needed: type it"
		if e.picker() {
			e.fault = "needed: pick one"
		}
	}
	f.goTo(wrong)
	return nil
}

// lacking is the first field that is refused or still needed, -1 when there is none:
// of those that are empty the next one first.
func (f *Form) lacking() int {
	empty := -1
	for i, e := range f.entries {
		if !f.shown(e) {
			continue
		}
		if e.refused {
			return i
		}
		if e.value() == "" && !e.Optional && (empty < 0 || empty < f.focus && i >= f.focus) {
			empty = i
		}
	}
	return empty
}

// leave checks the field that is left, which never holds anybody back, and goes
// to the next or the one before.
func (f *Form) leave(by int) {
	e := f.entries[f.focus]
	e.left = e.left || by > 0
	if said := e.complaint(); said != "" {
		e.fault, e.refused = said, true
	}
	e.rest()
	f.move(by, by)
}

// goTo puts the focus on a field.
func (f *Form) goTo(i int) {
	if i != f.focus {
		f.entries[f.focus].rest()
	}
	f.focus = i
}

// move goes by fields that are shown, round at the ends, starting offset away.
func (f *Form) move(offset, by int) {
	n := len(f.entries)
	for i := range n {
		at := ((f.focus+offset+by*i)%n + n) % n
		if f.shown(f.entries[at]) {
			f.focus = at
			return
		}
	}
}

// settle lets the proposals and refusals follow and moves off a field that has just vanished.
func (f *Form) settle() {
	f.follow()
	for i, e := range f.entries { // what was refused may hold now: a time, once it is known of when
		if e.refused && i != f.focus && f.shown(e) {
			e.fault = e.complaint()
			e.refused = e.fault != ""
		}
	}
	f.move(0, +1)
}

func (f *Form) follow() {
	if f.Follow != nil {
		f.Follow(f.Values())
	}
}

func (f *Form) shown(e *entry) bool { return e.needed(f.all()) }

func (f *Form) entry(name string) *entry {
	for _, e := range f.entries {
		if e.Name == name {
			return e
		}
	}
	return nil
}
