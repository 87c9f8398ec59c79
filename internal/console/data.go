package console

import (
	"path/filepath"
	"runtime"
)

// DataDir is the folder in which this person's programs keep their data, as the
// system has it: XDG_DATA_HOME or ~/.local/share, %APPDATA% on Windows,
// ~/Library/Application Support on a Mac. It is "" when the environment does not
// tell; nothing is said about whether the folder exists.
func (c *Console) DataDir() string { return dataDir(runtime.GOOS, c.env) }

func dataDir(system string, env func(string) string) string {
	home := env("HOME")
	switch {
	case system == "windows":
		return env("APPDATA")
	case system == "darwin" && filepath.IsAbs(home):
		return filepath.Join(home, "Library", "Application Support")
	case system == "darwin":
		return ""
	case filepath.IsAbs(env("XDG_DATA_HOME")): // one that is not from the root is to be ignored
		return env("XDG_DATA_HOME")
	case filepath.IsAbs(home):
		return filepath.Join(home, ".local", "share")
	}
	return ""
}

// Editor is the command line of the person's text editor: VISUAL, EDITOR, or the
// one that every such system has.
func (c *Console) Editor() string { return editor(runtime.GOOS, c.env) }

func editor(system string, env func(string) string) string {
	for _, key := range []string{"VISUAL", "EDITOR"} {
		if e := env(key); e != "" {
			return e
		}
	}
	if system == "windows" {
		return "notepad"
	}
	return "vi"
}
