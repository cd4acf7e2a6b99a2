package main

import (
	"fmt"
	"io"
	"log"
	"os"
	"path/filepath"
	"runtime"
)

// journalName is the file of the journal in the person's data folder.
const journalName = "cellar.db"

// path is the journal in use: the one named on the line, else by the
// environment, else the one in the person's data folder.
func (p *program) path() (string, error) {
	if p.journal != "" {
		return p.ofSeason(p.journal)
	}
	if named := p.getenv("MUSTWATCH_JOURNAL"); named != "" {
		return p.ofSeason(named)
	}
	folder, err := dataFolder(runtime.GOOS, p.getenv, os.UserHomeDir)
	if err != nil {
		return "", refused("Name a journal with --journal.", "There is no folder for this person's data: {wrong}.", err)
	}
	return p.ofSeason(filepath.Join(folder, journalName))
}

// dataFolder is where a system wants a person's data to be kept.
func dataFolder(system string, getenv func(string) string, home func() (string, error)) (string, error) {
	const own = "mustwatch"
	switch system {
	case "windows":
		if base := getenv("LOCALAPPDATA"); base != "" {
			return filepath.Join(base, own), nil
		}
	case "darwin":
	default:
		// A relative path here is to be ignored, by the convention of the variable.
		if base := getenv("XDG_DATA_HOME"); filepath.IsAbs(base) {
			return filepath.Join(base, own), nil
		}
	}
	base, err := home()
	if err != nil {
		return "", err
	}
	switch system {
	case "windows":
		return filepath.Join(base, "AppData", "Local", own), nil
	case "darwin":
		return filepath.Join(base, "Library", "Application Support", own), nil
	}
	return filepath.Join(base, ".local", "share", own), nil
}

// openLog sends what the program logs to a file beside the journal if
// MUSTWATCH_LOG is set, and to nowhere otherwise: a line of a log on a screen
// that is being drawn would break the board.
func (p *program) openLog(path string) (done func()) {
	log.SetOutput(io.Discard)
	if p.getenv("MUSTWATCH_LOG") == "" {
		return func() {}
	}
	f, err := os.OpenFile(path+".log", os.O_WRONLY|os.O_CREATE|os.O_APPEND, 0o600)
	if err != nil {
		fmt.Fprintf(p.stderr, "mustwatch: no log can be kept: %v\n", err)
		return func() {}
	}
	log.SetOutput(f)
	return func() {
		log.SetOutput(io.Discard)
		_ = f.Close()
	}
}
