package entry

import (
	"strings"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/must/strength"
	"cellar.example/mustwatch/tui/widget"
)

// alcoholBottle stands in the picker of lots for the bottles of the test.
const alcoholBottle = "bottle"

// bottleFields are what is saved about a bottle of alcohol when it is opened.
func (k *desk) bottleFields() []widget.Field {
	when := on("product", alcoholBottle)
	figure := func(name, label, hint string, read func(s *slip)) widget.Field {
		return widget.Field{Name: name, Label: label, Kind: widget.Figure, Width: 24, Limit: 40, Hint: hint,
			Validate: k.reads(name, read)}
	}
	return []widget.Field{
		only(widget.Field{Name: "bottle", Label: "Bottle number", Kind: widget.Code, Width: 14, Limit: 20,
			Hint: "as written on the bottle, such as A-1"}, when),
		only(figure("abv", "Strength", "% vol; for a mix, 950mL@96% + 50mL@0%", func(s *slip) { s.abv("abv") }), when),
		only(words("bottle_name", "Description", "acidified, from the store"), when),
		only(k.past("opened", "Opened", "blank = now"), when),
	}
}

// abv reads a strength in % vol, or calculates that of a mix: plain arithmetic is
// off by some tenths, for the two together take up less room.
func (s *slip) abv(name string) float64 {
	text := s.text(name)
	if !strings.Contains(text, "@") {
		return read(s, name, strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(strings.TrimSuffix(text, "vol")),
			"%")), func(t string) (float64, error) {
			return s.g.Habit().Number(t, 0, 100)
		})
	}
	var parts []strength.Part
	for _, t := range strings.Split(text, "+") {
		p, err := strength.ParsePart(strings.TrimSpace(t), s.g.Habit())
		if err != nil {
			s.fail(name, err)
			return 0
		}
		parts = append(parts, p)
	}
	m, err := strength.Mix(parts...)
	if err != nil {
		s.fail(name, err)
		return 0
	}
	return float64(int(float64(m.ABV)*10+0.5)) / 10
}

func (k *desk) bottleCommand(s *slip) (cellar.Command, error) {
	return s.done(&cellar.SetBottle{Head: s.head(), Bottle: cellar.Bottle{ID: cellar.BottleID(s.text("bottle")),
		Name:     s.text("bottle_name"),
		Strength: s.abv("abv"), Opened: s.back("opened")}})
}

// bottleLines are the bottles that are known, and the strength of a mix.
func (k *desk) bottleLines(values map[string]string) []string {
	s := k.slip(values)
	var out []string
	for _, b := range s.g.State.Bottles() {
		line := say(s.g, "{bottle}: {strength} % vol, open since {time}", b.ID, b.Strength, clock(s.g, b.Opened))
		if b.Name != "" {
			line += ", " + b.Name
		}
		out = append(out, line)
	}
	if strings.Contains(s.text("abv"), "@") {
		if x := s.abv("abv"); s.err == nil {
			out = append(out, say(s.g, "the mix is {strength:%.1f} % vol", x))
		}
	}
	if len(out) > 5 {
		out = out[:5]
	}
	return out
}
