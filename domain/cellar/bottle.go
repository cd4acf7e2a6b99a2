package cellar

import (
	"slices"
	"strings"
	"time"
)

// BottleID is what is written on a bottle of alcohol.
type BottleID string

// Bottle is a bottle of alcohol for clarity checks. An open one loses strength,
// and a weak alcohol leaves any tube clear.
type Bottle struct {
	ID       BottleID  `json:"bottle"`
	Name     string    `json:"name,omitempty"`
	Strength float64   `json:"abv"`             // % vol
	Opened   time.Time `json:"opened,omitzero"` // left out it is when the entry was made
}

// SetBottle writes a bottle down when it is opened. A later one of the same name
// puts it right.
type SetBottle struct {
	Head
	Bottle
}

func (c *SetBottle) decide(d *decision) ([]Fact, error) {
	b := c.Bottle
	b.ID = BottleID(strings.TrimSpace(string(b.ID)))
	if b.ID == "" {
		return nil, reject("bottle", "bottle", "type what is written on the bottle, such as A-1")
	}
	if !(b.Strength > 0 && b.Strength <= 100) {
		return nil, reject("range", "abv", "{strength} % vol cannot be right; type the number on the label, up to "+
			"100 (usually 96)", b.Strength)
	}
	b.Opened = Instant(b.Opened)
	if c.Opened.IsZero() {
		b.Opened = d.at
	}
	if b.Opened.After(d.now.Add(maxAhead)) {
		return nil, reject("future", "opened", "{time} is later than now ({now}); type the time it was opened",
			d.says(b.Opened), d.says(d.now))
	}
	return []Fact{&BottleSet{b}}, nil
}

// BottleSet is a bottle of alcohol as it stands from now on.
type BottleSet struct{ Bottle }

func (f *BottleSet) apply(s *State, r Record) {
	f.stand(s)
	s.log(r, theLab, "alcohol {id}, {strength} % vol, opened {time}", f.ID, f.Strength, f.Opened)
}

// stand puts the bottle on the list in the place of what was said of it before.
func (f *BottleSet) stand(s *State) {
	b := f.Bottle
	s.bottles = slices.DeleteFunc(s.bottles, func(x *Bottle) bool { return x.ID == b.ID })
	s.bottles = append(s.bottles, &b)
	slices.SortStableFunc(s.bottles, func(x, y *Bottle) int { return y.Opened.Compare(x.Opened) })
}

// Bottles lists the bottles of alcohol, the last opened first: a check uses that
// one unless it names another.
func (s *State) Bottles() []*Bottle { return slices.Clone(s.bottles) }

func (s *State) bottle(id BottleID) *Bottle {
	for _, b := range s.bottles {
		if b.ID == id {
			return b
		}
	}
	return nil
}

// bottle is the one named, or with none named the last one opened by then.
func (d *decision) bottle(id BottleID) (BottleID, error) {
	if id != "" {
		if d.s.bottle(id) == nil {
			return "", reject("bottle", "bottle", "there is no bottle {id:%q}; save it first (u)", id)
		}
		return id, nil
	}
	for _, b := range d.s.bottles {
		if !b.Opened.After(d.at) {
			return b.ID, nil
		}
	}
	return "", nil
}

var (
	_ = command[SetBottle]("bottle")
	_ = fact[BottleSet]("bottle-set")
)
