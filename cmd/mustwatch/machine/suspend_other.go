//go:build !unix

package machine

import "errors"

// Suspend says that this system suspends no program.
func Suspend() error { return errors.New("this system suspends no program") }
