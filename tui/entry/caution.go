package entry

import (
	"slices"
	"strings"

	"cellar.example/mustwatch/domain/calc"
	"cellar.example/mustwatch/domain/caution"
	"cellar.example/mustwatch/domain/cellar"
)

// warns says which cautions a form shows, by what has been picked.
func (k *desk) warns(of func(values map[string]string) []caution.Code) {
	k.form.Cautions = func(values map[string]string) []string { return caution.Texts(of(values)...) }
}

// opened are the cautions of whoever opens the vessel or the press of the form, by
// what is in it now.
func (k *desk) opened() []caution.Code {
	if v, ok := k.vessel(); ok {
		return k.look().State.CautionsOf(v)
	}
	if p, ok := k.press(); ok {
		return p.Opened()
	}
	return nil
}

// openedAt is the same for the vessels and presses that are named in fields.
func (k *desk) openedAt(values map[string]string, fields ...string) (out []caution.Code) {
	s := k.look().State
	for _, f := range fields {
		number := cellar.TankNumber(strings.ToUpper(values[f]))
		if v, ok := s.Vessel(number); ok {
			out = append(out, s.CautionsOf(v)...)
		}
		if p, ok := s.Press(number); ok {
			out = append(out, p.Opened()...)
		}
	}
	return out
}

// sampleCautions are those of a clarity check: of the must it is drawn from, and of
// the alcohol, which a paper drop test does without.
func (k *desk) sampleCautions(values map[string]string) []caution.Code {
	if values["recipe"] == paperTest {
		return k.opened()
	}
	return append(k.opened(), caution.Flammable)
}

// sumCautions are those of a calculation: of its answer, else of whatever it is asked,
// and, where something is done with what is in the vessel, of that.
func (k *desk) sumCautions(values map[string]string) []string {
	s, ok := sumOf(values)
	if !ok {
		return nil
	}
	var out []string
	for _, kind := range calc.Kinds() {
		if kind.Name == s.kind {
			out = kind.Cautions
		}
	}
	if a, err := calc.Work(s.kind, k.typed(s, values), k.look().Habit()); err == nil {
		out = a.Cautions
	}
	for _, text := range caution.Texts(k.opened()...) {
		if (len(out) > 0 || s.kind == "heat") && !slices.Contains(out, text) {
			out = append(out, text)
		}
	}
	if v, ok := k.vessel(); ok && k.look().State.Ferments(v) && slices.Contains(out, caution.Powder.Text()) {
		out = append(out, caution.Eruption.Text())
	}
	return out
}
