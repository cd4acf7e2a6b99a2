package main

import (
	"context"
	"io"
	"os"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"golang.org/x/term"

	"cellar.example/mustwatch/cmd/mustwatch/machine"
	"cellar.example/mustwatch/domain/clocks"
	"cellar.example/mustwatch/testdata"
)

// program is one run of mustwatch: what it reads and writes, the time it goes
// by, and the settings that all commands share. Tests make one of their own.
type program struct {
	stdin   io.Reader
	stdout  io.Writer
	stderr  io.Writer
	getenv  func(string) string
	now     func() time.Time // the wall clock
	clocks  func() clocks.Sample
	awake   func() (*machine.Awake, string) // holds the machine awake; nil leaves it alone
	suspend func() error                    // nil suspends nothing
	tty     terminal
	night   []byte // the script of the demo

	journal string  // --journal
	season  string  // --season: an earlier one, "" for the one that runs
	speed   float64 // of a rehearsal's clock; 0 is that of life
	page    page
	desk    desk
}

// terminal is what the program is connected to. The zero value is a pipe.
type terminal struct {
	in, out      *os.File
	keys, screen bool // in and out are a person's
}

func newProgram() *program {
	return &program{
		stdin: os.Stdin, stdout: os.Stdout, stderr: os.Stderr, getenv: os.Getenv, now: time.Now, clocks: machine.Clocks,
		awake: machine.StayAwake, suspend: machine.Suspend, night: testdata.Night,
		tty: terminal{in: os.Stdin, out: os.Stdout, keys: term.IsTerminal(int(os.Stdin.Fd())),
			screen: term.IsTerminal(int(os.Stdout.Fd()))},
	}
}

// run does what the arguments ask and returns the number to end with.
func (p *program) run(ctx context.Context, args []string) int {
	root := p.commands()
	root.SetArgs(args)
	return tell(p.stderr, root.ExecuteContext(ctx))
}

// commands is the tree of commands. Every error comes back to run, which alone
// puts it into words.
func (p *program) commands() *cobra.Command {
	cobra.MousetrapHelpText = "" // a double click on Windows opens the board
	root := p.boardCommand()
	root.SilenceErrors, root.SilenceUsage = true, true
	root.CompletionOptions.DisableDefaultCmd = true
	root.SetIn(p.stdin)
	root.SetOut(p.stdout)
	root.SetErr(p.stderr)
	root.SetFlagErrorFunc(func(_ *cobra.Command,
		err error) error {
		return usage("That command line cannot be read: {wrong}.", err)
	})
	root.PersistentFlags().StringVar(&p.journal, "journal", "", "the journal, a `file` (else MUSTWATCH_JOURNAL, else "+
		journalName+" in your data folder)")
	root.PersistentFlags().StringVar(&p.season, "season", "", "an earlier `season` that was closed, to be read")
	root.AddCommand(p.seasonCommand(), p.initCommand(), p.demoCommand(), p.wallCommand(), p.serveCommand(),
		p.enterCommand(),
		p.sheetCommand(), p.showCommand(), p.nextCommand(), p.verifyCommand(), p.versionCommand(), p.calcCommand())
	return root
}

// noArguments refuses anything that is neither a command nor a flag, with a guess at
// the command that was meant.
func noArguments(cmd *cobra.Command, args []string) error {
	if len(args) == 0 {
		return nil
	}
	cmd.SuggestionsMinimumDistance = 2
	meant := cmd.SuggestionsFor(args[0])
	if len(meant) == 0 {
		return usage("{command} does not take {typed:%q}.", cmd.CommandPath(), args[0])
	}
	for i, name := range meant {
		meant[i] = cmd.CommandPath() + " " + name
	}
	return &trouble{code: endUsage, says: sentence("There is no command {typed:%q}.", args[0]),
		do: "Did you mean " + strings.Join(meant, " or ") + "?"}
}
