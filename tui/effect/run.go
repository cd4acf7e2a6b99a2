package effect

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"strings"
	"time"
)

// maxSaid is how much of what a failing command says is kept, in bytes.
const maxSaid = 200

// Run runs a program to its end, with env on top of the program's own
// environment. It is ended after limit. The error says what went wrong in a few
// words: that it is not there, its number, or that it took too long.
func Run(argv, env []string, limit time.Duration) error {
	if len(argv) == 0 {
		return errors.New("there is none")
	}
	ctx, cancel := context.WithTimeout(context.Background(), limit)
	defer cancel()
	cmd := exec.CommandContext(ctx, argv[0], argv[1:]...)
	cmd.Env = append(os.Environ(), env...)
	cmd.WaitDelay = time.Second // for what it leaves behind with our pipe open
	var said bytes.Buffer
	cmd.Stderr = &said
	err := cmd.Run()
	switch {
	case err == nil:
		return nil
	case ctx.Err() != nil:
		return fmt.Errorf("it took longer than %s", limit)
	}
	text, _, _ := strings.Cut(strings.TrimSpace(said.String()), "\n")
	if len(text) > maxSaid {
		text = text[:maxSaid]
	}
	if text != "" {
		return fmt.Errorf("%w (%s)", err, text)
	}
	return err
}
