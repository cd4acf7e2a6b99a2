package tuitest

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/charmbracelet/x/ansi"
)

// update is shared with any other package of the same test binary that has
// registered the flag first: registering it twice would panic.
func init() {
	if flag.Lookup("update") == nil {
		flag.Bool("update", false, "write goldens instead of comparing with them")
	}
}

func updating() bool {
	f := flag.Lookup("update")
	return f != nil && f.Value.String() == "true"
}

// Golden compares got with testdata/golden/<name>.txt under the repository's
// root; name may contain slashes. With -update it writes the file instead, and
// the person who ran it reads the difference before keeping it.
//
// Files end in one newline that is not part of the frame. Trailing blanks are
// kept: they are cells.
func Golden(t testing.TB, name, got string) {
	t.Helper()
	path := filepath.Join(Root(t), "testdata", "golden", filepath.FromSlash(name)+".txt")
	if updating() {
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(got+"\n"), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	raw, err := os.ReadFile(path)
	if err != nil {
		t.Fatalf("no golden %s; run the test with -update and read what it wrote (%v)", name, err)
	}
	// A checkout on Windows may have turned the line ends.
	want := strings.TrimSuffix(strings.ReplaceAll(string(raw), "\r\n", "\n"), "\n")
	if diff := Diff(want, got); diff != "" {
		t.Errorf("%s differs from its golden (-update rewrites it):\n%s", name, diff)
	}
}

// Root is the folder of go.mod, found by walking up from the test's own folder.
func Root(t testing.TB) string {
	t.Helper()
	dir, err := os.Getwd()
	if err != nil {
		t.Fatal(err)
	}
	for {
		if _, err := os.Stat(filepath.Join(dir, "go.mod")); err == nil {
			return dir
		}
		parent := filepath.Dir(dir)
		if parent == dir {
			t.Fatal("no go.mod above the test's folder")
		}
		dir = parent
	}
}

// Diff shows the lines in which two texts differ, "" if they do not. Sequences
// and blanks are made visible where quoting is needed to see them.
func Diff(want, got string) string {
	if want == got {
		return ""
	}
	w, g := strings.Split(want, "\n"), strings.Split(got, "\n")
	var out strings.Builder
	if len(w) != len(g) {
		fmt.Fprintf(&out, "%d lines, want %d\n", len(g), len(w))
	}
	for i := range max(len(w), len(g)) {
		a, b := at(w, i), at(g, i)
		if a == b {
			continue
		}
		show := func(s string) string { return "|" + s + "|" }
		if strings.ContainsRune(a+b, '\x1b') {
			show = func(s string) string { return fmt.Sprintf("%q", s) }
		}
		fmt.Fprintf(&out, "%3d want %s\n    got  %s\n", i+1, show(a), show(b))
	}
	return out.String()
}

func at(lines []string, i int) string {
	if i < len(lines) {
		return lines[i]
	}
	return "<no such line>"
}

// StripANSI takes the colours out of a frame.
func StripANSI(s string) string { return ansi.Strip(s) }

// Trim takes the colours and the blanks at line ends out of lines, for tests
// that compare by eye.
func Trim(lines []string) []string {
	out := make([]string, len(lines))
	for i, line := range lines {
		out[i] = strings.TrimRight(StripANSI(line), " ")
	}
	return out
}
