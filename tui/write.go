package tui

import (
	"context"
	"errors"
	"fmt"
	"io/fs"

	tea "github.com/charmbracelet/bubbletea"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/subject"
	"cellar.example/mustwatch/tui/entry"
	"cellar.example/mustwatch/tui/overlay"
)

// pending is one command on its way into the journal.
type pending struct {
	cmd     cellar.Command
	form    *entry.Entry // the form it came from, to be shown again if it fails
	values  map[string]string
	script  bool
	machine bool // noted by the board itself; there is nobody to ask
	recs    []cellar.Record
	after   cellar.Seq // what the records were decided on
	unsure  bool       // they may be written or not: whoever has the journal did not answer
	asking  bool       // and that is being looked up
}

// writes is the queue: one append in flight, later ones decided after it.
type writes struct {
	flying *pending
	queue  []*pending
}

type wroteMsg struct {
	p   *pending
	seq cellar.Seq
	err error
}

// endMsg asks the program to end, from outside.
type endMsg struct{}

// Ended is the message of an end from outside, for a test.
func Ended() tea.Msg { return endMsg{} }

type caughtMsg struct {
	recs []cellar.Record
	err  error
}

func (w *writes) busy() bool { return w.flying != nil }

// saving names the subjects of what is not durable yet.
func (w *writes) saving() map[subject.Ref]bool {
	if w.flying == nil && len(w.queue) == 0 {
		return nil
	}
	out := map[subject.Ref]bool{}
	for _, p := range append([]*pending{w.flying}, w.queue...) {
		if p != nil && p.form != nil {
			out[p.form.Subject.Ref()] = true
		}
	}
	return out
}

// submit decides a command and sends what follows to the journal, or shows why
// not. While an append is in flight the command waits: a decision never stands
// on a stale state.
func (r *Root) submit(p *pending) tea.Cmd {
	if r.writes.busy() {
		r.writes.queue = append(r.writes.queue, p)
		return nil
	}
	now := r.now
	if p.script {
		now = cellar.KnownAt(p.cmd, r.now)
	}
	if c, ok := p.cmd.(*cellar.ConfirmTime); ok && !c.Now.IsZero() {
		now = c.Now // it is written at the time it says
	}
	err := r.waits(p.cmd)
	var facts []cellar.Fact
	if err == nil {
		facts, err = cellar.Decide(r.state, p.cmd, now)
	}
	if err != nil {
		r.refused(p, err)
		return r.pump()
	}
	if len(facts) == 0 {
		return r.pump()
	}
	p.recs, p.after = cellar.Records(p.cmd, facts, now, r.o.Station), r.state.Seq
	for i := range p.recs { // they have these numbers or are not written
		p.recs[i].Seq = p.after + cellar.Seq(i) + 1
	}
	r.writes.flying = p
	return r.append(p)
}

func (r *Root) append(p *pending) tea.Cmd {
	j, after, recs := r.o.Journal, p.after, p.recs
	return func() tea.Msg {
		seq, err := j.Append(context.Background(), after, recs...)
		return wroteMsg{p: p, seq: seq, err: err}
	}
}

// refused shows at the field why a command was not written, or asks for the
// answers that rules want. Nothing typed is lost.
func (r *Root) refused(p *pending, err error) {
	var rej *cellar.Rejection
	var needs *cellar.Needs
	switch {
	case p.machine:
		r.noted(true)
	case p.script:
		r.banner = r.words("The script's line {line} was refused: {error}", cellar.HeadOf(p.cmd).Entry, err.Error())
	case errors.As(err, &needs):
		r.show(p)
		if r.goAndSee(p, needs) {
			return
		}
		if g, ok := r.top().(*overlay.Gate); ok && r.asked == p {
			g.Fail(needs.Findings)
			return
		}
		r.asked = p
		r.over = append(r.over, overlay.NewGate(gateTitle(p), needs, string(r.who), p.values))
	case errors.As(err, &rej):
		r.closeGate(p)
		r.show(p)
		r.clash(p, rej)
		if r.form == nil && rej.Code == cellar.NoTime {
			r.say("set the right time first: press !") // the whole of it stands below
		} else if r.form != nil {
			r.form.Form.Fail(entry.OwnField(rej.Field), rej.Message())
		} else {
			r.say(rej.Message())
		}
	default:
		r.banner = err.Error()
	}
}

// goAndSee sends to the field of a number that is asked for and has not been typed:
// nothing is stopped yet, and nothing is a near miss. Who hands the form in from
// that field, empty, is asked for the word that goes on without.
func (r *Root) goAndSee(p *pending, needs *cellar.Needs) bool {
	if p.form == nil {
		return false
	}
	for _, f := range needs.Findings {
		if v, shown := p.values[f.Field]; f.Field == cellar.SeenField && shown && v == "" &&
			p.form.Form.Focused() != f.Field {
			p.form.Form.Fail(f.Field, needs.Message(f))
			return true
		}
	}
	return false
}

func gateTitle(p *pending) string {
	if p.form != nil {
		return p.form.Form.Title
	}
	return cellar.Do(p.cmd)
}

func (r *Root) closeGate(p *pending) {
	if _, ok := r.top().(*overlay.Gate); ok && r.asked == p {
		r.over = r.over[:len(r.over)-1]
		r.asked = nil
	}
}

// show puts the form of an entry back on the screen as it was left.
func (r *Root) show(p *pending) {
	if p.form != nil && r.form != p.form {
		r.form = p.form
	}
}

func (r *Root) top() overlay.Overlay {
	if len(r.over) == 0 {
		return nil
	}
	return r.over[len(r.over)-1]
}

// onWrote takes the result of an append.
func (r *Root) onWrote(m wroteMsg) tea.Cmd {
	m.p.asking = false
	switch {
	case errors.Is(m.err, cellar.ErrConflict):
		return r.catchUp()
	case m.err != nil && (m.p.unsure || errors.Is(m.err, cellar.ErrUnsure)):
		m.p.unsure = true
		r.banner = "NOT KNOWN whether " + named(m.p) + " is saved: no answer. The board looks it up; do not save it " +
			"again."
		return r.leaveIfAsked()
	case m.err != nil:
		r.writes.flying = nil
		r.banner = r.words("NOT SAVED: {error}. Nothing is lost, Enter tries again.", cause(m.err).Error())
		if m.p.machine {
			r.noted(false)
		}
		r.show(m.p)
		if !r.ends { // who asked to leave is told first that something is not saved
			r.quits = false
		}
		return r.pump() // what waited is tried as well, not kept for ever
	}
	for _, rec := range m.p.recs {
		r.next(rec)
	}
	return r.stands(m.p)
}

// stands goes on after an entry that is in the journal and in the state.
func (r *Root) stands(p *pending) tea.Cmd {
	r.writes.flying = nil
	if p.unsure {
		r.banner = ""
	}
	r.written(p)
	return r.pump()
}

// wrote reports whether a record is one of those on their way.
func (p *pending) wrote(rec cellar.Record) bool {
	return p != nil && rec.Seq > p.after && rec.Seq <= p.after+cellar.Seq(len(p.recs)) && cellar.SameRecord(rec,
		p.recs[rec.Seq-p.after-1])
}

// named is how a person knows an entry again.
func named(p *pending) string {
	if p.form != nil {
		return p.form.Form.Title
	}
	return "the last entry"
}

// lookUp finds out by the same append on the same sequence whether an entry is
// written: nothing else can stand twice or be lost by it.
func (r *Root) lookUp() tea.Cmd {
	p := r.writes.flying
	if p == nil || !p.unsure || p.asking {
		return nil
	}
	p.asking = true
	return r.append(p)
}

// cause leaves out what was being done and to which file when something went wrong: the line has room for what went
// wrong.
func cause(err error) error {
	for {
		switch x := err.(type) {
		case *cellar.Doing:
			err = x.Err
		case *fs.PathError:
			err = x.Err
		default:
			return err
		}
	}
}

// written tidies up after an entry that is durable.
func (r *Root) written(p *pending) {
	if p.machine {
		r.noted(true)
		return
	}
	if p.script {
		return
	}
	r.banner = ""
	if _, said := p.cmd.(*cellar.ConfirmTime); said {
		r.confirmed()
	}
	if p.form != nil {
		delete(r.drafts, p.form.Key)
		r.gatheredWritten(p)
		r.say(r.saidOf(p) + r.lastWritten(p))
		r.board.Go(p.form.Subject.Ref())
		r.askOfGas(p)
	}
	r.o.Script = nil
}

// saidOf begins what is said of an entry that is saved: one that a rule stopped and that
// was left alone is not what was typed.
func (r *Root) saidOf(p *pending) string {
	if _, stopped := p.recs[0].Fact.(*cellar.Stopped); stopped {
		return "NOT DONE, saved as stopped: "
	}
	return "saved: "
}

// lastWritten is what the first fact of an entry says, as the history keeps it.
func (r *Root) lastWritten(p *pending) string {
	text, of, said, between := p.form.Form.Title, subject.Ref{}, false, " "
	if _, corrects := p.cmd.(*cellar.Correct); corrects { // it is no tank that is taken back
		between = ": "
	}
	for e := range r.state.LatestEvents {
		if e.Seq < p.recs[0].Seq {
			break
		}
		if own := p.form.Subject.Ref(); !said || e.Subject == own || of != own {
			text, of, said = r.state.NameOf(e.Subject)+between+e.Text, e.Subject, true
		}
	}
	_, stopped := p.recs[len(p.recs)-1].Fact.(*cellar.Stopped)
	if stopped && len(p.recs) > 1 {
		text = "NOT SAVED: " + p.recs[len(p.recs)-1].Fact.(*cellar.Stopped).What.In(r.state) + ". Saved: " + text
	}
	if c, ok := p.cmd.(*cellar.Together); ok && !stopped {
		return batchWritten(c)
	}
	if c, ok := p.cmd.(*cellar.Correct); ok {
		return r.putRight(c, p.form.Subject.Name(), of, text)
	}
	return text
}

// putRight names what was corrected with its kind, and says so where it is not
// what the form was opened on.
func (r *Root) putRight(c *cellar.Correct, on string, of subject.Ref, text string) string {
	switch of.Kind {
	case subject.Press:
		text = "press " + text
	case subject.Vessel:
		text = "tank " + text
	}
	if c.Vessel != "" && on != "" && on != string(c.Vessel) {
		text += " (not " + on + ")"
	}
	return text
}

// pump sends the next command of the queue.
func (r *Root) pump() tea.Cmd {
	if r.writes.busy() || len(r.writes.queue) == 0 {
		return r.leaveIfAsked()
	}
	p := r.writes.queue[0]
	r.writes.queue = r.writes.queue[1:]
	return r.submit(p)
}

// catchUp reads what has been appended meanwhile and decides again.
func (r *Root) catchUp() tea.Cmd {
	j, from := r.o.Journal, r.writes.flying.after+1
	return func() tea.Msg {
		recs, err := readFrom(j, from)
		return caughtMsg{recs, err}
	}
}

func (r *Root) onCaught(m caughtMsg) tea.Cmd {
	p := r.writes.flying
	if m.err != nil {
		if p != nil && p.unsure { // it is looked up again
			return r.leaveIfAsked()
		}
		return r.unread(m.err)
	}
	if len(m.recs) == 0 { // a conflict with nothing: the end lies before what stands here
		return r.unread(fmt.Errorf("%w: it ends before what this board shows; leave the board and start it again",
			cellar.ErrDamaged))
	}
	own := 0
	for _, rec := range m.recs {
		if p.wrote(rec) {
			own++
		}
		r.came(rec)
	}
	if p != nil && p.unsure && own == len(p.recs) {
		return r.stands(p)
	}
	r.writes.flying = nil
	if p == nil {
		return nil
	}
	if p.unsure {
		p.unsure, r.banner = false, ""
	}
	return r.submit(p)
}

// unread goes on after the journal could not be caught up with.
func (r *Root) unread(err error) tea.Cmd {
	p := r.writes.flying
	r.writes.flying = nil
	r.banner = r.words("The journal cannot be read: {error}", err.Error())
	if p != nil && p.machine {
		r.noted(false)
	} else if p != nil {
		r.show(p)
	}
	if !r.ends {
		r.quits = false
	}
	return r.pump()
}

// leaveIfAsked ends the program once nothing is being written any more.
func (r *Root) leaveIfAsked() tea.Cmd {
	if !r.quits || r.writes.busy() && !r.writes.flying.unsure {
		return nil
	}
	if r.writes.busy() || len(r.writes.queue) == 0 { // nobody can say when it is known
		return tea.Quit
	}
	return nil
}
