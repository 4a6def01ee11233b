package main

import (
	"fmt"
	"slices"
	"strings"
	"testing"
)

const ours = "fettle/"

// A permit lets one room import another of ours.
type permit struct {
	from, to string
	scope    scope
	why      string
}

// scope says where a permit is for. One for inCode serves the room's tests too; test support has inTests alone.
type scope string

const (
	inCode  scope = "code"
	inTests scope = "tests"
)

// permits is who may import whom. A room's external tests may import the room itself without a row.
var permits = []permit{
	{"agent", "api", inCode, "wiring: the HTTP door"},
	{"agent", "api/guard", inCode, "wiring: the door; the commands that open it write the same store"},
	{"agent", "routines", inCode, "wiring: the list of routines"},
	{"agent", "routines/cable", inCode, "wiring: the list of routines"},
	{"agent", "routines/feed", inCode, "wiring: the list of routines"},
	{"agent", "routines/gauge", inCode, "demo: what the person beside the stand-in reads with"},
	{"agent", "routines/ladder", inCode, "wiring: the list of routines"},
	{"agent", "routines/logbook", inCode, "wiring: opened and closed here"},
	{"agent", "routines/runner", inCode, "wiring: run and ended here"},
	{"agent", "routines/spool", inCode, "wiring: the list of routines"},
	{"agent", "serialio", inCode, "wiring: one line per printer"},
	{"agent", "serialio/machine", inCode, "wiring: one machine per line"},
	{"agent", "serialio/port", inCode, "wiring: how a line is opened, what is plugged in"},
	{"agent", "serialio/pulse", inCode, "wiring: who waits is told when a port is plugged in"},
	{"agent", "web", inCode, "wiring: the pages that answer outside the API"},
	{"agent", "serialio/standin", inCode, "demo: the printer that is not there"},
	{"agent", "serialio/gcode", inTests, "a program for a routine that only streams"},
	{"agent", "routines/piece", inTests, "what a piece is said to take, beside what the stand-in takes"},
	{"agent", "routines/rung", inTests, "the chooser against the stand-in's own equations"},
	{"agent", "routines/melt", inTests, "where its search begins on them"},
	{"agent", "api/held", inTests, "the whole program is held to the document, too"},

	{"api", "api/guard", inCode, "who may do what, asked before each route"},
	{"api", "api/live", inCode, "the routes that are upgraded to a websocket"},
	{"api", "routines", inCode, "fields and questions as they are sent"},
	{"api", "routines/docket", inCode, "dockets as they are sent"},
	{"api", "routines/logbook", inCode, "records as they are sent, and the claims of Idempotency-Key"},
	{"api", "routines/runner", inCode, "the one call that a request makes"},
	{"api/guard", "routines/logbook", inCode, "who was let in, as it is kept"},
	{"api/live", "api/guard", inCode, "a socket ends when its owner's key is taken away"},
	{"api/live", "routines/logbook", inCode, "numbered events as they are sent"},
	{"api/live", "routines/runner", inCode, "readings and wire lines as they are sent"},
	{"api", "api/held", inTests, "every exchange of a test is held to the document"},
	{"api", "serialio/pulse", inTests, "the runner of the tests tells its listeners as the real one does"},
	{"api/held", "api", inTests, "the document"},

	{"routines/runner", "routines", inCode, "executes them"},
	{"routines/runner", "routines/docket", inCode, "what is due on a printer, and what is handed over to it"},
	{"routines/runner", "routines/logbook", inCode, "stores what a person must know before anyone is told"},
	{"routines/runner", "serialio", inCode, "the states and errors of a line, which it tells apart"},
	{"routines/runner", "serialio/gcode", inCode, "settings reports, compared before and after a write"},
	{"routines/runner", "serialio/machine", inCode, "acts on a printer within limits"},
	{"routines/runner", "serialio/pulse", inCode, "tells its listeners and waits for none"},
	{"routines/runner", "routines/feed", inTests, "a real procedure to execute"},
	{"routines/runner", "routines/cable", inTests, "a real procedure that streams"},
	{"routines/runner", "serialio/standin", inTests, "a printer that somebody else wrote"},

	{"routines/docket", "routines", inCode, "entries and setups, of which a docket is made"},
	{"routines/docket", "routines/gauge", inCode, "what a row of feed checks says about drift"},
	{"routines/docket", "routines/melt", inCode, "the ceiling of what may be typed, which is a ladder's"},
	{"routines/cable", "routines", inCode, "the words of a procedure"},
	{"routines/cable", "serialio/gcode", inCode, "the program that it sends"},
	{"routines/docket", "serialio/gcode", inCode, "the settings that a docket is compared with"},
	{"routines/ladder", "routines", inCode, "the words of a procedure"},
	{"routines/ladder", "routines/docket", inCode, "whether an earlier value still holds"},
	{"routines/ladder", "routines/melt", inCode, "where a length begins, and what speed is enough"},
	{"routines/ladder", "routines/piece", inCode, "the piece it prints"},
	{"routines/ladder", "routines/rung", inCode, "which lengths the next piece has"},
	{"routines/ladder", "serialio/gcode", inCode, "what the printer says of its motion"},
	{"routines/replay", "routines", inCode, "a run and its facts"},
	{"routines/cable", "routines/replay", inTests, "a finished run, from each of its prefixes"},
	{"routines/feed", "routines/replay", inTests, "a finished run, from each of its prefixes"},
	{"routines/ladder", "routines/replay", inTests, "a finished run, from each of its prefixes"},
	{"routines/spool", "routines/replay", inTests, "a finished run, from each of its prefixes"},
	{"routines/piece", "serialio/gcode", inCode, "the program that prints it"},
	{"routines", "serialio/gcode", inCode, "what a printer reports is shown to a routine as read"},
	{"routines/feed", "routines", inCode, "the words of a procedure"},
	{"routines/feed", "routines/docket", inCode, "whether an earlier value still holds"},
	{"routines/feed", "routines/gauge", inCode, "how well the fed length was measured"},
	{"routines/feed", "serialio/gcode", inCode, "the settings that it compares"},
	{"routines/spool", "routines", inCode, "the words of a procedure"},
	{"routines/spool", "routines/docket", inCode, "which diameters can be of the filament that is fitted"},
	{"routines/spool", "routines/gauge", inCode, "mean and uncertainty of the readings"},
	{"routines/logbook", "routines", inCode, "facts, setups, materials and entries as they are stored"},
	{"routines/logbook", "serialio/pulse", inCode, "tells its listeners and waits for none"},

	{"serialio", "serialio/gcode", inCode, "prints what is sent, reads what is said"},
	{"serialio", "serialio/pulse", inCode, "tells its listeners and waits for none"},
	{"serialio", "serialio/port", inTests, "a real port to a bare pty"},
	{"serialio", "serialio/judge", inTests, "the verdict of somebody who shares no code with either side"},
	{"serialio", "serialio/standin", inTests, "a printer that somebody else wrote, and that lies"},
	{"serialio/machine", "serialio", inCode, "the line it asks"},
	{"serialio/machine", "serialio/gcode", inCode, "builds blocks and reads readings"},
	{"serialio/machine", "serialio/port", inTests, "a real port to the stand-in"},
	{"serialio/machine", "serialio/standin", inTests, "heat and feed on a printer that somebody else wrote"},
}

// checkImports holds the tree to the table, and the table to the tree.
func checkImports(t houseTree, permits []permit) []string {
	var findings []string
	used := map[permit]bool{}
	for _, f := range t.files {
		for _, to := range f.ours() {
			p, ok := permitted(permits, f.room, to, f.test)
			if !ok {
				findings = append(findings, fmt.Sprintf("%s imports %s, and no row lets %s do that", f.path, to, f.column()))
			}
			used[p] = used[p] || f.test == (p.scope == inTests)
		}
	}
	for _, p := range permits {
		if !used[p] {
			findings = append(findings, fmt.Sprintf("the row %s -> %s (%s) no longer stands: nothing imports it there", p.from, p.to, p.scope))
		}
	}
	return findings
}

func permitted(permits []permit, from, to string, test bool) (permit, bool) {
	i := slices.IndexFunc(permits, func(p permit) bool {
		return p.from == from && p.to == to && p.why != "" && (test || p.scope == inCode && !slices.Contains(testSupport, to))
	})
	if i < 0 {
		return permit{}, false
	}
	return permits[i], true
}

// ours lists the other rooms that the file imports.
func (f houseFile) ours() []string {
	var rooms []string
	for _, p := range f.imports() {
		if room, ok := strings.CutPrefix(p, ours); ok && !(f.test && room == f.room) {
			rooms = append(rooms, room)
		}
	}
	return rooms
}

func (f houseFile) column() string {
	if f.test {
		return "the tests of " + f.room
	}
	return f.room
}

func TestHouseNoticesImports(t *testing.T) {
	tree := planted(t, map[string]string{
		"low/a.go":       "package low",
		"high/b.go":      "package high\nimport _ \"fettle/low\"",
		"high/b_test.go": "package high_test\nimport (\n_ \"fettle/high\"\n_ \"fettle/low\"\n)",
	})
	row := permit{"high", "low", inCode, "because"}
	wantFindings(t, checkImports(tree, []permit{row}))
	wantFindings(t, checkImports(tree, nil), "high/b.go imports low", "high/b_test.go imports low")
	wantFindings(t, checkImports(tree, []permit{{"high", "low", inTests, "because"}}), "high/b.go imports low")
	wantFindings(t, checkImports(tree, []permit{row, {"low", "high", inCode, "because"}}), "low -> high (code) no longer stands")
	wantFindings(t, checkImports(tree, []permit{{"high", "low", inCode, ""}}), "b.go imports", "b_test.go imports", "no longer stands")
}

func TestHouseNoticesAStaleCodeRow(t *testing.T) {
	tree := planted(t, map[string]string{"high/b_test.go": "package high\nimport _ \"fettle/low\""})
	wantFindings(t, checkImports(tree, []permit{{"high", "low", inTests, "because"}}))
	wantFindings(t, checkImports(tree, []permit{{"high", "low", inCode, "because"}}), "high -> low (code) no longer stands")
}

func TestHouseNoticesShippedTestSupport(t *testing.T) {
	tree := planted(t, map[string]string{"api/held/a.go": "package held", "api/b.go": "package api\nimport _ \"fettle/api/held\""})
	for _, s := range []scope{inCode, inTests} {
		findings := checkImports(tree, []permit{{"api", "api/held", s, "because"}})
		wantFindings(t, findings, "api/b.go imports api/held", "no longer stands")
	}
}
