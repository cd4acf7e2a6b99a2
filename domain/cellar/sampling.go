package cellar

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"cellar.example/mustwatch/domain/gate"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/text"
)

// ControlTube is where the control of a check comes from: the same juice, or
// press juice, that has had no enzyme. All of it may be left out.
//
// NoControl as its source says that none was run.
type ControlTube struct {
	Source   string    `json:"source,omitempty"`
	TakenAt  time.Time `json:"taken_at,omitzero"`  // when it was drawn; frozen juice, when it was thawed
	Openings int       `json:"openings,omitempty"` // how often its bottle has been opened
}

// NoControl is the source of a control that was not run.
const NoControl = "none"

// Sampling is where the tubes of a check come from and which alcohol goes in.
type Sampling struct {
	ControlTube
	From     string   `json:"from,omitempty"` // where the sample was drawn
	Filtered *bool    `json:"filtered,omitempty"`
	Bottle   BottleID `json:"bottle,omitempty"`
}

// SamplePoints are the places a sample is drawn from.
func SamplePoints() []string { return []string{"top", "middle", "racking valve"} }

func (c Sampling) sound(d *decision) error {
	if c.From != "" && !slices.Contains(SamplePoints(), c.From) {
		return reject("from", "from", "choose {sample_points} for where it was drawn, not {from:%q}",
			strings.Join(SamplePoints(), ", the "), c.From)
	}
	return c.ControlTube.sound(d)
}

func (c ControlTube) sound(d *decision) error {
	if c.TakenAt.After(d.at) {
		return reject("future", "taken_at", "a control drawn at {time} is later than the test; type the time it was "+
			"drawn or thawed", d.says(c.TakenAt))
	}
	if c.Openings < 0 {
		return reject("range", "openings", "type how often the bottle was opened, 0 or more, not {openings}",
			c.Openings)
	}
	return nil
}

// with takes over what o says beyond c.
func (c ControlTube) with(o ControlTube) ControlTube {
	if o.Source != "" {
		c.Source = o.Source
	}
	if !o.TakenAt.IsZero() {
		c.TakenAt = o.TakenAt
	}
	if o.Openings != 0 {
		c.Openings = o.Openings
	}
	return c
}

// Say puts it into words for lists: "control: press juice, drawn Thu 18:05,
// opened twice".
func (c Sampling) Say(at func(time.Time) string) string {
	var out []string
	if c.Source != "" {
		out = append(out, "control: "+c.Source)
	}
	if !c.TakenAt.IsZero() {
		out = append(out, "drawn "+at(c.TakenAt))
	}
	if c.Openings > 0 {
		out = append(out, fmt.Sprintf("opened %d×", c.Openings))
	}
	if c.From != "" {
		out = append(out, "sample from the "+c.From)
	}
	if c.Filtered != nil {
		out = append(out, map[bool]string{true: "filtered", false: "not filtered"}[*c.Filtered])
	}
	if c.Bottle != "" {
		out = append(out, "alcohol "+string(c.Bottle))
	}
	return strings.Join(out, ", ")
}

var (
	oldControlSays = text.New("old-control",
		"The control is {age} old, over {control_for}: if both tubes stay clear it proves nothing.",
		"Draw or thaw a fresh one.")
	openedOften = text.New("opened-often",
		"The control bottle has been opened {openings} times, over {control_opens:%.0f}: it may be mixed or have "+
			"started.",
		"Draw or thaw a fresh one.")
)

// oldControl is D05, a rule of our own: a control that has stood for long or
// whose bottle was opened often may start, clear, or have been topped up with
// treated juice; it proves less and less.
func (c ControlTube) oldControl(d *decision) (out []gate.Finding) {
	lim := d.s.House.Limits
	if age := d.at.Sub(c.TakenAt); !c.TakenAt.IsZero() && age > lim.ControlFor.Duration() {
		out = append(out, gate.Finding{Field: "taken_at", Right: gate.Anyone,
			Say: oldControlSays.Say(quantity.Span(age.Truncate(time.Minute)), lim.ControlFor)})
	}
	if float64(c.Openings) > lim.ControlOpens {
		out = append(out, gate.Finding{Field: "openings", Right: gate.Anyone,
			Say: openedOften.Say(c.Openings, lim.ControlOpens)})
	}
	return out
}

var (
	weakAlcoholSays = text.New("weak-alcohol",
		"{id} is {strength} % vol, the recipe asks for {needed} %. A weak alcohol leaves the tube clear and makes a "+
			"false negative: only a control that flocs proves it.")
	oldAlcohol = text.New("old-alcohol",
		"{id} is open since {time}, {days:%.0f} days, over {most:%.0f}. A weak alcohol leaves the tube clear and "+
			"makes a false negative: only a control that flocs proves it.")
)

// weakAlcohol is D06, a rule of our own: what is weaker than the recipe asks
// for, or has stood open for long, may leave pectin in solution.
func (t *checkTry) weakAlcohol(d *decision) (out []gate.Finding) {
	if t.bottle == nil {
		return nil
	}
	b, r := t.bottle, t.recipe
	if b.Strength < r.Strength {
		out = append(out, gate.Finding{Field: "bottle", Right: gate.Anyone,
			Say: weakAlcoholSays.Say(b.ID, b.Strength, r.Strength)})
	}
	if age, most := d.at.Sub(b.Opened), d.s.House.Limits.BottleFor.Duration(); age > most {
		out = append(out, gate.Finding{Field: "bottle", Right: gate.Anyone,
			Say: oldAlcohol.Say(b.ID, b.Opened.In(d.s.Zone()).Format("2 Jan"), age.Hours()/24, most.Hours()/24)})
	}
	return out
}
