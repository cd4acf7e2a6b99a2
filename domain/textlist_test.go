package domain_test

import (
	"flag"
	"go/ast"
	"go/token"
	"os"
	"path"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"
)

var update = flag.Bool("update", false, "write testdata/golden/texts.txt again")

const listed = "../testdata/golden/texts.txt"

// shownText is a text with its file and where it stands: the function that takes it or the field of a struct that
// holds it.
type shownText struct {
	file  string
	place string
	words string
}

// quiet are functions whose words nobody sees at the board: what a programmer reads.
var quiet = map[string]bool{"panic": true, "regexp.MustCompile": true, "time.Parse": true, "time.ParseInLocation": true,
	"command": true, "fact": true}

// quietFields are fields of structs that hold names and not words.
var quietFields = map[string]bool{"Name": true, "Value": true, "Keys": true, "Code": true}

var (
	readsLikeWords = regexp.MustCompile(`[A-Za-z]{2,}.* .*[A-Za-z]|^[A-Z]{3,}$`)
	aLayout        = regexp.MustCompile(`^(Mon |2 Jan|15:04|2006)`)
)

var allTexts []shownText

// shownTexts lists what the source says to people: string literals that read like words, wherever they stand.
// Pieces that are added are one text.
func shownTexts(t *testing.T) (out []shownText) {
	if len(allTexts) > 0 {
		return allTexts
	}
	defer func() { allTexts = out }()
	for _, f := range sources(t) {
		if strings.HasSuffix(f.path, "_test.go") || strings.HasPrefix(f.path, "testdata") || strings.HasPrefix(f.path,
			"tui/tuitest") ||
			strings.HasPrefix(f.path, "store/storetest") {
			continue
		}
		walkTexts(f.file, "", func(place, words string) {
			out = append(out, shownText{f.path, place, words})
		})
	}
	return out
}

// walkTexts goes down the syntax with the place at which a literal stands.
func walkTexts(n ast.Node, at string, yield func(place, words string)) {
	ast.Inspect(n, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.ImportSpec:
			return false
		case *ast.Field: // with its tag
			walkTexts(n.Type, at, yield)
			return false
		case *ast.CallExpr:
			fn := nameOf(n.Fun)
			if quiet[fn] || strings.HasPrefix(fn, "command[") {
				return false
			}
			for _, a := range n.Args {
				walkTexts(a, fn, yield)
			}
			walkTexts(n.Fun, at, yield)
			return false
		case *ast.KeyValueExpr:
			if k, ok := n.Key.(*ast.Ident); ok {
				if !quietFields[k.Name] {
					walkTexts(n.Value, k.Name, yield)
				}
				return false
			}
		case *ast.BinaryExpr:
			if words, ok := literal(n); ok {
				put(at, words, yield)
				return false
			}
		case *ast.BasicLit:
			if n.Kind == token.STRING {
				words, _ := strconv.Unquote(n.Value)
				put(at, words, yield)
			}
		}
		return true
	})
}

func put(at, words string, yield func(place, words string)) {
	if readsLikeWords.MatchString(words) && !aLayout.MatchString(words) {
		yield(at, words)
	}
}

// TestTheTextsAreListed writes down all that the program says, for somebody to read in one go, and holds the list
// to the source.
func TestTheTextsAreListed(t *testing.T) {
	var b strings.Builder
	b.WriteString("All that the program says, by package. Written by go test ./domain -run TextsAreListed -update; " +
		"read it aloud.\n")
	dir := ""
	seen := map[string]bool{}
	for _, x := range shownTexts(t) {
		if d := path.Dir(x.file); d != dir {
			dir, seen = d, map[string]bool{}
			b.WriteString("\n" + dir + "\n")
		}
		if words := oneLine(x.words); !seen[words] {
			seen[words] = true
			b.WriteString("  " + words + "\n")
		}
	}
	if *update {
		if err := os.WriteFile(listed, []byte(b.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(listed)
	if err != nil {
		t.Fatal(err)
	}
	if b.String() == string(want) {
		return
	}
	is, was := strings.Split(b.String(), "\n"), strings.Split(string(want), "\n")
	for _, l := range is {
		if !slices.Contains(was, l) {
			t.Errorf("not in the list: %s", l)
		}
	}
	t.Errorf("texts have changed: read them, then go test ./domain -run TextsAreListed -update")
}

func oneLine(s string) string {
	return strings.ReplaceAll(strings.TrimRight(s, "\n"), "\n", "\n    ")
}

// givenUp are words that the glossary in DEVELOPERS.md gives up, with what is said instead.
var givenUp = map[string]string{
	`anew`: "again", `nought`: "zero", `plates?`: "number", `reckon\w*`: "calculate", `vats?`: "tank",
	`sown?|unsown`: "inoculate",
	`put right`:    "corrected", `all the same`: "override", `struck out|strike out`: "taken back",
	`seen by me`: "acknowledge",
	`put off`:    "snoozed", `main juice`: "free run", `press fractions?`: "pressings",
	`may (rack|float|move|settle)`: "can be …",
	`NO HOME`:                      "NO TANK YET", `drawing off|drawn off`: "draining",
	`cap rising`:       "float cap forming",
	`cool(ed)? back`:   "cool down",
	`no route decided`: "settle or float?", `build-up`: "starter", `rules are asked`: "checks run first",
	`may stay empty`: "optional",
	`not even`:       "say it plainly", `it is held that`: "say it plainly", `OF releases|releases it`: "OF to release",
	`gone over`:    "overdue",
	`alcohol test`: "pectin test", `looked like`: "say it plainly", `tells whether`: "reports whether",
	`mayhap|whilst|amongst`: "plain words",
}

// TestGivenUpWordsAreGone holds every text against the words that the glossary gives up.
func TestGivenUpWordsAreGone(t *testing.T) {
	for pattern, instead := range givenUp {
		re := regexp.MustCompile(`(?i)\b(` + pattern + `)\b`)
		for _, x := range shownTexts(t) {
			if m := re.FindString(x.words); m != "" {
				t.Errorf("%s: %q says %q; say %s", x.file, cut(x.words), m, instead)
			}
		}
	}
}

// room is how many cells there are for a text by its place.
var room = map[string]int{"Short": 26, "Label": 60, "Unit": 24}

// TestTextsFitTheirPlace: a word in the footer, the label of a field and its unit have so much room and no more.
func TestTextsFitTheirPlace(t *testing.T) {
	for _, x := range shownTexts(t) {
		if most, set := room[x.place]; set && strings.HasPrefix(x.file, "tui/") &&
			utf8.RuneCountInString(x.words) > most {
			t.Errorf("%s: the %s %q has more than %d characters", x.file, x.place, x.words, most)
		}
	}
}

func cut(s string) string {
	if len(s) > 90 {
		return s[:90] + "…"
	}
	return s
}
