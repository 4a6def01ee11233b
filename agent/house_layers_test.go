package main

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"
)

// layers orders the rooms from the ground up. A room imports only rooms of the layers below its own. Its tests may look
// up: the compiler keeps them from closing a ring.
var layers = [][]string{
	{"routines/gauge", "routines/melt", "routines/rung", "serialio/gcode", "serialio/judge", "serialio/port", "serialio/pulse", "serialio/standin", "web"},
	{"routines", "routines/piece", "serialio"},
	{"routines/cable", "routines/docket", "routines/logbook", "routines/replay", "serialio/machine"},
	{"routines/feed", "routines/spool"},
	{"api/guard", "routines/ladder", "routines/runner"},
	{"api/live"},
	{"api"},
	{"agent", "api/held"},
}

// checkLayers lets every import go downward, so that there is no ring.
func checkLayers(t houseTree, layers [][]string) []string {
	level := map[string]int{}
	for i, layer := range layers {
		for _, room := range layer {
			level[room] = i
		}
	}
	var findings []string
	for _, room := range t.rooms() {
		if _, ok := level[room]; !ok {
			findings = append(findings, room+" is in no layer")
		}
		delete(level, room)
	}
	for _, room := range slices.Sorted(maps.Keys(level)) {
		findings = append(findings, room+" has a layer and no Go file")
	}
	return append(findings, upward(t, layers)...)
}

func upward(t houseTree, layers [][]string) []string {
	level := func(room string) int {
		return slices.IndexFunc(layers, func(l []string) bool { return slices.Contains(l, room) })
	}
	var findings []string
	for _, f := range t.files {
		for _, to := range f.ours() {
			if level(f.room) <= level(to) && !strings.HasSuffix(f.path, "_test.go") {
				findings = append(findings, fmt.Sprintf("%s imports %s, which is not below it", f.path, to))
			}
		}
	}
	return findings
}

func TestHouseNoticesLayers(t *testing.T) {
	tree := planted(t, map[string]string{"low/a.go": "package low", "high/b.go": "package high\nimport _ \"fettle/low\""})
	wantFindings(t, checkLayers(tree, [][]string{{"low"}, {"high"}}))
	wantFindings(t, checkLayers(tree, [][]string{{"high"}, {"low"}}), "high/b.go imports low")
	wantFindings(t, checkLayers(tree, [][]string{{"low", "high"}}), "high/b.go imports low")
	wantFindings(t, checkLayers(tree, [][]string{{"low"}}), "high is in no layer", "high/b.go imports low")
	wantFindings(t, checkLayers(tree, [][]string{{"low"}, {"high", "gone"}}), "gone has a layer")
	tests := planted(t, map[string]string{"low/a_test.go": "package low_test\nimport _ \"fettle/high\"", "high/b.go": "package high"})
	wantFindings(t, checkLayers(tests, [][]string{{"low"}, {"high"}}))
}
