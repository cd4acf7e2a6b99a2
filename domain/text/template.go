package text

import (
	"iter"
	"slices"
	"strings"
)

// piece is a part of a template: words, or a name with the verb of package fmt to say it by.
type piece struct{ words, name, verb string }

// pieces takes a template apart. "{{" stands for a brace.
func pieces(template string) iter.Seq[piece] {
	return func(yield func(piece) bool) {
		for template != "" {
			at := strings.IndexByte(template, '{')
			if at < 0 {
				yield(piece{words: template})
				return
			}
			if at > 0 && !yield(piece{words: template[:at]}) {
				return
			}
			template = template[at+1:]
			if rest, brace := strings.CutPrefix(template, "{"); brace {
				if template = rest; !yield(piece{words: "{"}) {
					return
				}
				continue
			}
			inner, rest, closed := strings.Cut(template, "}")
			if template = rest; !closed {
				yield(piece{words: "{" + inner})
				return
			}
			name, verb, _ := strings.Cut(inner, ":")
			if !yield(piece{name: name, verb: verb}) {
				return
			}
		}
	}
}

// Names lists the names in a template, each once, in the order in which they come first.
func Names(template string) []string {
	var out []string
	for p := range pieces(template) {
		if p.name != "" && !slices.Contains(out, p.name) {
			out = append(out, p.name)
		}
	}
	return out
}
