package entry

import (
	"fmt"
	"slices"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/tui/widget"
)

// What becomes of a correction that is filled in.
const (
	thenWrite = "write"
	thenMore  = "more"
	thenAlone = "alone"
)

// thenField lets another line be corrected together with this one.
func (k *desk) thenField() widget.Field {
	f := widget.Field{Name: "then", Label: "Then", Optional: true, Value: thenWrite, Origin: "usual",
		Choices: []widget.Choice{
			{Key: 's', Label: "save it", Value: thenWrite}, {Key: 'a', Label: "add another correction",
				Value: thenMore}}}
	if n := len(k.with.Lines); n > 0 {
		f.Choices[0].Label = say(k.look(), "save all {n} as one", n+1)
		f.Choices = append(f.Choices, widget.Choice{Key: 'o', Label: "only this one, drop the rest", Value: thenAlone})
	}
	return f
}

// which picks the entry. Where one does not go together with what was typed it is that.
func (k *desk) which(list []cellar.Correctable, choices []widget.Choice) widget.Field {
	f := widget.Field{Name: "of", Label: "Entry", Choices: choices}
	i := slices.IndexFunc(list, func(c cellar.Correctable) bool { return c.Of == k.with.With && c.Of != 0 })
	if i >= 0 {
		f.Value, f.Origin = correctKey(list[i]), "conflicts with it"
	}
	return f
}

// together is a line with those that were gathered before it.
func (k *desk) together(c cellar.Command, err error) (cellar.Command, error) {
	if err != nil || len(k.with.Lines) == 0 || k.form.Value("then") == thenAlone {
		return c, err
	}
	all := &cellar.Together{Head: cellar.Head{By: k.look().Who}}
	for _, l := range append(slices.Clone(k.with.Lines), c) {
		all.Lines = append(all.Lines, cellar.Line{Command: l})
	}
	return all, nil
}

// gatheredLines name the lines that are saved together with this one.
func (k *desk) gatheredLines() (out []string) {
	for i, says := range k.with.Labels {
		out = append(out, fmt.Sprintf("%d  %s", i+1, says))
	}
	return out
}

// correctLine is a correction by itself, and what it is called among others.
func (k *desk) correctLine(list []cellar.Correctable, values map[string]string) (cellar.Command, string, error) {
	c, err := k.correctCommand(list, values)
	x, ok := c.(*cellar.Correct)
	if err != nil || !ok {
		return c, "", err
	}
	was, _ := chosen(list, values["of"])
	label := correctLabel(k.look(), was) + " → "
	switch {
	case x.TakeBack:
		label += "taken back"
	case x.Field == "at":
		label += values["value"]
	default:
		label += x.Value
	}
	return c, label, nil
}
