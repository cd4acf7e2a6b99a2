package overlay

import (
	"fmt"
	"slices"

	tea "github.com/charmbracelet/bubbletea"

	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/tui/cell"
	"cellar.example/mustwatch/tui/intent"
	"cellar.example/mustwatch/tui/keys"
	"cellar.example/mustwatch/tui/layout"
	"cellar.example/mustwatch/tui/theme"
	"cellar.example/mustwatch/tui/widget"
)

// Gate shows what rules say against an entry and takes the answer. Enter leaves the
// entry alone; to go on is a key of its own, and a stop then wants the person, the
// second person and the reason that the rule asks for.
type Gate struct {
	What     string
	Findings []gate.Finding
	form     *widget.Form
}

// The values of the picker.
const (
	goOn  = "on"
	leave = "leave"
	same  = "same"
)

// NewGate makes the question. writer is who is at the keys; typed are the values
// of the form it comes from, so that a second person and a reason that stand
// there are not asked for twice.
func NewGate(what string, found []gate.Finding, writer string, typed map[string]string) *Gate {
	g := &Gate{What: what, Findings: found}
	stop, second, reason, final, like := false, false, false, false, false
	for _, f := range found {
		if f.Right == gate.Releaser || f.Right == gate.Winemaker {
			writer = "" // not the word of whoever happens to be at the keys
		}
		stop = stop || f.Stop()
		second = second || f.Second
		reason = reason || f.Reason
		final = final || f.Right == gate.Nobody
		like = like || f.Like != 0
	}
	on := "go on"
	if stop {
		on = "go on all the same"
	}
	// Going on is never what a hand that presses Enter twice gets.
	pick := widget.Field{Name: "then", Label: "Then", Origin: "Enter takes it", Value: leave,
		Choices: []widget.Choice{{Key: 'x', Label: "leave it", Value: leave}, {Key: 'g', Label: on, Value: goOn}}}
	if final {
		pick.Choices = pick.Choices[:1]
	}
	if like {
		pick.Choices = append(pick.Choices, widget.Choice{Key: 's', Label: "same one, I am late writing it", Value: same})
	}
	going := func(v map[string]string) bool { return v["then"] == goOn }
	fields := []widget.Field{pick}
	if stop && !final {
		fields = append(fields, widget.Field{Name: "by", Label: "Whose word", Kind: widget.Code, Value: writer, Hint: "initials", When: going})
	}
	if stop && !final && second {
		fields = append(fields, widget.Field{Name: "second", Label: "Second person", Kind: widget.Code, Value: typed["second"], Origin: "from the form", Hint: "initials", When: going})
	}
	if !final && (stop || reason) {
		fields = append(fields, widget.Field{Name: "reason", Label: "Because", Kind: widget.Words, Value: typed["reason"], Origin: "from the form", Optional: !reason, When: going})
	}
	title := "A word before this is written"
	if stop {
		title = "Stopped"
	}
	g.form = widget.NewForm(title, fields...)
	g.form.Verb = "answer"
	return g
}

// Left tells whether the answer is to leave it.
func (g *Gate) Left() bool { return g.form.Value("then") == leave }

// Same tells whether the answer is that it stands written already.
func (g *Gate) Same() bool { return g.form.Value("then") == same }

// Answers are the answers to every finding.
func (g *Gate) Answers() []gate.Answer {
	var out []gate.Answer
	for _, f := range g.Findings {
		a := gate.Answer{Rule: f.Rule}
		if f.Stop() {
			a.By, a.Second = g.form.Value("by"), g.form.Value("second")
		}
		if f.Stop() || f.Reason {
			a.Reason = g.form.Value("reason")
		}
		out = append(out, a)
	}
	return out
}

// Fail shows what an answer lacked.
func (g *Gate) Fail(found []gate.Finding) {
	g.Findings = found
	g.form.Fail("by", found[0].Message)
}

// Typing tells whether the keys go to a field that takes text.
func (g *Gate) Typing() bool { return g.form.Typing() }

// Keys implements Overlay.
func (g *Gate) Keys() keys.Table {
	t := slices.Clone(g.form.Keys())
	for i := range t {
		if slices.Contains(t[i].Keys, "esc") { // nothing is left here: what was typed is still to be handed in
			t[i].Short, t[i].Help = "back to the form", "back to the form, as it was typed"
		}
	}
	return t
}

// Update implements Overlay. Submit and Back come up.
func (g *Gate) Update(msg tea.KeyMsg) (intent.Intent, bool) { return g.form.Update(msg) }

// View implements Overlay.
func (g *Gate) View(th theme.Theme, box layout.Box) []string {
	head := []string{th.Title.Render(" " + g.What), ""}
	for _, f := range g.Findings {
		ink, word := th.Soon, "look"
		if f.Stop() {
			ink, word = th.Overdue, "stop"
		}
		for i, l := range cell.Wrap(f.Message, box.W-14) {
			tag := cell.Blank(12)
			if i == 0 {
				tag = ink.Render(cell.Fit(fmt.Sprintf(" %s %s ", word, f.Rule), 10)) + "  "
			}
			head = append(head, " "+tag+l)
		}
		if f.Stop() && f.Right != gate.Nobody {
			who := string(f.Right)
			if f.Person != "" {
				who = f.Person
			}
			line := "the " + who + " may say otherwise"
			if f.Right == gate.Releaser {
				line = who + " may say otherwise"
			}
			if f.Second {
				line += ", with a second person"
			}
			head = append(head, cell.Blank(13)+th.Quiet.Render(line))
		}
		head = append(head, "")
	}
	rest := layout.Box{W: box.W, H: max(6, box.H-len(head))}
	return layout.Lines(layout.Stack(head, g.form.View(th, rest)), box)
}
