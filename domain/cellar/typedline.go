package cellar

import (
	"encoding/json"
	"fmt"
	"reflect"
	"strings"

	"cellar.example/mustwatch/domain/quantity"
)

// A line is typed by somebody, a record was written by the program: in a line a
// quantity is read as the house writes it, and asked about where it has two readings.
// What a line holds is therefore put into the program's own spelling before it is
// decoded.

var typedType = reflect.TypeFor[quantity.Typed]()

// respelled puts every quantity of a line into the program's spelling. The error is a
// *Rejection at the field.
func respelled(body map[string]json.RawMessage, to reflect.Type, h quantity.Habit, path string) error {
	for i := range to.NumField() {
		f := to.Field(i)
		name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
		if f.Anonymous && name == "" {
			if err := respelled(body, f.Type, h, path); err != nil {
				return err
			}
			continue
		}
		if name == "" {
			name = f.Name
		}
		for key, raw := range body { // encoding/json takes names in any case
			if !f.IsExported() || name == "-" || !strings.EqualFold(key, name) {
				continue
			}
			fresh, err := respell(raw, f.Type, h, strings.TrimPrefix(path+"."+key, "."))
			if err != nil {
				return err
			}
			body[key] = fresh
		}
	}
	return nil
}

// unknownField refuses a name that a command does not have: it is a slip that would otherwise
// lose what was typed.
func unknownField(body map[string]json.RawMessage, to reflect.Type) error {
	for name := range body {
		if !hasField(to, name) {
			return reject("field", name, "there is no field {name:%q} in this command", name)
		}
	}
	return nil
}

// hasField reports whether a type reads a field of a name; encoding/json takes names in any case.
func hasField(to reflect.Type, named string) bool {
	for i := range to.NumField() {
		f := to.Field(i)
		name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
		switch {
		case f.Anonymous && name == "":
			if hasField(f.Type, named) {
				return true
			}
		case f.IsExported() && name != "-" && strings.EqualFold(firstWords(name, f.Name), named):
			return true
		}
	}
	return false
}

// respell does it for one value.
func respell(raw json.RawMessage, to reflect.Type, h quantity.Habit, path string) (json.RawMessage, error) {
	for to.Kind() == reflect.Pointer {
		to = to.Elem()
	}
	switch {
	case to == reflect.TypeFor[Line]():
		return respelledLine(raw, h, path)
	case reflect.PointerTo(to).Implements(typedType):
		return retype(raw, to, h, path)
	case to.Kind() == reflect.Struct:
		var body map[string]json.RawMessage
		if json.Unmarshal(raw, &body) != nil || body == nil {
			return raw, nil // it is none of that, as the decoder will say
		}
		if !reflect.PointerTo(to).Implements(reflect.TypeFor[json.Unmarshaler]()) {
			if err := unknownField(body, to); err != nil {
				return nil, err
			}
		}
		if err := respelled(body, to, h, path); err != nil {
			return nil, err
		}
		return json.Marshal(body)
	case to.Kind() == reflect.Slice || to.Kind() == reflect.Array:
		var list []json.RawMessage
		if json.Unmarshal(raw, &list) != nil || list == nil {
			return raw, nil
		}
		for i, one := range list {
			fresh, err := respell(one, to.Elem(), h, fmt.Sprintf("%s[%d]", path, i))
			if err != nil {
				return nil, err
			}
			list[i] = fresh
		}
		return json.Marshal(list)
	}
	return raw, nil
}

func retype(raw json.RawMessage, to reflect.Type, h quantity.Habit, path string) (json.RawMessage, error) {
	var text string
	if json.Unmarshal(raw, &text) != nil {
		return raw, nil
	}
	x := reflect.New(to).Interface()
	if err := x.(quantity.Typed).ReadTyped(text, h); err != nil {
		return nil, reject("value", path, "{text:%q} cannot be read. {why}", text, err)
	}
	return json.Marshal(x)
}
