package cellar

import (
	"fmt"
	"sort"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"cellar.example/mustwatch/domain/quantity"
)

// The readings from which a line says to leave: 5 000 ppm CO2 is the commonly
// published limit for eight hours; 20.5 % O2 is common practice, no source. The
// house's own rules come first. There is no reading below which the board says
// that anything may be done.
const (
	gasLeaveCO2 = 5000 // ppm
	gasLeaveO2  = 20.5 // %
)

// What a meter in a cellar can show at all.
const (
	gasMostCO2 = 200000 // ppm
	gasMostO2  = 25     // %
)

// gasLeave is said after a reading at which one leaves.
const gasLeave = "Local rules first: leave, air it, call. CO2 settles low."

// GasReading is what somebody read off a gas meter. It is a note and never a
// permission.
type GasReading struct {
	Place string   `json:"place"`
	CO2   *float64 `json:"co2,omitempty"` // ppm, nil = not read
	O2    *float64 `json:"o2,omitempty"`  // %, nil = not read; 0 is the worst there is
	Meter string   `json:"meter"`         // which meter
	Note  string   `json:"note,omitempty"`

	Seq     Seq       `json:"-"`
	At      time.Time `json:"-"`
	By      Initials  `json:"-"`
	Written time.Time `json:"-"`
	Struck  bool      `json:"-"`
}

// Text is the reading with its meter: "CO2 2 900 ppm, O2 20.8 %, meter G2".
func (g GasReading) Text() string {
	var out []string
	if g.CO2 != nil {
		out = append(out, "CO2 "+thousands(*g.CO2)+" ppm")
	}
	if g.O2 != nil {
		out = append(out, fmt.Sprintf("O2 %.1f %%", *g.O2))
	}
	return strings.Join(append(out, "meter "+g.Meter), ", ")
}

// Leave tells whether the reading is one at which everybody leaves. That it is
// not says nothing.
func (g GasReading) Leave() bool {
	return g.CO2 != nil && *g.CO2 >= gasLeaveCO2 || g.O2 != nil && *g.O2 < gasLeaveO2
}

// thousands writes a whole number in groups of three: 12 500.
func thousands(x float64) string {
	s := strconv.FormatFloat(x, 'f', 0, 64)
	for i := len(s) - 3; i > 0; i -= 3 {
		s = s[:i] + " " + s[i:]
	}
	return s
}

func (d *decision) gas(g GasReading) error {
	switch {
	case strings.TrimSpace(g.Place) == "":
		return reject("place", "place", "say where the meter was held")
	case g.CO2 == nil && g.O2 == nil:
		return reject("gas", "co2", "type what the meter showed: CO2 in ppm, O2 in %%, or both")
	case outside(g.CO2, gasMostCO2):
		return reject("gas", "co2", "CO2 is read in ppm, up to 200 000 (1 %% is 10 000 ppm)")
	case outside(g.O2, gasMostO2):
		return reject("gas", "o2", "O2 is read in %%, up to 25")
	case strings.TrimSpace(g.Meter) == "":
		return reject("meter", "meter", "which meter? A reading without its meter proves nothing")
	}
	return noteLength(g.Note)
}

// outside tells a figure that no meter shows.
func outside(x *float64, most float64) bool { return x != nil && !(*x >= 0 && *x <= most) }

func noteLength(text string) error {
	if n := utf8.RuneCountInString(text); n > maxNote {
		return reject("text", "note", "a note has at most %d characters; this one has %d", maxNote, n)
	}
	return nil
}

// ReadGas writes down what a gas meter showed.
type ReadGas struct {
	Head
	GasReading
}

// Do implements Command.
func (*ReadGas) Do() string { return "gas" }

func (c *ReadGas) decide(d *decision) ([]Fact, error) {
	if err := d.gas(c.GasReading); err != nil {
		return nil, err
	}
	return []Fact{&GasRead{c.GasReading}}, nil
}

// GasRead is a reading of a gas meter, written down.
type GasRead struct{ GasReading }

// Kind implements Fact.
func (*GasRead) Kind() string { return "gas-read" }

func (f *GasRead) apply(s *State, r Record) {
	g := f.GasReading
	g.Seq, g.At, g.By, g.Written = r.Seq, r.At, r.By, r.Written
	s.gas = append(s.gas, g)
	text := "gas read: " + g.Text() + "."
	if g.Leave() {
		text += " " + gasLeave
	}
	if g.Note != "" {
		text += " " + g.Note
	}
	s.log(r, g.Place, text)
}

// LastGas is the latest reading of any place; ok is false when none was written.
func (s *State) LastGas() (last GasReading, ok bool) {
	for _, g := range s.gas {
		if !g.Struck && (!ok || !g.At.Before(last.At)) {
			last, ok = g, true
		}
	}
	return last, ok
}

// GasLeaves are the places whose latest reading since from says to leave, the
// worst air first: a later reading elsewhere changes nothing there.
func (s *State) GasLeaves(from time.Time) (out []GasReading) {
	for _, g := range s.gasPlaces(from) {
		if g.Leave() {
			out = append(out, g)
		}
	}
	co2 := func(g GasReading) float64 {
		if g.CO2 == nil {
			return 0
		}
		return *g.CO2
	}
	sort.SliceStable(out, func(i, j int) bool { return co2(out[i]) > co2(out[j]) })
	return out
}

// LastGasAt is the latest reading of one place.
func (s *State) LastGasAt(place string) (last GasReading, ok bool) {
	for _, g := range s.gas {
		if !g.Struck && strings.EqualFold(g.Place, place) && (!ok || !g.At.Before(last.At)) {
			last, ok = g, true
		}
	}
	return last, ok
}

// gasPlaces are the latest readings of each place since from, oldest first.
func (s *State) gasPlaces(from time.Time) (out []GasReading) {
	for _, g := range s.gas {
		if last, _ := s.LastGasAt(g.Place); last == g && !g.At.Before(from) {
			out = append(out, g)
		}
	}
	return out
}

// gasStandsFor is how long a reading stands for a person entry (common
// practice, no source): air moves, must works on.
const gasStandsFor = 30 * time.Minute

// gasLack says what is wrong with the reading of a place as a ground for
// writing an entry at an instant, "" when one stands.
func (s *State) gasLack(place string, at time.Time) string {
	g, ok := s.LastGasAt(place)
	switch age := at.Sub(g.At); {
	case !ok:
		return "no gas reading"
	case g.Leave():
		return fmt.Sprintf("the gas reading of %s says leave (%s)", s.Clock(g.At), g.Text())
	case age > gasStandsFor:
		return fmt.Sprintf("the gas reading is %s old, read again", quantity.Span(age.Truncate(time.Minute)))
	}
	return ""
}

var (
	_ = command(func() Command { return &ReadGas{} })
	_ = register(func() Fact { return &GasRead{} })
)
