//go:build unix

package machine

import "syscall"

// alone takes a child off the terminal: it neither hears its keys nor can ask
// anything on it.
func alone() *syscall.SysProcAttr { return &syscall.SysProcAttr{Setsid: true} }
