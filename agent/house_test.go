package main

import (
	"os"
	"strings"
	"testing"
	"testing/fstest"
)

// The house tests hold how the source is laid out: who imports whom, which outside module has which door, what a
// package says about itself. They read the source as text, so they need no network, and a file for another processor
// counts as well.

// A houseRule looks at the tree and says what is wrong with it, one sentence per finding.
type houseRule struct {
	name  string
	check func(houseTree) []string
}

var houseRules = []houseRule{
	{"imports are in the table", func(t houseTree) []string { return checkImports(t, permits) }},
	{"imports run downward", func(t houseTree) []string { return checkLayers(t, layers) }},
	{"outside modules have one door", func(t houseTree) []string { return checkDoors(t, doors) }},
	{"go.mod has a row per module", func(t houseTree) []string { return checkRequires(t, doors) }},
	{"packages say what they are", checkComments},
	{"read next can be read", checkReadNext},
	{"top level", checkTopLevel},
	{"file length", checkLength},
	{"no init", checkInit},
	{"process ends in main", checkExit},
	{"no waiting on the wall clock", func(t houseTree) []string { return checkSleep(t, falseTime) }},
	{"claims never made", checkClaims},
}

func TestHouse(t *testing.T) {
	tree, err := readHouse(os.DirFS(".."))
	if err != nil {
		t.Fatal(err)
	}
	for _, rule := range houseRules {
		t.Run(rule.name, func(t *testing.T) {
			for _, finding := range rule.check(tree) {
				t.Error(finding)
			}
		})
	}
}

// planted is a small tree made for a test: path to content.
func planted(t *testing.T, files map[string]string) houseTree {
	t.Helper()
	root := fstest.MapFS{}
	for path, content := range files {
		root[path] = &fstest.MapFile{Data: []byte(content)}
	}
	if _, ok := files["go.mod"]; !ok {
		root["go.mod"] = &fstest.MapFile{Data: []byte("module fettle\n")}
	}
	tree, err := readHouse(root)
	if err != nil {
		t.Fatal(err)
	}
	return tree
}

// wantFindings demands exactly these findings, each named by a part of it, in order; none wanted means a clean tree.
func wantFindings(t *testing.T, got []string, want ...string) {
	t.Helper()
	if len(got) != len(want) {
		t.Fatalf("got %d findings %q, want %d like %q", len(got), got, len(want), want)
	}
	for i := range want {
		if !strings.Contains(got[i], want[i]) {
			t.Errorf("finding %d is %q, want it to say %q", i, got[i], want[i])
		}
	}
}
