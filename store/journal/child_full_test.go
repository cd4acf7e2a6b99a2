//go:build linux || darwin

package journal

import (
	"context"
	"fmt"
	"os"
	"strings"
	"syscall"
	"testing"

	"github.com/stretchr/testify/require"

	"cellar.example/mustwatch/store/storetest"
)

// childFull lets the system itself refuse to enlarge the file, as it does when a
// disk is full or a quota is used up, and says how each append ended.
func childFull(path string) {
	j, err := Open(path, Options{})
	if err != nil {
		fmt.Println("open:", err)
		os.Exit(1)
	}
	info, _ := os.Stat(path)
	limit := syscall.Rlimit{Cur: uint64(info.Size()), Max: uint64(info.Size())}
	if err := syscall.Setrlimit(syscall.RLIMIT_FSIZE, &limit); err != nil {
		fmt.Println("limit:", err)
		os.Exit(1)
	}
	big := storetest.Record(4)
	big.Fact = storetest.Note(strings.Repeat("x", int(info.Size())))
	for range 3 {
		_, err = j.Append(context.Background(), 3, big)
		fmt.Println("big:", err != nil)
	}
	seq, err := j.Append(context.Background(), 3, storetest.Record(4))
	fmt.Println("small:", seq, err)
	fmt.Println("verify:", j.Verify(context.Background()))
	fmt.Println("close:", j.Close())
}

func TestSystemRefusesToEnlargeTheFile(t *testing.T) {
	path := filled(t, 3)
	p := child(t, "full", path)
	for range 3 {
		require.Equal(t, "big: true", p.line(t))
	}
	require.Equal(t, "small: 4 <nil>", p.line(t))
	require.Equal(t, "verify: <nil>", p.line(t))
	require.Equal(t, "close: <nil>", p.line(t))
	require.NoError(t, p.cmd.Wait())
	got := storetest.Collect(t, mustOpen(t, path), 0)
	require.Len(t, got, 4)
	storetest.RequireFilled(t, got, 1)
}
