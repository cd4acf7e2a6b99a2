package tui

import (
	"strings"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/tui/cell"
	"cellar.example/mustwatch/tui/entry"
	"cellar.example/mustwatch/tui/face"
	"cellar.example/mustwatch/tui/intent"
)

// mostEmergency is the share of the window that emergencies may take above a face.
const mostEmergency = 3

// emergencyLines are the emergencies over the full width, whole: a text that is too
// long goes on in the next line. Where they would take too much of the window the
// gravest stands whole and the others by name.
func (r *Root) emergencyLines() []string {
	all := r.state.Emergencies(r.now)
	if len(all) == 0 {
		return nil
	}
	lines := r.wrapped(all[0].Line() + " " + r.emergencyKey(all[0]))
	rest, titles := []string(nil), []string(nil)
	for _, e := range all[1:] {
		rest = append(rest, r.wrapped(e.Line())...)
		titles = append(titles, e.Title)
	}
	if len(lines)+len(rest) > r.box.H/mostEmergency {
		rest = r.wrapped(r.words("AND {count} MORE: {titles}", len(titles), strings.Join(titles, "; ")))
	}
	lines = append(lines, rest...)
	for i, l := range lines {
		lines[i] = r.theme.Overdue.Render(cell.Fit(l, r.box.W))
	}
	return lines
}

// wrapped is one emergency in as many lines as it needs.
func (r *Root) wrapped(text string) []string {
	out := cell.Wrap(text, r.box.W-4)
	for i, l := range out {
		mark := "   "
		if i == 0 {
			mark = " ▲ "
		}
		out[i] = mark + l
	}
	return out
}

// emergencyKey says by which key it comes off the top.
func (r *Root) emergencyKey(e cellar.Emergency) string {
	key := "[space"
	if r.form != nil || r.top() != nil {
		key = "[esc, then space"
	}
	return key + ": " + face.EndWords(e) + "]"
}

// answerEmergency opens the entry that ends the emergency on top, if there is one.
func (r *Root) answerEmergency() bool {
	all := r.state.Emergencies(r.now)
	if len(all) == 0 {
		return false
	}
	if all[0].Kind == cellar.EmergencyInside {
		r.openForm(intent.FormCrew, face.Subject{})
	} else {
		r.openCrew(entry.CrewOver)
	}
	return true
}

// openCrew opens the form of crew and gas at one of its parts.
func (r *Root) openCrew(part string) {
	if r.who == "" && len(r.state.House.People) > 0 {
		r.person()
		return
	}
	e, why := entry.OpenCrew(part, r.Sight)
	if why != "" {
		r.say(why)
		return
	}
	r.openEntry(e)
}

// askOfGas asks what a reading that was just written lacks, unless somebody types
// something else by now.
func (r *Root) askOfGas(p *pending) {
	ask, ok := r.state.GasAsks()
	if !ok || r.form != nil || r.top() != nil || ask.Of < p.recs[0].Seq || ask.Of > p.recs[len(p.recs)-1].Seq {
		return
	}
	r.openCrew(entry.CrewTold)
}
