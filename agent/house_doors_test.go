package main

import (
	"fmt"
	"slices"
	"strings"
	"testing"
)

// A door is a room that may import an outside module. A second row for a module is a second door, and needs a reason
// of its own.
type door struct {
	module string
	room   string
	scope  scope
	why    string
}

var doors = []door{
	{"github.com/kelseyhightower/envconfig", "agent", inCode, "settings come from the environment, and only main reads that"},
	{"rsc.io/qr", "agent", inCode, "the picture that a terminal shows a phone; nothing else draws one"},
	{"github.com/labstack/echo/v4", "api", inCode, "HTTP: another router would touch one room"},
	{"github.com/gorilla/websocket", "api/live", inCode, "frames, close codes and slow listeners stay in one place"},
	{"github.com/ncruces/go-sqlite3", "routines/logbook", inCode, "all SQL stands in one room, so the engine can be changed there"},
	{"gonum.org/v1/gonum", "routines/gauge", inCode, "distributions and regression: nobody else does statistics"},
	{"github.com/tdewolff/minify/v2", "web", inCode, "comments and types are for who reads the files, and not for a phone to load"},
	{"go.bug.st/serial", "serialio/port", inCode, "its errors become ours at the door"},
	{"golang.org/x/sys", "serialio/port", inCode, "flock and inotify, which the serial library has not"},
	{"golang.org/x/sys", "serialio/standin", inCode, "the pseudo-terminal; it shares no code with the line"},
	{"golang.org/x/sys", "serialio", inTests, "a bare pty, which answers as fast as the kernel does"},
	{"go.bug.st/serial", "serialio/standin", inTests, "the stand-in's pty is opened by the library that opens real printers"},
	{"go.bug.st/serial", "agent", inTests, "another program that was at the printer before us"},
	{"github.com/chromedp/chromedp", "agent", inTests, "a real browser looks at the pages; not shipped"},
	{"github.com/chromedp/cdproto", "agent", inTests, "the browser's own words, where chromedp has none for them"},
	{"github.com/getkin/kin-openapi", "api/held", inTests, "holds the server to openapi.yaml; not shipped"},
}

// testingModules may be imported by the tests of any room, and by no shipped code.
var testingModules = map[string]string{
	"pgregory.net/rapid": "property tests, wherever there is a property",
}

// checkDoors holds each outside import to the table, and the table to the tree.
func checkDoors(t houseTree, doors []door) []string {
	var findings []string
	used := map[door]bool{}
	for _, f := range t.files {
		for _, path := range f.outside() {
			module := t.moduleOf(path)
			if testingModules[module] != "" && f.test {
				continue
			}
			d, ok := doorOf(doors, module, f)
			if !ok {
				findings = append(findings, fmt.Sprintf("%s imports %s, and %s is no door to it", f.path, path, f.column()))
			}
			used[d] = used[d] || f.test == (d.scope == inTests)
		}
	}
	for _, d := range doors {
		if !used[d] {
			findings = append(findings, fmt.Sprintf("the door %s in %s (%s) no longer stands: nobody goes through it", d.module, d.room, d.scope))
		}
	}
	return findings
}

func doorOf(doors []door, module string, f houseFile) (door, bool) {
	i := slices.IndexFunc(doors, func(d door) bool {
		return d.module == module && d.room == f.room && d.why != "" && (f.test || d.scope == inCode)
	})
	if i < 0 {
		return door{}, false
	}
	return doors[i], true
}

// outside lists the imports that are neither ours nor the standard library's: those have a dot in their first element.
func (f houseFile) outside() []string {
	var paths []string
	for _, p := range f.imports() {
		if first, _, _ := strings.Cut(p, "/"); strings.Contains(first, ".") {
			paths = append(paths, p)
		}
	}
	return paths
}

// moduleOf is the module of go.mod that an import belongs to, or the import itself.
func (t houseTree) moduleOf(path string) string {
	best := ""
	for _, r := range t.requires {
		if (path == r.module || strings.HasPrefix(path, r.module+"/")) && len(r.module) > len(best) {
			best = r.module
		}
	}
	if best == "" {
		return path
	}
	return best
}

// checkRequires demands a row for every module that go.mod asks for directly.
func checkRequires(t houseTree, doors []door) []string {
	var findings []string
	for _, r := range t.requires {
		known := testingModules[r.module] != "" || slices.ContainsFunc(doors, func(d door) bool { return d.module == r.module })
		if !r.indirect && !known {
			findings = append(findings, "go.mod requires "+r.module+", which has no door")
		}
	}
	return findings
}

func TestHouseNoticesDoors(t *testing.T) {
	files := map[string]string{
		"go.mod":       "module fettle\nrequire out.example/lib v1.0.0\n",
		"in/a.go":      "package in\nimport (\n\"fmt\"\n_ \"out.example/lib/part\"\n)\nvar _ = fmt.Sprint",
		"in/b_test.go": "package in\nimport _ \"pgregory.net/rapid\"",
	}
	row := door{"out.example/lib", "in", inCode, "because"}
	wantFindings(t, checkDoors(planted(t, files), []door{row}))
	wantFindings(t, checkRequires(planted(t, files), []door{row}))
	wantFindings(t, checkDoors(planted(t, files), nil), "in/a.go imports out.example/lib/part")
	wantFindings(t, checkRequires(planted(t, files), nil), "go.mod requires out.example/lib")
	wantFindings(t, checkDoors(planted(t, files), []door{{"out.example/lib", "in", inTests, "because"}}),
		"in/a.go imports", "(tests) no longer stands")
	files["other/c.go"] = "package other\nimport (\n_ \"out.example/lib\"\n_ \"pgregory.net/rapid\"\n)"
	wantFindings(t, checkDoors(planted(t, files), []door{row}), "other/c.go imports out.example/lib,", "other/c.go imports pgregory.net/rapid")
	wantFindings(t, checkDoors(planted(t, map[string]string{"in/a.go": "package in"}), []door{row}), "no longer stands")
}
