package tui

import (
	"sort"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/subject"
	"cellar.example/mustwatch/tui/entry"
	"cellar.example/mustwatch/tui/face"
	"cellar.example/mustwatch/tui/intent"
	"cellar.example/mustwatch/tui/keys"
	"cellar.example/mustwatch/tui/overlay"
	"cellar.example/mustwatch/tui/screen/vessel"
	"cellar.example/mustwatch/tui/screen/wall"
)

// onKey routes one key message: the overlay on top, the form, then the face and
// the common keys. The order stands here and nowhere else.
func (r *Root) onKey(msg tea.KeyMsg) tea.Cmd {
	defer r.sorts()
	if was := r.warned; was {
		defer func() { r.warned = false }() // the warning holds for the next key only
	}
	if keys.Name(msg) == "ctrl+c" {
		return r.act(intent.Quit{})
	}
	if keys.Name(msg) == "ctrl+z" {
		return r.act(intent.Suspend{})
	}
	if r.pasted(msg) {
		return nil
	}
	if r.box.W < leastW || r.box.H < leastH { // nobody types into what cannot be seen
		if keys.Name(msg) == "q" && r.form == nil {
			return r.act(intent.Quit{})
		}
		return nil
	}
	if o := r.top(); o != nil {
		return r.onOverlay(o, msg)
	}
	if r.form != nil {
		up, _ := r.form.Form.Update(msg)
		return r.onForm(up)
	}
	if r.asksOfShift(msg) {
		return nil
	}
	var cmds []tea.Cmd
	all := keys.Split(msg)
	for i, k := range all {
		cmds = append(cmds, r.onFaceKey(k))
		if r.form == nil && r.top() == nil {
			continue
		}
		for _, rest := range all[i+1:] { // the rest of a burst belongs to what was opened
			cmds = append(cmds, r.onKey(rest))
		}
		break
	}
	return tea.Batch(cmds...)
}

// faceKey gives a key to the face.
func (r *Root) faceKey(k tea.KeyMsg) tea.Cmd {
	r.say("")
	for _, t := range []keys.Table{r.face().Keys(r.Sight()), keys.Common()} {
		in, off, ok := t.Lookup(k)
		if !ok {
			continue
		}
		if off != "" {
			r.say(off)
			return nil
		}
		up, handled := r.face().Handle(in, r.Sight(), r.body())
		if handled && up == nil {
			return nil
		}
		if up == nil {
			up = in
		}
		return r.act(up)
	}
	if n := keys.Name(k); len([]rune(n)) == 1 {
		r.say(n + " does nothing here: ? shows the keys")
	}
	return nil
}

// onOverlay gives the overlay the key and acts on what comes up.
func (r *Root) onOverlay(o overlay.Overlay, msg tea.KeyMsg) tea.Cmd {
	up, _ := o.Update(msg)
	if up == nil {
		return nil
	}
	switch o := o.(type) {
	case *overlay.Gate:
		return r.onGate(o, up)
	case *overlay.Clash:
		return r.onClash(o)
	case *overlay.WhichFirst:
		return r.onWhichFirst(o)
	}
	// a list stays under what it shows
	if _, list := o.(*overlay.Choices); !list || up == intent.Intent(intent.Back{}) {
		r.over = r.over[:len(r.over)-1]
	}
	if _, back := up.(intent.Back); back {
		if a, ok := o.(*overlay.Ask); ok && a.Then != nil {
			a.Then()
			return nil
		}
		if r.o.Missing != "" {
			return r.act(intent.Quit{})
		}
		return nil
	}
	return r.act(up)
}

// onGate takes the answer to rules: the entry goes on with it, is left and
// written as stopped, or goes back to its form.
func (r *Root) onGate(g *overlay.Gate, up intent.Intent) tea.Cmd {
	p := r.asked
	switch up.(type) {
	case intent.Back:
		r.closeGate(p)
		return nil
	case intent.Submit:
		h := cellar.HeadOf(p.cmd)
		h.Leave, h.Same, h.Answers = g.Left(), g.Same(), g.Answers()
		if h.Leave || h.Same {
			h.Answers = nil
		}
		n := len(r.over)
		cmd := r.submit(p)
		if cmd != nil && len(r.over) == n {
			r.closeGate(p)
			r.form = nil
		}
		return cmd
	}
	return nil
}

// onForm takes what comes up from a form.
func (r *Root) onForm(up intent.Intent) tea.Cmd {
	switch up.(type) {
	case intent.Back:
		if r.keep(r.form) {
			r.say("draft kept: " + r.form.Form.Title)
		}
		r.form = nil
	case intent.Help:
		r.formHelp()
	case intent.Submit:
		values := r.form.Form.Values()
		if r.form.Take != nil {
			return r.take(values)
		}
		p := &pending{form: r.form, values: values}
		if more := r.form.More; more != nil && more(values) {
			return r.gather(p)
		}
		c, err := r.form.Command(values)
		if err != nil {
			r.refused(p, err)
			return nil
		}
		p.cmd = c
		r.keep(r.form)
		return r.submitForm(p)
	}
	return nil
}

// submitForm decides what a form says, and closes the form when that is on its way.
func (r *Root) submitForm(p *pending) tea.Cmd {
	form := r.form
	cmd := r.submit(p)
	if r.top() == nil && r.writes.busy() && r.form == form {
		r.form = nil
	}
	return cmd
}

// keep puts what has been typed into a form aside, and reports whether there was
// anything.
func (r *Root) keep(e *entry.Entry) bool {
	d := e.Form.Draft()
	if len(d) == 0 {
		delete(r.drafts, e.Key)
		return false
	}
	r.drafts[e.Key], r.draftAt[e.Key] = d, r.now
	return true
}

// take opens the form that an answer belongs in, with the answer filled in.
func (r *Root) take(values map[string]string) tea.Cmd {
	from := r.form
	taken, err := from.Take(values)
	if err != nil {
		r.refused(&pending{form: from, values: values}, err)
		return nil
	}
	e, why := entry.Open(taken.Form, from.Subject, r.Sight)
	if why != "" {
		r.say(why)
		return nil
	}
	r.keep(from)
	e.Key += " taken" // what waits as a draft there is another entry, and stays one
	e.Form.Restore(taken.Values)
	r.form = e
	return nil
}

// act does what an intent asks that no face could do itself.
func (r *Root) act(in intent.Intent) tea.Cmd {
	switch in := in.(type) {
	case intent.Quit:
		return r.quit()
	case intent.End:
		return r.leave()
	case intent.Suspend:
		return r.suspend()
	case intent.Back:
		r.back()
	case intent.Open:
		r.open()
	case intent.OpenForm:
		sub := r.face().Subject(r.Sight())
		if in.Form == intent.FormTime {
			sub = face.Subject{}
		}
		r.openForm(in.Form, sub)
		if r.form != nil && in.Do != "" {
			r.form.Form.Restore(map[string]string{"do": in.Do})
		}
	case intent.AnswerAlarm:
		r.answerAlarm()
	case intent.OnOlder:
		r.onOlder(in)
	case intent.Seen:
		return r.seen()
	case intent.Tell:
		r.say(in.Text)
	case intent.SheetView, intent.Print, intent.Shifts, intent.PastSheet, intent.SavePast, intent.EndedThen,
		intent.Later, intent.Notes, intent.TickOff:
		return r.actOnSheets(in)
	case intent.ToggleLight:
		r.toggleLight()
	case intent.ToggleBell:
		r.beat.muted = !r.beat.muted
		r.say(map[bool]string{true: "the bell is muted; the wall still flashes",
			false: "the bell rings again"}[r.beat.muted])
	default:
		r.lookAt(in)
	}
	return nil
}

// lookAt opens what is only looked at, or asked.
func (r *Root) lookAt(in intent.Intent) {
	switch in := in.(type) {
	case intent.Older:
		r.older()
	case intent.Why:
		r.why()
	case intent.Help:
		r.help()
	case intent.Cautions:
		r.over = append(r.over, cautions())
	case intent.WallView:
		r.faces = append(r.faces, &wall.Wall{})
	case intent.Which:
		r.which(in)
	case intent.Find:
		r.find()
	case intent.SwitchPerson:
		r.person()
	}
}

// back leaves one face. What waited for somebody at the board comes up there.
func (r *Root) back() {
	if len(r.faces) > 1 {
		r.faces = r.faces[:len(r.faces)-1]
	}
	if !r.whole() {
		r.over, r.later = append(r.over, r.later...), nil
	}
}

// toggleLight changes the ground.
func (r *Root) toggleLight() {
	if r.theme.Mono {
		r.say("this terminal shows no colours: set light or dark in the terminal")
		return
	}
	r.theme = r.theme.Other()
	if !r.theme.OwnGround() {
		r.say("colours for a " + string(r.theme.Mode) + " screen; with 16 colours the terminal sets the background")
		return
	}
	r.say(string(r.theme.Mode) + " background")
}

// open enters what the cursor is on.
func (r *Root) open() {
	sub := r.face().Subject(r.Sight())
	switch {
	case sub.Vessel != "":
		if _, already := r.face().(*vessel.Vessel); !already {
			r.faces = append(r.faces, vessel.New(sub.Vessel))
		}
	case sub.Press != "":
		r.openForm(intent.FormPress, sub)
	case sub.Load != "":
		r.openForm(intent.FormLoad, sub)
	case sub.Clock != "":
		r.openForm(intent.FormClock, sub)
	}
}

// openForm opens an entry form.
func (r *Root) openForm(kind intent.Form, sub face.Subject) {
	if r.who == "" && len(r.state.House.People) > 0 {
		r.person()
		return
	}
	var with entry.Gathered
	if kind == intent.FormCorrect {
		with = r.gathered
	}
	r.openWith(kind, sub, with)
}

func (r *Root) openWith(kind intent.Form, sub face.Subject, with entry.Gathered) {
	e, why := entry.OpenWith(kind, sub, r.Sight, with)
	if why != "" {
		r.say(why)
		return
	}
	r.openEntry(e)
}

// openEntry puts a form on the screen, with the draft that waits for it.
func (r *Root) openEntry(e *entry.Entry) {
	if d := r.drafts[e.Key]; len(d) > 0 {
		e.Form.Restore(d)
		if at, ok := r.draftAt[e.Key]; ok {
			r.say(r.words("draft of {time} is back, not saved yet; ctrl+u twice clears the form", at))
		}
	}
	r.form = e
}

// formFor is the entry that answers a clock.
var formFor = map[cellar.ClockKind]intent.Form{
	cellar.KindContact: intent.FormCheck, cellar.KindLook: intent.FormCheck, cellar.KindReading: intent.FormCheck,
	cellar.KindSettling: intent.FormMove, cellar.KindMove: intent.FormMove, cellar.KindSkin: intent.FormMove,
	cellar.KindCap: intent.FormMove, cellar.KindFloat: intent.FormStage, cellar.KindHot: intent.FormStage,
	cellar.KindClean:     intent.FormStage,
	cellar.KindProgramme: intent.FormPress, cellar.KindFill: intent.FormPress, cellar.KindTip: intent.FormPress,
	cellar.KindPour: intent.FormDose,
}

// answerAlarm opens the entry that ends the emergency on top, or that the alarm on the
// top line calls for.
func (r *Root) answerAlarm() {
	if r.answerEmergency() {
		return
	}
	due := r.state.Alarms(r.now)
	if len(due) == 0 {
		return
	}
	r.answer(due[0])
}

// answer opens the entry that ends a clock.
func (r *Root) answer(c *cellar.AlarmClock) {
	sub := face.SubjectOf(c.Subject)
	sub.Clock = c.ID
	kind, ok := formFor[c.Kind]
	if !ok || sub.Name() == "" {
		kind = intent.FormClock
	}
	r.board.Go(c.Subject)
	r.openForm(kind, sub)
}

// seen takes the alarm under the cursor, or the first nobody has taken, on the
// name of the person at the keys.
func (r *Root) seen() tea.Cmd {
	if r.who == "" && len(r.state.House.People) > 0 {
		r.person()
		return nil
	}
	want := r.face().Subject(r.Sight()).Clock
	for _, c := range r.state.Alarms(r.now) {
		if !r.state.Taken(c, r.now) && (want == "" || want == c.ID) {
			r.say(r.words("{what} {verb}: acknowledged by {who}, still due", r.state.NameOf(c.Subject), c.Says(),
				r.who))
			return r.submit(&pending{cmd: &cellar.See{Head: cellar.Head{By: r.who}, Clock: c.ID}})
		}
	}
	r.say("everything due is acknowledged")
	return nil
}

// unwritten names what has been typed and not handed in, "" when there is
// nothing.
func (r *Root) unwritten() string {
	var left []string
	if r.form != nil && len(r.form.Form.Draft()) > 0 {
		left = append(left, r.form.Form.Title)
	}
	for key := range r.drafts {
		if r.form == nil || key != r.form.Key {
			form, of, _ := strings.Cut(key, " ")
			left = append(left, strings.TrimSpace(form+" "+r.state.NameOf(subject.Parse(of))))
		}
	}
	if n := len(r.gathered.Lines); n > 0 {
		left = append(left, r.words("{count} corrections to save together", n))
	}
	sort.Strings(left)
	return strings.Join(left, ", ")
}
