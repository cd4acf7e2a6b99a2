package main

import (
	"bytes"
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/domain/clocks"
	"cellar.example/mustwatch/testdata"
)

// binary is the program as it is shipped, built once for all tests that need a
// process of their own.
var binary string

func TestMain(m *testing.M) {
	dir, err := os.MkdirTemp("", "mustwatch-test-")
	if err == nil {
		binary = filepath.Join(dir, "mustwatch.exe")
		var said []byte
		if said, err = exec.Command("go", "build", "-o", binary, ".").CombinedOutput(); err != nil {
			_, _ = os.Stderr.Write(said)
		}
	}
	code := 1
	if err == nil {
		code = m.Run()
	}
	_ = os.RemoveAll(dir)
	os.Exit(code)
}

// evening is the true time in most tests: the examples' house is in Vienna.
var evening = time.Date(2026, 11, 20, 19, 0, 0, 0, time.UTC)

// bench is a program without a terminal, in a folder of its own.
type bench struct {
	*program
	t        *testing.T
	out, err bytes.Buffer
	dir      string
	env      map[string]string
	clock    time.Time
}

func newBench(t *testing.T) *bench {
	t.Helper()
	return benchIn(t, t.TempDir())
}

func benchIn(t *testing.T, dir string) *bench {
	b := &bench{t: t, dir: dir, env: map[string]string{}, clock: evening}
	b.program = &program{
		stdin: strings.NewReader(""), stdout: &b.out, stderr: &b.err, now: func() time.Time { return b.clock },
		clocks: func() clocks.Sample { // one that never slept and was never set, unless the test does
			ran := b.clock.Sub(evening.Add(-24 * time.Hour))
			return clocks.Sample{Wall: b.clock, Boot: ran, Mono: ran}
		},
		getenv: func(k string) string { return b.env[k] }, night: exampleNight(),
	}
	b.env["MUSTWATCH_JOURNAL"] = b.file("cellar.db")
	return b
}

// run runs one line of arguments with a program that knows nothing of the last
// one, and returns the number it ends with.
func (b *bench) run(args ...string) int {
	b.t.Helper()
	b.out.Reset()
	b.err.Reset()
	p := *b.program
	return p.run(context.Background(), args)
}

func (b *bench) file(name string) string { return filepath.Join(b.dir, name) }

// save writes a file into the folder and returns its path.
func (b *bench) save(name, text string) string {
	b.t.Helper()
	require.NoError(b.t, os.WriteFile(b.file(name), []byte(text), 0o600))
	return b.file(name)
}

// pipe has the next run read text.
func (b *bench) pipe(text string) *bench {
	b.stdin = strings.NewReader(text)
	return b
}

// house sets the example house up in the journal in use.
func (b *bench) house() *bench {
	b.t.Helper()
	require.Equal(b.t, endDone, b.run("init", "--from", b.save("house.toml", string(testdata.HouseExample))),
		b.err.String())
	return b
}

// exampleNight is a night made of the examples of the help.
func exampleNight() []byte {
	var out bytes.Buffer
	out.WriteString("# a night for the tests\n\n")
	for _, s := range subjects {
		for _, x := range s.examples {
			out.WriteString(x.line + "\n")
		}
	}
	return out.Bytes()
}
