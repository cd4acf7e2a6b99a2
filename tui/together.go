package tui

import (
	"fmt"
	"slices"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/text"
	"cellar.example/mustwatch/tui/entry"
	"cellar.example/mustwatch/tui/intent"
	"cellar.example/mustwatch/tui/overlay"
)

// Lines that only go together are gathered at the correction form, one after the other,
// and saved as one.

// gather keeps the line of a form and opens the form for the next.
func (r *Root) gather(p *pending) tea.Cmd {
	line, label, err := p.form.Line(p.values)
	if err != nil {
		r.refused(p, err)
		return nil
	}
	delete(r.drafts, p.form.Key) // it is kept among the gathered now
	r.gathered = entry.Gathered{Lines: append(slices.Clone(r.gathered.Lines), line),
		Labels: append(slices.Clone(r.gathered.Labels), label)}
	r.form = nil
	r.openForm(intent.FormCorrect, p.form.Subject)
	return nil
}

// clash offers the way out where what was typed does not go together with an entry that
// stands.
func (r *Root) clash(p *pending, no *cellar.Rejection) {
	if no.With == 0 || p.form == nil {
		return
	}
	r.asked = p
	says := no.Message()
	text := strings.ToUpper(says[:1]) + says[1:] + "."
	if no.Code == cellar.WhichFirst {
		r.over = append(r.over, &overlay.WhichFirst{Text: text, With: no.With, Field: no.Field})
		return
	}
	r.over = append(r.over, &overlay.Clash{Text: text, With: no.With})
}

// onWhichFirst takes the answer which of two entries of one time was first.
func (r *Root) onWhichFirst(w *overlay.WhichFirst) tea.Cmd {
	r.over = r.over[:len(r.over)-1]
	p := r.asked
	h := cellar.HeadOf(p.cmd)
	if all, batch := p.cmd.(*cellar.Together); batch {
		for i, l := range all.Lines {
			if strings.HasPrefix(w.Field, fmt.Sprintf("lines[%d]", i)) {
				h = cellar.HeadOf(l.Command)
			}
		}
	}
	switch {
	case w.Before:
		h.Before = w.With
	case w.After:
		h.After = w.With
	default:
		return nil
	}
	return r.submitForm(p)
}

// onClash takes the way out of what does not go together.
func (r *Root) onClash(c *overlay.Clash) tea.Cmd {
	r.over = r.over[:len(r.over)-1]
	p := r.asked
	switch {
	case c.Together:
		lines, labels := []cellar.Command{p.cmd}, []string{p.form.Form.Title + ", as typed"}
		if all, batch := p.cmd.(*cellar.Together); batch {
			lines, labels = nil, slices.Clone(r.gathered.Labels)
			for _, l := range all.Lines {
				lines = append(lines, l.Command)
			}
		}
		if p.form.Line != nil {
			if _, label, err := p.form.Line(p.values); err == nil {
				labels = append(labels[:len(lines)-1:len(lines)-1], label)
			}
		}
		delete(r.drafts, p.form.Key)
		r.gathered = entry.Gathered{Lines: lines, Labels: labels, With: c.With}
		r.form = nil
		r.openForm(intent.FormCorrect, p.form.Subject)
	case c.Happened:
		h := cellar.HeadOf(p.cmd)
		h.Happened = true
		h.Answers = append(h.Answers, gate.Answer{Rule: cellar.CannotBe, By: string(r.who)})
		return r.submitForm(p)
	}
	return nil
}

// gatheredWritten forgets what was gathered, once it is written.
func (r *Root) gatheredWritten(p *pending) {
	if _, batch := p.cmd.(*cellar.Together); batch || p.form.Kind == intent.FormCorrect {
		r.gathered = entry.Gathered{}
	}
}

// batchWritten says what was saved as one. Each line stands in the log of what it is of.
func batchWritten(c *cellar.Together) string {
	return text.Of("{count} corrections as one", len(c.Lines)).In(text.Exact{})
}
