package main

import (
	"bytes"
	"errors"
	"fmt"
	"reflect"
	"regexp"
	"slices"
	"strings"

	"github.com/pelletier/go-toml/v2"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/quantity"
	"cellar.example/mustwatch/domain/stage"
)

// A house file is mended in one go, so all its faults are named at once: a line that
// is no TOML is taken as an empty value, and an entry that the cellar refuses is put
// right with what any house may have, so that the rest of it and what stands on it can
// be judged. Nothing of that is ever written: a file with a fault makes no journal.

// mostFaults is where naming them ends: a file with more is not a house.
const mostFaults = 100

// oneLine is a line that gives a name a value and ends it.
var oneLine = regexp.MustCompile(`^(\s*[A-Za-z0-9_."-]+\s*=)\s*([^\[{"'#\s][^#]*|"[^"]*"?[^#"]*)(#.*)?$`)

// readTree reads a document as far as it goes. A line that cannot be read is named,
// and given an empty value in the document that comes back. The tree is nil where the
// document cannot be read on from a line.
func readTree(doc []byte) (tree map[string]any, read []byte, faults []fault) {
	lines := bytes.Split(doc, []byte("\n"))
	for len(faults) < mostFaults {
		doc, tree = bytes.Join(lines, []byte("\n")), map[string]any{}
		err := toml.Unmarshal(doc, &tree)
		if err == nil {
			return tree, doc, faults
		}
		f := syntaxFault(err)
		faults = append(faults, f)
		m := oneLine.FindSubmatch(lines[min(f.line, len(lines))-1])
		if m == nil || len(faults) > 1 && faults[len(faults)-2].line == f.line {
			break
		}
		lines[f.line-1] = append(bytes.Clone(m[1]), []byte(` ""`)...)
		faults[len(faults)-1].says = strings.Replace(f.says, noFurther, "this line cannot be read", 1)
	}
	return nil, nil, faults
}

// noPlace is the place in a list; the line says which of several is meant.
var noPlace = regexp.MustCompile(`\[\d+\]`)

const noFurther = "the file cannot be read on from here"

func syntaxFault(err error) fault {
	var at *toml.DecodeError
	if !errors.As(err, &at) {
		return fault{line: 1, says: strings.TrimPrefix(err.Error(), "toml: ")}
	}
	line, _ := at.Position()
	return fault{line: line, says: noFurther + ": " + strings.TrimPrefix(at.Error(), "toml: ")}
}

// decide decides the entries one after the other.
func (b *builder) decide(entries []houseEntry) {
	if len(entries) == 0 || cellar.Do(entries[0].command) != "house" { // that there is none is said already
		house, _ := cellar.NewCommand("house")
		b.settle(houseEntry{path: "house"}, b.standIn(house, 0))
	}
	for i, e := range entries {
		b.settle(e, b.standIn(e.command, i))
	}
}

// settle decides one entry. Each field that is refused is named and taken from what
// stands in for it, until the entry holds.
func (b *builder) settle(e houseEntry, good cellar.Command) {
	tried := map[string]bool{}
	for e.command != nil {
		facts, err := cellar.Decide(b.state, e.command, b.now)
		if err == nil {
			b.write(e.command, facts)
			return
		}
		again := false
		for _, field := range b.refuse(e, err) {
			again = mend(e.command, good, field) && !tried[field] || again
			tried[field] = true
		}
		if !again {
			break
		}
	}
	if facts, err := cellar.Decide(b.state, good, b.now); err == nil {
		b.write(good, facts)
	}
}

func (b *builder) write(c cellar.Command, facts []cellar.Fact) {
	recs := cellar.Records(c, facts, b.now, "init")
	for i := range recs {
		recs[i].Seq = b.state.Seq + 1
		cellar.Apply(b.state, recs[i])
	}
	b.records = append(b.records, recs...)
}

// refuse turns what the cellar says to an entry into faults at their fields, unless
// something is known to be wrong there already, and gives the fields.
func (b *builder) refuse(e houseEntry, err error) (fields []string) {
	said := b.faults
	for _, one := range parts(err) {
		path, where, message, field := e.path, e.where, one.Error(), ""
		var no *cellar.Rejection
		if errors.As(one, &no) && no.Field != "" {
			field = no.Field[:len(no.Field)-len(strings.TrimLeftFunc(no.Field, func(r rune) bool {
				return r != '[' &&
					r != '.'
			}))]
			path, message = under(e.path, no.Field), no.Message()
			where = join(e.where, strings.ReplaceAll(noPlace.ReplaceAllString(no.Field, ""), ".", ", "))
			if field == "by" || field == "at" { // said once, at the top
				path, where = field, field
			} else if card := under(under(e.path, "card"), no.Field); b.lines[card] > 0 {
				path = card
			}
			fields = append(fields, field)
		}
		if !b.unread[b.lines[path]] && !faulted(said, path) {
			b.fault(path, where, "{wrong}", message)
		}
	}
	return fields
}

// parts are the errors that were joined.
func parts(err error) (out []error) {
	many, ok := err.(interface{ Unwrap() []error })
	if !ok {
		return []error{err}
	}
	for _, one := range many.Unwrap() {
		out = append(out, parts(one)...)
	}
	return out
}

// faulted reports whether a fault is known at a path or within it.
func faulted(faults []fault, path string) bool {
	return slices.ContainsFunc(faults, func(f fault) bool {
		return f.path == path || strings.HasPrefix(f.path, path+".") || strings.HasPrefix(f.path, path+"[")
	})
}

// mend takes a field, or one of the card, from another command of its kind. Who and
// when are of the file as a whole.
func mend(c, good cellar.Command, field string) bool {
	if field == "by" || field == "at" {
		*cellar.HeadOf(c) = *cellar.HeadOf(good)
		return true
	}
	to, _ := fieldsOf(reflect.ValueOf(c).Elem())
	from, _ := fieldsOf(reflect.ValueOf(good).Elem())
	if v, ok := to[field]; ok {
		v.Set(from[field])
		return true
	}
	card, ok := to["card"]
	if ok {
		card.Set(from["card"])
	}
	return ok
}

// standIn is an entry that any house may have, in place of the nth one.
func (b *builder) standIn(c cellar.Command, n int) cellar.Command {
	good, _ := cellar.NewCommand(cellar.Do(c))
	*cellar.HeadOf(good) = cellar.Head{At: b.at, By: b.by}
	if faulted(b.faults, "at") {
		cellar.HeadOf(good).At = b.now
	}
	for _, p := range b.state.House.People {
		if p.Has(cellar.RoleLead) {
			cellar.HeadOf(good).By = p.Initials
		}
	}
	spare := fmt.Sprintf("-%d-", n)
	switch x := good.(type) {
	case *cellar.SetHouse:
		x.Name, x.Zone, x.People = "?", b.zone.String(), b.people(c.(*cellar.SetHouse))
	case *cellar.AddVessel:
		x.Number, x.Brim, x.Use = cellar.TankNumber(spare), 5000*quantity.Hectolitre, stage.UseSettle
	case *cellar.AddPress:
		x.Number, x.Rated, x.WholeBunch = cellar.TankNumber(spare), 20*quantity.Tonne, 10*quantity.Tonne
	case *cellar.SetProduct:
		x.ID, x.Name, x.Class, x.Unit = cellar.ProductID(spare), "?", cellar.OtherClass, quantity.GPerHL
	}
	return good
}

// people are those of the file whose initials hold, and with them who sets it up. All
// of them may do everything, for what somebody may not is no fault of the file.
func (b *builder) people(c *cellar.SetHouse) (out []cellar.Person) {
	for _, p := range append([]cellar.Person{{Initials: b.by}}, c.People...) {
		known := slices.ContainsFunc(out, func(x cellar.Person) bool { return x.Initials == p.Initials })
		if n := len(p.Initials); (n == 2 || n == 3) && !known {
			out = append(out, cellar.Person{Initials: p.Initials, Name: "?", Roles: []cellar.Role{cellar.RoleLead,
				cellar.RoleWinemaker}})
		}
	}
	if len(out) == 0 {
		return []cellar.Person{{Initials: "XX", Name: "?", Roles: []cellar.Role{cellar.RoleLead}}}
	}
	return out
}
