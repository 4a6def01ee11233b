package main

import (
	"fmt"
	"io/fs"
	"path"
	"slices"
	"strings"
	"testing"
)

// topLevel is all that stands at the root, beside files whose names begin with a dot.
var topLevel = []string{"agent", "serialio", "routines", "api", "web", "systemd", "go.mod", "go.sum", "README.md", "DEVELOPERS.md"}

// checkTopLevel keeps the root as it is. What git ignores there does not count.
func checkTopLevel(t houseTree) []string {
	entries, err := fs.ReadDir(t.root, ".")
	if err != nil {
		return []string{"read the root: " + err.Error()}
	}
	ignored := t.ignored()
	var findings []string
	for _, e := range entries {
		if name := e.Name(); !strings.HasPrefix(name, ".") && !slices.Contains(topLevel, name) && !matchesAny(ignored, name) {
			findings = append(findings, name+" stands at the root, which is for "+strings.Join(topLevel, ", "))
		}
	}
	return findings
}

// ignored lists what .gitignore says about the root.
func (t houseTree) ignored() []string {
	text, err := fs.ReadFile(t.root, ".gitignore")
	if err != nil {
		return nil
	}
	var patterns []string
	for line := range strings.Lines(string(text)) {
		patterns = append(patterns, strings.Trim(strings.TrimSpace(line), "/"))
	}
	return patterns
}

func matchesAny(patterns []string, name string) bool {
	return slices.ContainsFunc(patterns, func(p string) bool {
		ok, err := path.Match(p, name)
		return err == nil && ok
	})
}

// Lines a file may have. The target is 50 to 150, one idea each.
const (
	mostLines     = 300
	mostTestLines = 450
)

func checkLength(t houseTree) []string {
	var findings []string
	for _, f := range t.files {
		most := mostLines
		if f.test {
			most = mostTestLines
		}
		if f.lines > most {
			findings = append(findings, fmt.Sprintf("%s has %d lines, more than %d", f.path, f.lines, most))
		}
	}
	return findings
}

func TestHouseNoticesTheTopLevel(t *testing.T) {
	files := map[string]string{".gitignore": "/data/\n*.log\n", ".editorconfig": "", "README.md": "", "data/x": "", "a.log": ""}
	wantFindings(t, checkTopLevel(planted(t, files)))
	files["pkg/a.go"] = "package pkg"
	files["Makefile"] = ""
	wantFindings(t, checkTopLevel(planted(t, files)), "Makefile stands", "pkg stands")
}

func TestHouseNoticesLength(t *testing.T) {
	text := func(lines int) string { return "package in\n" + strings.Repeat("\n", lines-1) }
	wantFindings(t, checkLength(planted(t, map[string]string{"in/a.go": text(300), "in/a_test.go": text(450)})))
	wantFindings(t, checkLength(planted(t, map[string]string{"in/a.go": text(301), "in/a_test.go": text(451)})),
		"in/a.go has 301", "in/a_test.go has 451")
}
