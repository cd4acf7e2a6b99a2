package cellar_test

import (
	"encoding/json"
	"regexp"
	"strings"
	"testing"

	"cellar.example/mustwatch/domain/cellar"
	"cellar.example/mustwatch/domain/clarity"
)

// typedWords are the words that people typed in one cellar, and what the program hands out as names.
type typedWords struct{ all string }

// inWords finds what reads like a sentence: three words of small letters in a row.
var inWords = regexp.MustCompile(`[a-z]{2,} [a-z]+ [a-z]{2,}`)

// hear takes note of what somebody types.
func (w *typedWords) hear(c cellar.Command) {
	b, _ := json.Marshal(c)
	var x any
	if json.Unmarshal(b, &x) == nil {
		eachString(x, "", func(_, s string) { w.all += s + "\n" })
	}
}

// sentences are the strings of a fact that read like one and were typed by nobody, each with its place.
func (w *typedWords) sentences(f cellar.Fact) (out []string) {
	b, _ := json.Marshal(f)
	var x any
	if json.Unmarshal(b, &x) != nil {
		return nil
	}
	eachString(x, cellar.Kind(f), func(path, s string) {
		if inWords.MatchString(s) && !strings.Contains(w.all, s) && !named[s] {
			out = append(out, path+": "+s)
		}
	})
	return out
}

// named are names of more than two words that the program gives to things.
var named = map[string]bool{}

func init() {
	for _, r := range clarity.Recipes() {
		for _, s := range []string{r.Name, r.Sample, r.Alcohol, r.Source} {
			named[s] = true
		}
	}
}

func eachString(x any, path string, yield func(path, s string)) {
	switch x := x.(type) {
	case string:
		yield(path, x)
	case []any:
		for _, y := range x {
			eachString(y, path+"[]", yield)
		}
	case map[string]any:
		for k, y := range x {
			eachString(y, path+"."+k, yield)
		}
	}
}

// TestAFactHoldsNoSentence: a sentence that a fact would keep is found, and what somebody typed is not. Every
// fact that the tests of this package write is looked at like this, see house.try.
func TestAFactHoldsNoSentence(t *testing.T) {
	w := &typedWords{}
	w.hear(&cellar.WriteNote{Text: "the pump of line two is slow"})
	if got := w.sentences(&cellar.Noted{Note: cellar.Note{Text: "the pump of line two is slow"}}); len(got) > 0 {
		t.Error(got)
	}
	if got := w.sentences(&cellar.Noted{Note: cellar.Note{Text: "the pump of line three is slow"}}); len(got) != 1 {
		t.Error(got)
	}
}
