package main

import (
	"fmt"
	"runtime"
	"runtime/debug"

	"github.com/spf13/cobra"
)

// version is set by the linker for a release.
var version = ""

// versionName is the version of this program, as far as it is known.
func versionName() string {
	if version != "" {
		return version
	}
	if info, ok := debug.ReadBuildInfo(); ok && info.Main.Version != "" && info.Main.Version != "(devel)" {
		return info.Main.Version
	}
	return "test build"
}

func (p *program) versionCommand() *cobra.Command {
	return &cobra.Command{
		Use:   "version",
		Short: "Say which version this is",
		Args:  noArguments,
		RunE: func(*cobra.Command, []string) error {
			_, err := fmt.Fprintf(p.stdout, "mustwatch %s, %s %s/%s\n", versionName(), runtime.Version(), runtime.GOOS,
				runtime.GOARCH)
			return err
		},
	}
}
