package text

import (
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"
)

// kept is how a fact keeps what was said.
type kept struct {
	Code string                     `json:"code,omitempty"`
	With map[string]json.RawMessage `json:"with,omitempty"`
}

// MarshalJSON writes {"code":"overfull","with":{"tank":{"number":"102"},"volume":{"volume":"9 hL"}}}; words that
// somebody typed are a string, nothing is null. A template has no code and cannot be kept.
func (s Say) MarshalJSON() ([]byte, error) {
	switch {
	case s.IsZero():
		return []byte("null"), nil
	case s.Code != "":
		k := kept{Code: s.Code}
		for _, v := range s.With {
			b, err := v.marshal()
			if err != nil {
				return nil, err
			}
			if k.With == nil {
				k.With = map[string]json.RawMessage{}
			}
			k.With[v.Name] = b
		}
		return json.Marshal(k)
	case s.template == "{words}" && len(s.With) == 1 && s.With[0].Kind == "":
		return json.Marshal(s.With[0].Raw)
	case s.template == "{all}" && len(s.With) == 1:
		return s.With[0].marshal()
	}
	return nil, fmt.Errorf("text: a fact cannot keep %q: declare it with New", s.template)
}

func (x Value) marshal() ([]byte, error) {
	switch x.Kind {
	case "":
		return json.Marshal(x.Raw)
	case said:
		return json.Marshal(x.Says[0])
	case several:
		return json.Marshal(map[string]any{several: x.Says, "between": x.Raw})
	}
	return json.Marshal(map[string]string{x.Kind: x.Raw})
}

// UnmarshalJSON reads what MarshalJSON wrote.
func (s *Say) UnmarshalJSON(b []byte) error {
	*s = Say{}
	var words string
	if json.Unmarshal(b, &words) == nil {
		*s = Words(words)
		return nil
	}
	var all struct {
		Several []Say  `json:"several"`
		Between string `json:"between"`
	}
	if json.Unmarshal(b, &all) == nil && len(all.Several) > 0 {
		*s = Say{template: "{all}", With: []Value{{Name: "all", Kind: several, Raw: all.Between, Says: all.Several}}}
		return nil
	}
	var k kept
	if err := json.Unmarshal(b, &k); err != nil {
		return fmt.Errorf("what is said: %w", err)
	}
	s.Code = k.Code
	for name, raw := range k.With {
		v, err := valueFrom(raw)
		if err != nil {
			return fmt.Errorf("what is said, %s: %w", name, err)
		}
		v.Name = name
		s.With = append(s.With, v)
	}
	order := []string(nil)
	if t := declared[s.Code]; t != nil {
		order = t.names
	}
	slices.SortFunc(s.With, func(a, b Value) int {
		if x, y := slices.Index(order, a.Name), slices.Index(order, b.Name); x != y {
			return x - y
		}
		return strings.Compare(a.Name, b.Name)
	})
	return nil
}

func valueFrom(raw json.RawMessage) (Value, error) {
	var words string
	if json.Unmarshal(raw, &words) == nil {
		return Value{Raw: words}, nil
	}
	var of map[string]json.RawMessage
	if err := json.Unmarshal(raw, &of); err != nil {
		return Value{}, err
	}
	if of["code"] != nil || of[several] != nil {
		var s Say
		if err := json.Unmarshal(raw, &s); err != nil {
			return Value{}, err
		}
		if of[several] != nil {
			return s.With[0], nil
		}
		return Value{Kind: said, Says: []Say{s}}, nil
	}
	for kind, raw := range of {
		v := Value{Kind: kind}
		return v, json.Unmarshal(raw, &v.Raw)
	}
	return Value{}, errors.New("a value of no kind")
}
