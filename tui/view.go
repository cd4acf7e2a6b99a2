package tui

import (
	"cmp"
	"fmt"
	"strings"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/clocks"
	"cellar.example/mustwatch/tui/cell"
	"cellar.example/mustwatch/tui/face"
	"cellar.example/mustwatch/tui/keys"
	"cellar.example/mustwatch/tui/layout"
	"cellar.example/mustwatch/tui/theme"
)

// The smallest window in which a night can be worked.
const (
	leastW = 80
	leastH = 24
)

// View implements tea.Model. It is pure: the same state, time and window give
// the same frame.
func (r *Root) View() string {
	if r.box.W < leastW || r.box.H < leastH {
		line := r.words("mustwatch needs {w} x {h}; this window has {has_w} x {has_h}. Alarms still ring.", leastW,
			leastH, r.box.W, r.box.H)
		if e := r.state.Emergencies(r.now); len(e) > 0 {
			line = "▲ " + e[0].Line() + " " + line
		} else if due := r.Sight().Alarms(); len(due) > 0 {
			line = r.words("DUE: {what} {verb}. ", r.state.NameOf(due[0].Subject), due[0].Says()) + line
		}
		if r.o.Demo {
			line = "DEMO. " + line
		}
		if r.leaving() {
			line = "Press q again to end the board. " + strings.Join(r.hangsOnIt(), " ")
		}
		return layout.Frame(cell.Wrap(line+" "+r.state.EntryLine(r.now)+".", r.box.W), r.box)
	}
	var lines []string
	if r.whole() {
		lines = r.face().View(r.Sight(), r.box)
	} else {
		lines = append([]string{r.header()}, r.topLines()...)
		lines = append(lines, r.middle()...)
		lines = append(lines, r.footer())
	}
	if r.grounded() {
		for i, l := range lines {
			lines[i] = r.theme.Ground(cell.Fit(l, r.box.W))
		}
	}
	frame := layout.Frame(lines, r.box)
	if r.o.Ascii {
		frame = cell.Plain(frame)
	}
	return frame
}

// whole reports whether the face in view has the whole window.
func (r *Root) whole() bool {
	_, ok := r.face().(face.Whole)
	return ok && r.form == nil && r.top() == nil
}

// grounded reports whether the theme's ground has to be painted: a light one
// always, for most terminals are dark, and a dark one where light was asked for.
func (r *Root) grounded() bool {
	return r.theme.OwnGround() && (r.theme.Mode == theme.Light || r.o.Light)
}

// middle is the overlay, the form or the face.
func (r *Root) middle() []string {
	box := r.body()
	switch {
	case r.top() != nil:
		return r.top().View(r.theme, box)
	case r.form != nil:
		return r.form.Form.View(r.theme, box)
	}
	return r.face().View(r.Sight(), box)
}

// header says whose cellar, which night, what time, who, and DEMO.
func (r *Root) header() string {
	zone := r.state.Zone()
	now := r.now.In(zone)
	left := " " + r.state.House.Name
	if r.state.House.Name == "" {
		left = " mustwatch"
	}
	muted := ""
	if r.beat.muted {
		muted = " · bell muted"
	}
	who := string(r.who)
	if who == "" {
		who = "who? i"
	}
	clock := now.Format("Mon 15:04 MST")
	if r.timing().Question.Doubt == clocks.Lost {
		clock += " ?"
	}
	right := r.entryWord() + "   " + clock + "   " + who + " "
	demo := ""
	if r.o.Demo {
		demo = " DEMO "
	}
	w := r.box.W - cell.Width(right) - cell.Width(demo)
	left = r.shiftName(left, muted, w)
	if second := left + " · second screen"; r.o.Joined != nil && cell.Width(second) <= w {
		left = second
	}
	return r.theme.Title.Render(cell.Fit(left, w)) + r.theme.Strong.Render(right) + r.theme.Demo.Render(demo)
}

// shiftName puts the shift's day behind the house: with what it is where that has room and a
// gap, the day alone else.
func (r *Root) shiftName(house, muted string, w int) string {
	at := r.state.Shift.Started
	if at.IsZero() {
		return house + muted
	}
	at = at.In(r.state.Zone())
	kind := "day of "
	if h := at.Hour(); h >= 15 || h < 4 {
		kind = "night of "
	}
	day := at.Format("Mon 2 Jan")
	if whole := house + " · " + kind + day + muted; cell.Width(whole) < w {
		return whole
	}
	return house + " · " + day + muted
}

// words makes a sentence of a template and its values. It is asked for while the sight is made.
func (r *Root) words(template string, values ...any) string {
	return face.Sight{State: r.state, Now: r.now}.Say(template, values...)
}

// entryWord stands in the header of every face: nobody goes into a vessel, or only
// who has a permit, or who is in one.
func (r *Root) entryWord() string {
	if in := r.state.InVessels(); len(in) > 0 {
		return r.words("{who} IN {place}", in[0].Who, in[0].Place)
	}
	if live := r.state.LivePermits(r.now); len(live) > 0 {
		return "NO ENTRY WITHOUT PERMIT " + live[0].Number
	}
	return "NO TANK ENTRY"
}

// topLines stand under the header on every face: emergencies, or what is due, and
// what the clocks of the machine ask.
func (r *Root) topLines() []string {
	lines := r.emergencyLines()
	if len(lines) == 0 {
		lines = []string{r.alarmLine()}
	} else if s := cmp.Or(r.out(), r.banner); s != "" {
		lines = append(lines, r.theme.Overdue.Render(cell.Fit(" "+s, r.box.W)))
	}
	return append(lines, r.timeLine()...)
}

// alarmLine is the line under the header where there is no emergency: a trouble with the
// journal first, then what is due, then what was just done, then what comes.
func (r *Root) alarmLine() string {
	w := r.box.W
	if s := cmp.Or(r.out(), r.banner); s != "" {
		return r.theme.Overdue.Render(cell.Fit(" "+s, w))
	}
	due := r.Sight().Alarms()
	if len(due) > 0 && r.state.Older(due[0], r.now) {
		due = nil // they are one line of what is due
	}
	if r.told() != "" && (len(due) == 0 || r.state.Taken(due[0], r.now)) {
		return r.theme.Strong.Render(cell.Fit(" "+r.told(), w))
	}
	if len(due) == 0 {
		return r.quietLine()
	}
	c := due[0]
	verb := c.Says()
	if c.Kind == cellar.KindMove {
		verb += " at both ends" // an open valve at either end is the costliest clock there is
	}
	taken, whose := r.state.Taken(c, r.now), string(c.Owner)
	if c.AcknowledgedBy != "" {
		whose = r.words("acknowledged by {who} {time}", c.AcknowledgedBy, c.AcknowledgedAt)
	}
	left := fmt.Sprintf(" ▲ %s  %s  %s  %s", r.state.NameOf(c.Subject), strings.ToUpper(verb), overWords(c, r), whose)
	if taken {
		left = fmt.Sprintf(" ▲ %s  %s  %s  %s", r.state.NameOf(c.Subject), c.Says(), overWords(c, r), whose)
	}
	for _, more := range r.moreOf(c, len(due)-1) { // whole or not at all
		if cell.Width(left)+cell.Width(more) <= w {
			left += more
		}
	}
	right := "space: open it · a acknowledge "
	if r.form != nil || r.top() != nil {
		right = ""
	}
	room := w - cell.Width(right)
	if room < cell.Width(left)+2 {
		right, room = "", w
	}
	text := cell.Fit(left, room) + right
	if taken {
		return r.theme.Soon.Render(text)
	}
	return r.theme.Overdue.Render(text)
}

// quietLine is the line where no alarm of this shift or the last is raised: a load that has
// not come, else what was snoozed or comes next; and what is older, by its count.
func (r *Root) quietLine() string {
	w, older := r.box.W, ""
	for _, d := range r.Sight().Next() {
		if len(d.Folded) > 0 {
			older = "   " + face.Older(d, r.now, r.state.Zone()) + " (.)"
		}
	}
	with := func(says, lead string) string {
		for _, all := range []string{lead + says + older, says + older} {
			if cell.Width(all) < w {
				return " " + all
			}
		}
		return " " + says
	}
	for _, l := range r.state.Loads {
		if late := l.Late(r.now); late > 0 && !l.Overdue(r.now) {
			says := r.words("Load {load} {variety}, expected {time}, not arrived, {late}", string(l.ID),
				l.Variety, l.Booked, face.Late(late))
			return r.theme.Soon.Render(cell.Fit(with(says, "No alarm is due. "), w))
		}
	}
	for _, d := range r.Sight().Next() {
		if !d.Again.IsZero() {
			return r.theme.Soon.Render(cell.Fit(with(r.words("Snoozed: {what} {verb}, due {time}, again {again}",
				r.state.NameOf(d.Subject), d.Verb, d.At, d.Again), ""), w))
		}
		if d.Kind != cellar.NotBefore && len(d.Folded) == 0 {
			return r.theme.Text.Render(cell.Fit(with(r.words("Next: {what} {verb} {when}",
				r.state.NameOf(d.Subject), d.Verb, face.Left(d.At, r.now)), r.nothingDue(older)), w))
		}
	}
	if older != "" {
		return r.theme.Text.Render(cell.Fit(" Nothing is due from this shift or the last."+older, w))
	}
	return r.theme.Text.Render(cell.Fit(" Nothing is due and no clock runs.", w))
}

// nothingDue leads to what comes next.
func (r *Root) nothingDue(older string) string {
	if older != "" {
		return "Nothing new is due. "
	}
	return "Nothing is due. "
}

// moreOf is what the line of an alarm says beside it where there is room: that nobody
// answers first, then how many there are.
func (r *Root) moreOf(c *cellar.AlarmClock, others int) (out []string) {
	if why := r.notAnswered(c); why != "" {
		out = append(out, "  "+why)
	} else if text := c.RemindedText(); text != "" {
		out = append(out, "  "+text)
	}
	if n := r.unseen(); n > floodLine {
		out = append(out, r.words("  {count} NOT ACKNOWLEDGED", n))
	}
	for _, k := range r.Sight().Alarms() {
		if r.state.Older(k, r.now) {
			others--
		}
	}
	if others > 0 {
		out = append(out, r.words("   and {count} more", others))
	}
	for _, d := range r.Sight().Next() {
		if n := len(d.Folded); n > 0 {
			out = append(out, r.words("   {count} older (.)", n))
		}
	}
	return out
}

func overWords(c *cellar.AlarmClock, r *Root) string {
	if c.Kind == cellar.KindReading {
		return face.ReadIn(c.Due, c.Until, r.now)
	}
	if c.Due.After(r.now) {
		return "by " + face.Clock(c.Due, r.now, r.state.Zone())
	}
	return face.Left(c.Due, r.now)
}

// footer is the keys of what has them now. While something is due that nobody has
// taken, the line on top is the alarm's, and what was just done stands here.
func (r *Root) footer() string {
	due := r.Sight().Alarms()
	switch {
	case r.told() != "" && (r.banner != "" || len(r.state.Emergencies(r.now)) > 0 || len(due) > 0 &&
		!r.state.Taken(due[0], r.now)):
		return r.theme.Strong.Render(cell.Fit(r.told(), r.box.W))
	case r.top() != nil:
		return keys.Footer(r.top().Keys(), r.box.W, r.theme)
	case r.form != nil:
		return keys.Footer(r.form.Form.Keys(), r.box.W, r.theme)
	}
	return keys.Footer(append(r.face().Keys(r.Sight()), keys.Common()...), r.box.W, r.theme)
}
