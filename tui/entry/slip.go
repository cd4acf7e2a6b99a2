package entry

import (
	"errors"
	"strings"
	"time"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/tui/face"
)

// slip reads the values of a form one after the other. The first value that
// cannot be read is kept with its field; after it, reading goes on with zeros,
// so that figures can be shown on half a form.
type slip struct {
	k   *desk
	g   face.Sight
	v   map[string]string
	err error
}

func (k *desk) slip(values map[string]string) *slip {
	return &slip{k: k, g: k.look(), v: values}
}

func (s *slip) fail(field string, err error) {
	if s.err != nil || err == nil {
		return
	}
	var rej *cellar.Rejection
	if errors.As(err, &rej) {
		s.err = &cellar.Rejection{Code: "read", Field: field, Say: rej.Say}
		return
	}
	s.err = refuse(field, "{wrong}", err)
}

// done gives the command, or the first thing that could not be read.
func (s *slip) done(c cellar.Command) (cellar.Command, error) {
	if s.err != nil {
		return nil, s.err
	}
	return c, nil
}

// text is a value as it was typed.
func (s *slip) text(name string) string { return strings.TrimSpace(s.v[name]) }

// own is a value unless it is the form's own proposal, handed in unchanged.
func (s *slip) own(name string) string {
	if v := s.text(name); v != s.k.offered[name] {
		return v
	}
	return ""
}

// yes reports whether a picker stands on yes.
func (s *slip) yes(name string) bool { return s.v[name] == yes }

// read parses a value that has been typed; an empty one is the zero value.
func read[T any](s *slip, name, text string, parse func(string) (T, error)) (out T) {
	if text == "" {
		return out
	}
	got, err := parse(text)
	if err != nil {
		s.fail(name, err)
		return out
	}
	return got
}

// given is read for values whose absence differs from zero.
func given[T any](s *slip, name, text string, parse func(string) (T, error)) *T {
	if text == "" {
		return nil
	}
	x := read(s, name, text, parse)
	return &x
}

func (s *slip) parseVolume(t string) (quantity.Volume, error) {
	return s.g.Habit().Volume(t)
}

// volume reads a volume in the house's units.
func (s *slip) volume(name string) quantity.Volume {
	return read(s, name, s.own(name), s.parseVolume)
}

// shown reads a volume whether it is typed or proposed: for figures that are
// the command's own, such as how much goes where.
func (s *slip) shown(name string) quantity.Volume {
	return read(s, name, s.text(name), s.parseVolume)
}

// grapes reads a mass of grapes: kg, or pounds in a house that weighs so.
func (s *slip) grapes(name string) quantity.Mass {
	return read(s, name, s.own(name), func(t string) (quantity.Mass, error) {
		if s.g.Units() == quantity.US && strings.IndexFunc(t, letter) < 0 {
			t += " lb"
		}
		return s.g.Habit().Mass(t, quantity.Kilogram)
	})
}

func letter(r rune) bool { return r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' }

// celsius reads a temperature.
func (s *slip) celsius(name string) *quantity.Celsius {
	return given(s, name, s.text(name), s.g.Habit().Celsius)
}

// span reads a length of time.
func (s *slip) span(name string) quantity.Span {
	return read(s, name, s.own(name), s.g.Habit().Span)
}

// ahead reads an instant to come, back one that has been.
func (s *slip) ahead(name string) time.Time { return s.instant(name, true) }
func (s *slip) back(name string) time.Time  { return s.instant(name, false) }

func (s *slip) instant(name string, future bool) time.Time {
	return read(s, name, s.own(name), func(t string) (time.Time, error) {
		return When(t, s.k.then(s.g, s.v, name), s.g.State.Zone(), future)
	})
}

// number reads a number as painted: in capitals.
func (s *slip) tank(name string) cellar.TankNumber {
	return cellar.TankNumber(strings.ToUpper(s.text(name)))
}

// who reads initials that stand on the house's list.
func (s *slip) who(name string) cellar.Initials {
	return read(s, name, s.text(name), func(t string) (cellar.Initials, error) { return s.k.person(t) })
}

func (k *desk) person(text string) (cellar.Initials, error) {
	st := k.look().State
	who := cellar.Initials(strings.ToUpper(text))
	if _, ok := st.House.Person(who); !ok && len(st.House.People) > 0 {
		return "", refuse("", "{person} is not on the list of people: type one of {people}", who, initials(st))
	}
	return who, nil
}

// number reads a plain figure of at most so much.
func (s *slip) number(name string, most float64) *float64 {
	return given(s, name, s.text(name), func(t string) (float64, error) { return s.g.Habit().Number(t, 0, most) })
}

// meter reads a figure off a meter through the parser of its type.
func meter[T ~float64 | ~int](s *slip, name string, parse func(string, quantity.Habit) (T, error)) *float64 {
	if s.text(name) == "" {
		return nil
	}
	x, err := parse(s.text(name), s.g.Habit())
	s.fail(name, err)
	f := float64(x)
	return &f
}

func brix(t string, h quantity.Habit) (x quantity.Brix, err error) {
	err = x.ReadTyped(t, h)
	return x, err
}
func ntu(t string, h quantity.Habit) (x quantity.NTU, err error) {
	err = x.ReadTyped(t, h)
	return x, err
}
func acid(t string, h quantity.Habit) (x quantity.PH, err error) {
	err = x.ReadTyped(t, h)
	return x, err
}
func share(t string, h quantity.Habit) (x quantity.Percent, err error) {
	err = x.ReadTyped(t, h)
	return x, err
}

// head is what every command carries: who, when it was, and whether it has
// happened already.
func (s *slip) head() cellar.Head {
	h := cellar.Head{By: s.g.Who, Happened: s.v["plan"] == happened}
	if s.text("at") != "" {
		h.At = s.back("at")
	}
	return h
}

func orZero[T any](p *T) (x T) {
	if p != nil {
		x = *p
	}
	return x
}
