package tui

import (
	"context"
	"slices"
	"strings"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/handover"
	"cellar.example/mustwatch/domain/sheet"
	"cellar.example/mustwatch/tui/intent"
	"cellar.example/mustwatch/tui/keys"
	"cellar.example/mustwatch/tui/overlay"
	"cellar.example/mustwatch/tui/paper"
)

// asksAgain is how long a question about a shift that was put off is left alone (common
// practice, no source).
const asksAgain = time.Hour

// asksOfShift puts a question to whoever presses a key, where a shift was not started or
// not handed over. It does not come before an emergency, nor between a person and a way out.
func (r *Root) asksOfShift(k tea.KeyMsg) bool {
	if r.o.Journal == nil || r.whole() || r.now.Before(r.asks.after) || keys.Name(k) == "q" ||
		len(r.state.Emergencies(r.now)) > 0 {
		return false
	}
	which, p := r.state.ShiftLapse(r.now)
	later := overlay.Choice{Key: "l", Verb: "later", Then: intent.Later{}}
	form := func(key, verb string, f intent.Form, do string) overlay.Choice {
		return overlay.Choice{Key: key, Verb: verb, Then: intent.OpenForm{Form: f, Do: do}}
	}
	var q *overlay.Choose
	switch which {
	case cellar.LapseEnd:
		q = &overlay.Choose{Title: r.words("The shift of {lead} was to end at {time}. Start yours?", p.Lead, p.Plan()),
			Text: []string{"Nobody has handed it over, and it is still open."},
			Choices: []overlay.Choice{form("s", "start yours", intent.FormShift, "start"),
				form("e", "hand it over", intent.FormShift, "end"), later}}
	case cellar.LapseBefore:
		q = &overlay.Choose{Title: r.words("The shift of {lead} has no end. When did it end?", p.Lead),
			Text: []string{r.words("The next one, of {lead}, began at {time}; until somebody says more it ended then.",
				p.By, p.Until)},
			Choices: []overlay.Choice{{Key: "t", Verb: r.words("save that it ended at {time}", p.Until),
				Then: intent.EndedThen{}}, form("e", "type when it ended", intent.FormEnded, ""), later}}
	case cellar.LapseStart:
		q = &overlay.Choose{Title: r.words("No shift is open since {time}. Start yours?", p.Ended),
			Text:    []string{"What is saved now goes on the sheet of the shift that has ended."},
			Choices: []overlay.Choice{form("s", "start yours", intent.FormShift, ""), later}}
	default:
		return false
	}
	q.Text = append(q.Text, "The key that you pressed did nothing.")
	r.over = append(r.over, q)
	return true
}

// actOnSheets does what is asked about sheets and shifts.
func (r *Root) actOnSheets(in intent.Intent) tea.Cmd {
	switch in := in.(type) {
	case intent.SheetView:
		r.sheet()
	case intent.Print:
		return r.save()
	case intent.Shifts:
		r.shifts()
	case intent.Notes:
		r.notes()
	case intent.TickOff:
		return r.tickOff(in.Note)
	case intent.PastSheet:
		return r.pastSheet(in.Began)
	case intent.SavePast:
		return r.savePast()
	case intent.EndedThen:
		return r.endedThen()
	case intent.Later:
		r.asks.after = r.now.Add(asksAgain)
	}
	return nil
}

// endedThen saves that the shift before ended when this one began.
func (r *Root) endedThen() tea.Cmd {
	which, p := r.state.ShiftLapse(r.now)
	if which != cellar.LapseBefore {
		r.say("somebody has saved it meanwhile")
		return nil
	}
	if r.who == "" && len(r.state.House.People) > 0 {
		r.person()
		return nil
	}
	r.say(r.words("saved: the shift of {lead} ended at {time}", p.Lead, p.Until))
	head := cellar.Head{By: r.who, At: p.Until, Happened: true}
	return r.submit(&pending{cmd: &cellar.EndShift{Head: head, To: p.By}})
}

// asks is what is asked about shifts, and the sheet of an earlier one that is in view.
type asks struct {
	after time.Time // nothing before
	name  string    // of the file that the sheet in view goes to
	text  string
}

// shifts lists all shifts, the last one first.
func (r *Root) shifts() {
	r.over = append(r.over, &overlay.Choices{Title: "Shifts: the sheet of which one?", Verb: "show its sheet",
		Empty: "No shift was ever started in this journal.",
		Items: func() (items []overlay.Item) {
			for _, p := range slices.Backward(r.state.Shifts()) {
				items = append(items, overlay.Item{Text: r.shiftLine(p), Then: intent.PastSheet{Began: p.Started}})
			}
			return items
		}})
}

// shiftLine is a shift in a line of the list.
func (r *Root) shiftLine(p cellar.PastShift) string {
	zone := r.state.Zone()
	line := p.Started.In(zone).Format("Mon 2 Jan 15:04 - ")
	switch {
	case p.Open():
		line += "open "
	case p.Forgotten():
		line += p.Until.In(zone).Format("15:04 no end saved, ")
	default:
		line += p.Ended.In(zone).Format("15:04")
	}
	line += "  " + string(p.Lead)
	others := slices.DeleteFunc(slices.Clone(p.Crew), func(w cellar.Initials) bool { return w == p.Lead })
	if len(others) > 0 {
		line += " with " + cellar.Spaced(others)
	}
	return line
}

// pastMsg is the sheet of a shift that another has followed.
type pastMsg struct {
	shift cellar.PastShift
	text  string
	err   error
}

// pastSheet shows the sheet of the shift that began at an instant. That of an earlier one
// is made beside the board, from the journal alone: the board goes on meanwhile.
func (r *Root) pastSheet(began time.Time) tea.Cmd {
	all := r.state.Shifts()
	i := slices.IndexFunc(all, func(p cellar.PastShift) bool { return p.Started.Equal(began) })
	switch {
	case i < 0:
		r.say("that shift was taken back meanwhile")
		return nil
	case all[i].Until.IsZero():
		r.sheet()
		return nil
	}
	p, j, now := all[i], r.o.Journal, r.now
	mark := sheet.Mark{Version: r.o.Version, Demo: r.o.Demo}
	r.say("making the sheet of that shift …")
	return func() tea.Msg {
		s, err := cellar.Replay(context.Background(), j)
		if err != nil {
			return pastMsg{p, "", err}
		}
		mark.Seq = uint64(s.Seq)
		then, err := cellar.ShiftSeen(context.Background(), j, s, p)
		if err != nil {
			return pastMsg{p, "", err}
		}
		return pastMsg{p, paper.Full(handover.Past(then, p, now, mark)), nil}
	}
}

// onPast shows such a sheet once it is made.
func (r *Root) onPast(m pastMsg) {
	if m.err != nil {
		r.say(r.words("the sheet cannot be made: {error}", m.err.Error()))
		return
	}
	r.say("")
	r.asks.text = m.text
	r.asks.name = m.shift.Started.In(r.state.Zone()).Format("shift-2006-01-02-1504.txt")
	t := paperText(r.words("Sheet of the shift of {lead}, {time}", m.shift.Lead, m.shift.Started), m.text)
	if r.o.Save != nil {
		t.Extra = keys.Table{{Keys: []string{"p"}, Short: "save to a file", Help: "save the sheet to a file",
			Group: keys.GroupProgram, Intent: intent.SavePast{}}}
	}
	r.over = append(r.over, t)
}

// paperText is a sheet to be read on the screen.
func paperText(title, text string) *overlay.Text {
	return overlay.NewText(title, strings.Split(strings.ReplaceAll(strings.TrimRight(text, "\n"), paper.Feed, "\n\n"),
		"\n"))
}

// savedPastMsg is the outcome of writing the sheet of an earlier shift to a file.
type savedPastMsg struct {
	where string
	err   error
}

func (r *Root) savePast() tea.Cmd {
	if r.o.Save == nil || r.asks.text == "" {
		return nil
	}
	write, name, text := r.o.Save, r.asks.name, r.asks.text
	return func() tea.Msg {
		where, err := write(name, text)
		return savedPastMsg{where, err}
	}
}

func (r *Root) onSavedPast(m savedPastMsg) {
	if m.err != nil {
		r.say(r.words("the sheet is NOT saved: {error}", m.err.Error()))
		return
	}
	r.say("saved: the sheet, in " + m.where)
}
