package calc

import (
	"errors"
	"math"
	"strconv"
	"strings"
	"time"

	"cellar.example/mustwatch/domain/contact"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/tank"
)

// asked is one calculation at work: the units it reads and prints, and what was
// wrong with what was typed. After the first fault nothing more is read.
type asked struct {
	habit quantity.Habit
	sys   quantity.System // its units
	fault error
}

// read takes one typed value, unless one before it was at fault already.
func (r *asked) read(field string, f func() error) {
	if r.fault != nil {
		return
	}
	if err := f(); err != nil {
		r.fault = slip(field, "", err)
	}
}

// readOne takes one of several values of a field.
func (r *asked) readOne(field, typed string, f func() error) {
	if r.fault != nil {
		return
	}
	if err := f(); err != nil {
		r.fault = slip(field, typed, err)
	}
}

func (r *asked) volume(field, s string) (v quantity.Volume) {
	r.read(field, func() (err error) { v, err = r.habit.Volume(s); return err })
	return v
}

func (r *asked) grapes(field, s string) (m quantity.Mass) {
	r.read(field, func() (err error) { m, err = r.habit.Mass(s, quantity.Kilogram); return err })
	return m
}

func (r *asked) celsius(field, s string) (c quantity.Celsius) {
	r.read(field, func() (err error) { c, err = r.habit.Celsius(s); return err })
	return c
}

func (r *asked) rate(field, s string) (q quantity.Rate) {
	r.read(field, func() (err error) { q, err = r.habit.Rate(s, ""); return err })
	return q
}

// wait reads how long a card asks for, which says its unit.
func (r *asked) wait(field, s string) (q contact.Wait) {
	r.readOne(field, s, func() (err error) { q, err = contact.ParseWait(s, r.habit); return err })
	return q
}

// amount reads a mass or a volume of product, by its unit.
func (r *asked) amount(field, s string) (a quantity.Amount) {
	r.read(field, func() (err error) {
		m, err := r.habit.Mass(s, quantity.Gram)
		var ask *quantity.AskError
		if err == nil || errors.As(err, &ask) {
			a.Mass = m
			return err
		}
		if a.Volume, err = r.habit.Volume(s); err != nil && !errors.As(err, &ask) {
			return errors.New("Type an amount such as 156 g, 2.5 kg, 392 mL or 3.84 L.")
		}
		return err
	})
	return a
}

// plain reads a number of at most so much whose unit is one of those given, or none.
func (r *asked) plain(field, s string, most float64, units ...string) (x float64) {
	r.read(field, func() (err error) {
		text := strings.TrimSpace(s)
		for _, u := range units {
			if n := len(text) - len(u); n >= 0 && strings.EqualFold(text[n:], u) {
				text = text[:n]
				break
			}
		}
		x, err = r.habit.Number(text, 0, most)
		return err
	})
	return x
}

// brix reads a sugar in °Brix.
func (r *asked) brix(field, s string) (b quantity.Brix) {
	r.read(field, func() error { return b.ReadTyped(s, r.habit) })
	return b
}

// plainly writes a number with at most so many decimals.
func plainly(x float64, decimals int) string {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return "?"
	}
	scale := math.Pow10(decimals)
	return strconv.FormatFloat(math.Round(x*scale)/scale+0, 'f', -1, 64)
}

// digits writes a number with exactly so many decimals.
func digits(x float64, decimals int) string {
	s := strconv.FormatFloat(x, 'f', decimals, 64)
	if strings.Trim(s, "-0.") == "" {
		return strings.TrimPrefix(s, "-")
	}
	return s
}

// The figures of quantities: the number in one unit for machines, the text as the
// house writes it.
func (r *asked) ofVolume(name string, v quantity.Volume) Figure {
	return Figure{name, v.HL(), "hL", v.Text(r.sys)}
}

func (r *asked) ofAmount(name string, a quantity.Amount) Figure {
	if a.Liquid() {
		return Figure{name, a.Volume.Litres(), "L", a.Text(r.sys)}
	}
	f := Figure{name, a.Mass.Grams(), "g", a.Text(r.sys)}
	if r.sys == quantity.US {
		f.Text = a.Mass.Ounces() + " (" + a.Mass.Text(quantity.Metric) + ")"
	}
	return f
}

func (r *asked) ofRate(name string, q quantity.Rate) Figure {
	text := q.String()
	if shown := q.Text(r.sys); !strings.HasSuffix(shown, " "+string(q.Unit)) {
		text += " = " + shown
	}
	return Figure{name, q.Value, string(q.Unit), text}
}

func (r *asked) ofCelsius(name string, c quantity.Celsius) Figure {
	return Figure{name, float64(c), "°C", c.Text(r.sys)}
}

// ofLength is a length as the house measures.
func (r *asked) ofLength(name string, l tank.Length) Figure {
	f := Figure{name, float64(l), "m", l.String()}
	if r.sys == quantity.US {
		f.Text = plainly(float64(l/tank.Inch), 2) + " in (" + l.String() + ")"
	}
	return f
}

func ofShare(name string, p float64) Figure {
	return Figure{name, p, "%", plainly(p, 2) + " %"}
}

func ofHours(name string, s quantity.Span) Figure {
	return Figure{name, s.Duration().Hours(), "h", quantity.Span(s.Duration().Round(time.Minute)).String()}
}
