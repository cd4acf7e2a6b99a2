package clarity

import (
	"encoding/json"
	"time"

	"cellar.example/mustwatch/domain/quantity"
)

// Recipe is one way to do the alcohol test. Published recipes differ, so it is
// data. A reading counts from ReadAt to VoidAfter (both included) after the
// alcohol went in; later, protein falls out and looks like pectin.
type Recipe struct {
	ID        string        `json:"id" toml:"id"`
	Name      string        `json:"-" toml:"-"` // what people call it; the words follow from the ID
	Sample    string        `json:"-" toml:"-"`
	Alcohol   string        `json:"-" toml:"-"`
	Source    string        `json:"-" toml:"-"`
	ReadAt    quantity.Span `json:"read_at" toml:"read_at"`
	VoidAfter quantity.Span `json:"void_after" toml:"void_after"`
	// Strength is the least strength of the alcohol, % vol; 0 when nobody has said.
	Strength float64 `json:"strength,omitempty" toml:"strength"`
}

// Recipes returns the three that come with the board, "5+5" first, which is what
// a new house starts with. The void times of "5+5" and "1:1.5" are house values.
func Recipes() []Recipe {
	return []Recipe{
		{
			ID: "5+5", Name: "5 + 5 mL, read at 2 min",
			Sample: "5 mL clear juice", Alcohol: "5 mL ethanol 96 %",
			Source: "common practice, no source",
			ReadAt: minutes(2), VoidAfter: minutes(5), Strength: 96,
		},
		{
			ID: "1:2", Name: "1 : 2, read at 5 min",
			Sample: "2.5 mL juice, as clear as possible", Alcohol: "5 mL acidified ethanol 96 %",
			Source: "Institute for Grape and Wine Sciences, Pectin test protocol, 5 April 2016",
			ReadAt: minutes(5), VoidAfter: minutes(10), Strength: 96,
		},
		{
			ID: "1:1.5", Name: "1 : 1.5, read at 15 min",
			Sample: "1 part juice", Alcohol: "1.5 parts ethanol 96 % with 1 % strong hydrochloric acid",
			Source: "university teaching practical on juice enzymes",
			ReadAt: minutes(15), VoidAfter: minutes(20), Strength: 96,
		},
	}
}

// UnmarshalJSON reads what a fact keeps of a recipe, and gives it its words again.
func (r *Recipe) UnmarshalJSON(b []byte) error {
	type kept Recipe
	if err := json.Unmarshal(b, (*kept)(r)); err != nil {
		return err
	}
	for _, x := range Recipes() {
		if x.ID == r.ID {
			r.Name, r.Sample, r.Alcohol, r.Source = x.Name, x.Sample, x.Alcohol, x.Source
		}
	}
	return nil
}

func minutes(n int) quantity.Span { return quantity.Span(time.Duration(n) * time.Minute) }
