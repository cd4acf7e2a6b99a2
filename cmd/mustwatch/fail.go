package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"strings"
	"unicode"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/text"
)

// How the program ends. Scripts go by these numbers, so they never change.
const (
	endDone    = 0
	endRefused = 1
	endUsage   = 2
	endLocked  = 3
	endDamaged = 4
	endNewer   = 5
	endOverdue = 10 // of next: something is overdue
)

// trouble is what a person is told when something cannot be done: a sentence
// that says what is so, one that says what to do, and the number to end with.
// Without words everything has been said already.
type trouble struct {
	code int
	says string
	do   string
}

func (t *trouble) Error() string { return strings.TrimSpace(t.says + " " + t.do) }

// refused and usage make the two common kinds of trouble, of a template and its values.
func refused(do, template string, values ...any) error {
	return &trouble{code: endRefused, says: sentence(template, values...), do: do}
}

func usage(template string, values ...any) error {
	return &trouble{code: endUsage, says: sentence(template, values...), do: "See mustwatch --help."}
}

// sentence says a template with its values; no house is open yet whose units they could have.
func sentence(template string, values ...any) string {
	return text.Of(template, values...).In(text.Exact{})
}

// explain puts an error of the journal at path into words. Anything that is
// trouble already is left as it is.
func explain(err error, path string) error {
	var known *trouble
	switch {
	case err == nil || errors.As(err, &known):
		return err
	case errors.Is(err, cellar.ErrMissing):
		return refused("Set up a house with mustwatch init, or look around with mustwatch demo.",
			"There is no journal at {path}.", path)
	case errors.Is(err, cellar.ErrLocked):
		return &trouble{endLocked, sentence("Another program has the journal {path} open{detail}.", path,
			detail(err, cellar.ErrLocked)),
			"Use the board there, or end it first: two programs never save to one journal."}
	case errors.Is(err, cellar.ErrNewer):
		return &trouble{endNewer, sentence("A newer mustwatch saved to the journal {path}{detail}.", path,
			detail(err, cellar.ErrNewer)),
			"Use that version here; nothing was changed."}
	case errors.Is(err, cellar.ErrDamaged):
		return &trouble{endDamaged, sentence("The journal {path} is damaged{detail}.", path, detail(err,
			cellar.ErrDamaged)),
			"It was not opened and nothing was changed."}
	case errors.Is(err, cellar.ErrConflict):
		return refused("Try again.", "Somebody else saved to the journal {path} at the same moment: your entry is "+
			"not saved.", path)
	case errors.Is(err, fs.ErrPermission):
		return refused("Ask who owns the file, or name another with --journal.",
			"This user is not allowed to open the journal {path}.", path)
	}
	return refused("Nothing after that was saved.", "The journal {path} could not be used: {wrong}.", path, err)
}

// detail is what an error says beyond the sentinel it wraps, to be put behind a
// clause of our own.
func detail(err, sentinel error) string {
	_, rest, _ := strings.Cut(err.Error(), sentinel.Error())
	rest = strings.TrimRight(strings.TrimLeft(rest, ":, "), ". ")
	if rest == "" {
		return ""
	}
	return ": " + rest
}

// tell says on w what went wrong, and returns the number to end with.
func tell(w io.Writer, err error) int {
	if err == nil {
		return endDone
	}
	var t *trouble
	if !errors.As(err, &t) {
		t = &trouble{code: endRefused, says: err.Error()}
	}
	if t.says != "" {
		fmt.Fprintln(w, "mustwatch: "+clean(t.says))
	}
	if t.do != "" {
		fmt.Fprintln(w, clean(t.do))
	}
	return t.code
}

// clean makes a text safe to be written to a terminal: what was typed into a
// file may hold sequences that a terminal would obey.
func clean(s string) string {
	return strings.Map(func(r rune) rune {
		if unseen(r) && r != '\n' {
			return '?'
		}
		return r
	}, s)
}

// unseen reports whether a character shows nothing but does something: controls,
// and the marks that turn the direction of writing round.
func unseen(r rune) bool {
	return unicode.IsControl(r) || unicode.In(r, unicode.Cf, unicode.Zl, unicode.Zp) || r == unicode.ReplacementChar
}
