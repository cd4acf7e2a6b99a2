package cellar

import "sort"

// A gas reading is never rewritten: a figure made lower afterwards would be a
// permission made up at a desk. It can be taken back, and the air is read again.

func (s *State) gasOf(seq Seq) *GasReading {
	i := sort.Search(len(s.gas), func(i int) bool { return s.gas[i].Seq >= seq })
	if i == len(s.gas) || s.gas[i].Seq != seq {
		return nil
	}
	return &s.gas[i]
}

// gas takes a gas reading back.
func (c *Correct) gas(g *GasReading) ([]Fact, error) {
	if g.TakenBack {
		return nil, reject("taken-back", "of", "that entry is taken back already")
	}
	if !c.TakeBack {
		return nil, reject("gas", "how", "take the gas reading back and read the air again: it is not rewritten")
	}
	return []Fact{&Corrected{Of: c.Of, Place: g.Place, What: lineGas.Say(), Field: "entry", Was: g.Text(),
		TakeBack: true, Reason: c.Reason}}, nil
}

// gasRead is what a gas reading is called where it is corrected.
const gasRead = "gas reading"

func (f *Corrected) applyGas(s *State) {
	if g := s.gasOf(f.Of); g != nil {
		g.TakenBack = true
	}
}

// correctableGas are the gas readings that can be taken back.
func (s *State) correctableGas(seq Seq) (out []Correctable) {
	if g := s.gasOf(seq); g != nil {
		if !g.TakenBack {
			out = append(out, Correctable{Of: g.Seq, At: g.At, By: g.By, Place: g.Place, Field: gasRead,
				Value: g.Text(), Says: s.Words(lineGas.Say()), Written: g.Written})
		}
	}
	return out
}
