package cellar

import (
	"slices"
	"sort"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/text"
)

// The readings of a house that sets none. Local rules come first. There is no
// reading below which the board says that anything may be done.
//
//   - 5 000 ppm CO2 is the limit for eight hours of Directive 2006/15/EC, of HSE EH40/2005
//     and of OSHA (29 CFR 1910.1000, table Z-1).
//   - 15 000 ppm CO2 is the limit for fifteen minutes of HSE EH40/2005; that of NIOSH is
//     30 000.
//   - below 19.5 % O2 the air lacks oxygen by 29 CFR 1910.146(b).
//   - 20.5 % O2 is common practice, no source: fresh air has 20.9, and a meter that
//     shows less stands in something else.
const (
	co2Leave     = 5000
	co2Emergency = 15000
	o2Emergency  = 19.5
	o2Leave      = 20.5
)

// What a meter in a cellar can show at all.
const (
	gasMostCO2  = 1e6 // ppm: nothing else in it
	gasLeastCO2 = 200 // ppm, but for a meter that shows zero; outside there are about 420 (from memory)
	gasMostO2   = 25  // %
)

// GasLeave is said after a reading at which one leaves.
const GasLeave = "Local rules first: leave, ventilate, call. CO2 settles low."

// GasReading is what somebody read off a gas meter. It is a note and never a
// permission.
type GasReading struct {
	Place string   `json:"place"`
	CO2   *float64 `json:"co2,omitempty"` // ppm, nil = not read
	O2    *float64 `json:"o2,omitempty"`  // %, nil = not read; 0 is the worst there is
	Meter string   `json:"meter"`         // which meter
	Note  string   `json:"note,omitempty"`

	Seq       Seq       `json:"-"`
	At        time.Time `json:"-"`
	By        Initials  `json:"-"`
	Written   time.Time `json:"-"`
	TakenBack bool      `json:"-"`
}

// Text is the reading with its meter: "CO2 2 900 ppm, O2 20.8 %, meter G2".
func (g GasReading) Text() string { return g.Air() + ", meter " + firstWords(g.Meter, "not said") }

// Air is what was read: "CO2 2 900 ppm, O2 20.8 %".
func (g GasReading) Air() string {
	var out []string
	if g.CO2 != nil {
		out = append(out, "CO2 "+ppm(*g.CO2)+" ppm")
	}
	if g.O2 != nil {
		out = append(out, "O2 "+o2Text(*g.O2)+" %")
	}
	return strings.Join(out, ", ")
}

// Same reports whether two readings are of the same air.
func (g GasReading) Same(x GasReading) bool { return g.Air() == x.Air() }

// o2Text writes a tenth, or every digit of the meter: 19.46 must not read as 19.5,
// which is a limit.
func o2Text(x float64) string {
	s := strconv.FormatFloat(x, 'f', -1, 64)
	if !strings.Contains(s, ".") {
		s += ".0"
	}
	return s
}

// Where is the place of the reading in words.
func (g GasReading) Where() string { return firstWords(g.Place, noPlace) }

// noPlace stands for a place that nobody has said.
const noPlace = "place not said"

// Leave reports whether a reading is one at which everybody leaves, by the house's
// limits. That it is not says nothing.
func (s *State) Leave(g GasReading) bool {
	l := s.House.Limits
	return g.CO2 != nil && *g.CO2 >= l.CO2Leave || g.O2 != nil && *g.O2 < l.O2Leave || s.deadly(g)
}

// deadly reports whether a reading is an emergency.
func (s *State) deadly(g GasReading) bool { return s.deadlyCO2(g) || s.deadlyO2(g) }

func (s *State) deadlyCO2(g GasReading) bool {
	return g.CO2 != nil && *g.CO2 >= s.House.Limits.CO2Emergency
}

func (s *State) deadlyO2(g GasReading) bool {
	return g.O2 != nil && *g.O2 < s.House.Limits.O2Emergency
}

// checkGas refuses limits for gas that would be none. 40 000 ppm CO2 is at once
// dangerous to life (NIOSH); below 17 % O2 a person no longer judges well (from memory).
func (l Limits) checkGas() error {
	for _, x := range []struct {
		name          string
		at, low, high float64
	}{
		{"co2_leave", l.CO2Leave, 1000, l.CO2Emergency}, {"co2_emergency", l.CO2Emergency, 1000, 40000},
		{"o2_emergency", l.O2Emergency, 17, l.O2Leave}, {"o2_leave", l.O2Leave, 17, 20.9},
	} {
		if !(x.at >= x.low && x.at <= x.high) {
			return reject("limit", "limits", "{name} must be between {low} and {high}, not {at}", x.name, x.low, x.high,
				x.at)
		}
	}
	return nil
}

// ppm writes a whole number without gaps: 2 900 across a hall reads as 900.
func ppm(x float64) string { return strconv.FormatFloat(x, 'f', 0, 64) }

// gas refuses a reading that is none. One at which everybody leaves is taken
// whatever is missing beside its figures: that is asked about afterwards.
func (d *decision) gas(g GasReading) error {
	leave := d.s.Leave(g)
	switch {
	case g.CO2 == nil && g.O2 == nil:
		return reject("gas", "co2", "type what the meter showed: CO2 in ppm, O2 in %, or both")
	case g.CO2 != nil && *g.CO2 > 0 && *g.CO2 < gasLeastCO2:
		return reject("gas", "co2", "{co2} ppm is less than in fresh air; if the meter showed %, type {ppm} (1 % is "+
			"10000 ppm)", *g.CO2, ppm(*g.CO2*1e4))
	case outside(g.CO2, gasMostCO2):
		return reject("gas", "co2", "CO2 is read in ppm, up to 1000000 (1 % is 10000 ppm)")
	case outside(g.O2, gasMostO2):
		return reject("gas", "o2", "O2 is read in %, up to 25")
	case !leave && strings.TrimSpace(g.Place) == "":
		return reject("place", "place", "say where the meter was held")
	case !leave && strings.TrimSpace(g.Meter) == "":
		return reject("meter", "meter", "type which meter: a reading without its meter proves nothing")
	}
	return noteLength(g.Note)
}

// outside tells a figure that no meter shows.
func outside(x *float64, most float64) bool { return x != nil && !(*x >= 0 && *x <= most) }

func noteLength(text string) error { return lengthAt("note", text) }

func lengthAt(field, text string) error {
	if n := utf8.RuneCountInString(text); n > maxNote {
		return reject("text", field, "a note has at most {max_note} characters; this one has {count}", maxNote, n)
	}
	return nil
}

// ReadGas writes down what a gas meter showed.
type ReadGas struct {
	Head
	GasReading
}

func (c *ReadGas) decide(d *decision) ([]Fact, error) {
	g := c.GasReading
	if err := d.gas(g); err != nil {
		return nil, err
	}
	g.Place, _ = d.s.gasPlace(g.Place)
	return []Fact{&GasRead{g}}, nil
}

// GasRead is a reading of a gas meter, written down.
type GasRead struct{ GasReading }

func (f *GasRead) apply(s *State, r Record) {
	g := f.GasReading
	g.Seq, g.At, g.By, g.Written = r.Seq, r.At, r.By, r.Written
	s.gas = append(s.gas, g)
	text := "gas read: " + g.Text() + "."
	if s.Leave(g) {
		text += " " + GasLeave
	}
	if g.Note != "" {
		text += " " + g.Note
	}
	s.log(r, s.where(g.Where()), "{what}", text)
	if s.deadly(g) {
		s.raise(&emergency{kind: EmergencyGas, gas: g.Seq, at: r.At, rings: laterOf(r.At, r.Written), by: r.By})
	}
}

// LastGas is the latest reading of any place; ok is false when none was written.
func (s *State) LastGas() (last GasReading, ok bool) {
	for _, g := range s.gas {
		if !g.TakenBack && (!ok || !g.At.Before(last.At)) {
			last, ok = g, true
		}
	}
	return last, ok
}

// GasLeaves are the places whose latest reading since from says to leave, the
// worst air first: a later reading elsewhere changes nothing there.
func (s *State) GasLeaves(from time.Time) (out []GasReading) {
	for _, g := range s.GasPlaces(from) {
		if s.Leave(g) {
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
		if !g.TakenBack && strings.EqualFold(g.Place, place) && (!ok || !g.At.Before(last.At)) {
			last, ok = g, true
		}
	}
	return last, ok
}

// GasReadings lists all of them, as they were written.
func (s *State) GasReadings() []GasReading { return slices.Clone(s.gas) }

// GasPlaces are the latest readings of each place since from, oldest first.
func (s *State) GasPlaces(from time.Time) (out []GasReading) {
	for _, g := range s.gas {
		if last, _ := s.LastGasAt(g.Place); last == g && !g.At.Before(from) {
			out = append(out, g)
		}
	}
	return out
}

// GasWorst is the worst reading of a place since an instant: the most CO2, or of as much
// the least oxygen.
func (s *State) GasWorst(place string, from time.Time) (worst GasReading, ok bool) {
	for _, g := range s.gas {
		if !g.TakenBack && strings.EqualFold(g.Place, place) && !g.At.Before(from) && (!ok || s.worse(g, worst)) {
			worst, ok = g, true
		}
	}
	return worst, ok
}

// worse reports whether one reading is worse than another: over a limit before one that
// is not, then by CO2, then by oxygen.
func (s *State) worse(a, b GasReading) bool {
	if x, y := s.Leave(a), s.Leave(b); x != y {
		return x
	}
	if a.CO2 != nil && b.CO2 != nil && *a.CO2 != *b.CO2 {
		return *a.CO2 > *b.CO2
	}
	return a.O2 != nil && (b.O2 == nil || *a.O2 < *b.O2)
}

// GasStandsFor is how long a reading stands for a person entry (common
// practice, no source): air moves, must works on.
const GasStandsFor = 30 * time.Minute

var (
	noGasReading = text.New("no-gas-reading", "no gas reading")
	gasSaysLeave = text.New("gas-says-leave", "the gas reading of {time} says leave ({gas})")
	gasIsOld     = text.New("gas-is-old", "the gas reading is {age} old, read again")
)

// gasLack says what is wrong with the reading of a place as a ground for
// writing an entry at an instant, "" when one stands.
func (s *State) gasLack(place string, at time.Time) text.Say {
	g, ok := s.LastGasAt(place)
	switch age := at.Sub(g.At); {
	case !ok:
		return noGasReading.Say()
	case s.Leave(g):
		return gasSaysLeave.Say(g.At, g.Text())
	case age > GasStandsFor:
		return gasIsOld.Say(quantity.Span(age.Truncate(time.Minute)))
	}
	return text.Say{}
}

var (
	_ = command[ReadGas]("gas")
	_ = fact[GasRead]("gas-read")
)
