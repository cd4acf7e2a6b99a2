//go:build !unix

package machine

import "syscall"

func alone() *syscall.SysProcAttr { return nil }
