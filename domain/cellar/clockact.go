package cellar

import (
	"slices"
	"strings"

	"cellar.example/mustwatch/domain/stage"
	"cellar.example/mustwatch/domain/subject"
)

// A clock that the board makes is answered by the command that does what it asks
// for. One that a person set asks in words: the act that the words name answers it
// as well, or it rings for what has been done.

// acts are the clocks set by hand that what is being written does.
func (d *decision) acts(facts []Fact) (out []Fact) {
	done := map[ClockID]bool{}
	for _, f := range facts {
		if x, ok := f.(*ClockAnswered); ok {
			done[x.Clock] = true
		}
	}
	dosed := slices.ContainsFunc(facts, func(f Fact) bool { _, ok := f.(*Dosed); return ok })
	for _, k := range d.s.Clocks() {
		if k.Kind != KindOther || done[k.ID] || k.Start.After(d.at) {
			continue
		}
		for _, f := range facts {
			if _, read := f.(*WasRead); read && (dosed || k.Due.Sub(d.at) > readAhead) {
				continue // read for the dose, or on an earlier round: the look is still to come
			}
			if k.askedFor(d.s, f) {
				out = append(out, &ClockAnswered{Clock: k.ID, How: endDoneBy.Say(d.head.By)})
				break
			}
		}
	}
	return out
}

// askedFor reports whether a fact is what the words of a clock ask for.
func (k *AlarmClock) askedFor(s *State, f Fact) bool {
	words := strings.FieldsFunc(strings.ToLower(k.Verb), func(r rune) bool { return strings.ContainsRune(" ,;:.", r) })
	if len(words) == 0 {
		return false
	}
	is := func(of subject.Ref, verbs ...string) bool {
		return k.Subject == of && slices.Contains(verbs, words[0])
	}
	switch f := f.(type) {
	case *Dosed:
		return k.Subject == vesselRef(f.Vessel) && namesDose(words, &f.Dose)
	case *CheckBegun:
		return is(vesselRef(f.Vessel), "test", "check")
	case *WasRead:
		return is(vesselRef(f.Vessel), "look", "read", "measure") || is(vesselRef(f.Vessel), "dip") && f.Volume != nil
	case *Staged:
		return is(vesselRef(f.Number), stageVerbs[f.Stage]...)
	case *Moved:
		return k.Subject == vesselRef(f.From) && f.asked(s, words[0])
	case *JuiceClosed:
		return is(vesselRef(f.Vessel), "close")
	case *PressBegun:
		return is(pressRef(f.Press), "start", "press")
	case *PressFreed:
		return is(pressRef(f.Press), "empty", "rinse", "clean", "free")
	case *LoadWeighed:
		return is(loadRef(f.ID), "load due", "receive", "weigh")
	case *Tipping:
		return is(loadRef(f.Load), "tip") || is(s.at(f.To), "fill")
	}
	return false
}

// stageVerbs are the words that ask for a stage.
var stageVerbs = map[stage.Stage][]string{
	stage.Settling: {"settle"}, stage.Flotation: {"float"}, stage.Racked: {"rack"}, stage.Fermenting: {"inoculate",
		"pitch", "sow"}, stage.CooledBack: {"cool"},
	stage.DrawingOff: {"drain", "draw"}, stage.Cleaning: {"clean", "rinse"}, stage.Clean: {"clean", "rinse", "inspect"},
}

// asked reports whether a move is what a word asks for. What is racked, drained or
// emptied leaves nothing behind; what is moved or pressed may.
func (f *Moved) asked(s *State, verb string) bool {
	switch verb {
	case "rack", "drain", "empty":
		return !f.Part
	case "press":
		return slices.ContainsFunc(f.To, func(p Portion) bool { return s.presses[p.Vessel] != nil })
	case "move", "pump":
		return true
	}
	return false
}

// pourVerbs begin what asks for a dose; pourWords name what is poured.
var (
	pourVerbs = []string{"pour", "dose", "add", "give", "inoculate", "pitch", "sow"}
	pourWords = map[string]func(Class) bool{
		"yeast": Class.yeast, "inoculate": Class.yeast, "pitch": Class.yeast, "sow": Class.yeast,
		"enzyme": Class.enzyme,
		"so2":    Class.sulphur, "sulphur": Class.sulphur, "sulfur": Class.sulphur,
	}
)

func (k Class) yeast() bool   { return k == YeastClass }
func (k Class) sulphur() bool { return k == SO2 }

// namesDose reports whether words ask for a dose: by its lot, by what it is, or for
// any when they name nothing.
func namesDose(words []string, x *Dose) bool {
	if _, poured := pourWords[words[0]]; !poured && !slices.Contains(pourVerbs, words[0]) {
		return false
	}
	for _, w := range words {
		is, known := pourWords[w]
		if known && is(x.Class) || w == strings.ToLower(string(x.Product)) ||
			slices.Contains(strings.Split(string(x.Class), "/"), w) {
			return true
		}
	}
	return len(words) == 1 && slices.Contains(pourVerbs[:3], words[0])
}
