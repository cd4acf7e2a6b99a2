package overlay

import (
	"fmt"
	"slices"

	tea "github.com/charmbracelet/bubbletea"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/tui/cell"
	"cellar.example/mustwatch/tui/intent"
	"cellar.example/mustwatch/tui/keys"
	"cellar.example/mustwatch/tui/layout"
	"cellar.example/mustwatch/tui/theme"
	"cellar.example/mustwatch/tui/widget"
)

// Gate shows what rules say against an entry and takes the answers. Enter does not do
// it; to go on is a key of its own, and each finding that wants a person, a
// second person or a reason is then asked by itself: a word on one is none on another.
type Gate struct {
	What     string
	Findings []gate.Finding
	form     *widget.Form
	writer   string
	typed    map[string]string
	needs    *cellar.Needs
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
func NewGate(what string, needs *cellar.Needs, writer string, typed map[string]string) *Gate {
	g := &Gate{What: what, writer: writer, typed: typed, needs: needs}
	g.pose(needs.Findings)
	return g
}

// pose asks about findings.
func (g *Gate) pose(found []gate.Finding) {
	g.Findings = found
	stop, final, like := false, false, false
	for _, f := range found {
		stop = stop || f.Stop()
		final = final || f.Right == gate.Nobody
		like = like || f.Like != 0
	}
	on := "go on"
	if stop {
		on = "override"
	}
	// Going on is never what a hand that presses Enter twice gets.
	pick := widget.Field{Name: "then", Label: "Answer", Origin: "Enter takes it", Value: leave,
		Choices: []widget.Choice{{Key: 'x', Label: "don't do it", Value: leave}, {Key: 'g', Label: on, Value: goOn}}}
	if final {
		pick.Choices = pick.Choices[:1]
	}
	if like {
		pick.Choices = append(pick.Choices, widget.Choice{Key: 's', Label: "same one, saved late", Value: same})
	}
	fields := []widget.Field{pick}
	if !final {
		for i := range found {
			fields = append(fields, g.asks(i)...)
		}
	}
	title := "Checks before this is saved"
	if stop {
		title = "Stopped"
	}
	g.form = widget.NewForm(title, fields...)
	g.form.Verb = "answer"
}

// asks are the fields for the answer to one finding.
func (g *Gate) asks(i int) (out []widget.Field) {
	f := g.Findings[i]
	going := func(v map[string]string) bool { return v["then"] == goOn }
	if f.Stop() {
		writer := g.writer
		if f.ByPerson() || f.Right == gate.Winemaker {
			writer = "" // not the word of whoever happens to be at the keys
		}
		out = append(out, widget.Field{Name: name("by", i), Label: g.label("Override by", i), Kind: widget.Code,
			Value: writer, Hint: "initials", When: going})
	}
	if f.Stop() && (f.Second || f.Right == gate.Ends) {
		hint := "initials"
		if !f.Second {
			hint = "initials, if a lead answers"
		}
		out = append(out, widget.Field{Name: name("second", i), Label: g.label("Second person", i), Kind: widget.Code,
			Value: g.typed["second"], Origin: "from the form", Hint: hint, Optional: !f.Second, When: going})
	}
	if f.Stop() || f.Reason {
		out = append(out, widget.Field{Name: name("reason", i), Label: g.label("Reason", i), Kind: widget.Words,
			Value: g.typed["reason"], Origin: "from the form", Optional: !f.Reason, When: going})
	}
	return out
}

func name(field string, i int) string { return fmt.Sprintf("%s %d", field, i) }

// label says to which finding a field belongs, where several are asked.
func (g *Gate) label(text string, i int) string {
	f, asked, alike := g.Findings[i], 0, 0
	for _, o := range g.Findings {
		if o.Stop() || o.Reason {
			asked++
			if o.Of == f.Of {
				alike++
			}
		}
	}
	switch {
	case asked < 2:
		return text
	case alike > 1:
		return fmt.Sprintf("%s %s: %s", f.Rule, f.Of, text)
	}
	return fmt.Sprintf("%s: %s", f.Of, text)
}

// Left reports whether the answer is not to do it.
func (g *Gate) Left() bool { return g.form.Value("then") == leave }

// Same reports whether the answer is that it is saved already.
func (g *Gate) Same() bool { return g.form.Value("then") == same }

// Answers are the answers, one to each finding.
func (g *Gate) Answers() []gate.Answer {
	var out []gate.Answer
	for i, f := range g.Findings {
		a := gate.Answer{Rule: f.Rule, Of: f.Of, Field: f.Field}
		if f.Stop() {
			a.By, a.Second = g.form.Value(name("by", i)), g.form.Value(name("second", i))
		}
		if f.Stop() || f.Reason {
			a.Reason = g.form.Value(name("reason", i))
		}
		out = append(out, a)
	}
	return out
}

// Fail shows what answers lacked, at their fields. What rules say that was not asked
// about, because something else was written meanwhile, is asked about now.
func (g *Gate) Fail(found []gate.Finding) {
	for _, f := range found {
		if g.nth(f) < 0 {
			g.pose(found)
			break
		}
	}
	i := g.nth(found[0])
	for _, field := range []string{"second", "reason", "by"} {
		if at := name(field, i); g.shows(at) && (g.form.Value(at) == "" || field == "by") {
			g.form.Fail(at, g.needs.Message(found[0]))
			return
		}
	}
	g.form.Fail(name("by", i), g.needs.Message(found[0]))
}

// nth is the place of a finding among those that were asked about, -1 for none.
func (g *Gate) nth(f gate.Finding) int { return slices.IndexFunc(g.Findings, f.Same) }

func (g *Gate) shows(field string) bool {
	_, ok := g.form.Values()[field]
	return ok
}

// Typing reports whether the keys go to a field that takes text.
func (g *Gate) Typing() bool { return g.form.Typing() }

// Keys implements Overlay.
func (g *Gate) Keys() keys.Table {
	t := slices.Clone(g.form.Keys())
	for i := range t {
		if slices.Contains(t[i].Keys, "esc") { // nothing is left here: what was typed is still to be handed in
			t[i].Short, t[i].Help = "back to the form", "back to the form, nothing typed is lost"
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
		for i, l := range cell.Wrap(g.needs.Message(f), box.W-14) {
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
			line := "the " + who + " can override"
			if f.ByPerson() {
				line = f.WhoMay() + " can override"
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
