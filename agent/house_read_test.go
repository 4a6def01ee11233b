package main

import (
	"bytes"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// A houseTree is the project as the house tests see it.
type houseTree struct {
	root     fs.FS
	position *token.FileSet
	files    []houseFile
	requires []houseRequire
}

// A houseFile is one Go file of it.
type houseFile struct {
	path  string // "routines/feed/calc.go"
	room  string // "routines/feed"
	test  bool   // a test, or in a room of testSupport: not shipped
	lines int
	ast   *ast.File
}

// A houseRequire is one module that go.mod asks for.
type houseRequire struct {
	module   string
	indirect bool
}

func readHouse(root fs.FS) (houseTree, error) {
	tree := houseTree{root: root, position: token.NewFileSet()}
	mod, err := fs.ReadFile(root, "go.mod")
	if err != nil {
		return tree, fmt.Errorf("read go.mod: %w", err)
	}
	tree.requires = parseRequires(string(mod))
	err = fs.WalkDir(root, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && notSource(name) {
			return fs.SkipDir
		}
		if d.IsDir() || path.Ext(name) != ".go" {
			return nil
		}
		return tree.readFile(name)
	})
	return tree, err
}

// notSource says which folders the go command does not look into.
func notSource(folder string) bool {
	base := path.Base(folder)
	return folder != "." && (base == "testdata" || strings.HasPrefix(base, ".") || strings.HasPrefix(base, "_"))
}

func (t *houseTree) readFile(name string) error {
	text, err := fs.ReadFile(t.root, name)
	if err != nil {
		return err
	}
	file, err := parser.ParseFile(t.position, name, text, parser.ParseComments|parser.SkipObjectResolution)
	if err != nil {
		return fmt.Errorf("parse: %w", err)
	}
	t.files = append(t.files, houseFile{path: name, room: path.Dir(name), test: notShipped(name),
		lines: bytes.Count(text, []byte("\n")), ast: file})
	return nil
}

// testSupport are rooms that tests alone import.
var testSupport = []string{"api/held"}

func notShipped(name string) bool {
	return strings.HasSuffix(name, "_test.go") || slices.Contains(testSupport, path.Dir(name))
}

// parseRequires reads the require lines of go.mod, alone or in a block.
func parseRequires(mod string) []houseRequire {
	var found []houseRequire
	block := ""
	for line := range strings.Lines(mod) {
		words := strings.Fields(line)
		switch {
		case len(words) == 2 && words[1] == "(":
			block = words[0]
			continue
		case len(words) == 1 && words[0] == ")":
			block = ""
			continue
		case len(words) > 0 && words[0] == "require":
			words = words[1:]
		case block != "require":
			continue
		}
		if len(words) >= 2 {
			found = append(found, houseRequire{words[0], strings.HasSuffix(strings.TrimSpace(line), "// indirect")})
		}
	}
	return found
}

// rooms lists the folders that hold Go files, sorted.
func (t houseTree) rooms() []string {
	var rooms []string
	for _, f := range t.files {
		rooms = append(rooms, f.room)
	}
	slices.Sort(rooms)
	return slices.Compact(rooms)
}

// at is a place in the source as an editor takes it: file and line.
func (t houseTree) at(p token.Pos) string {
	where := t.position.Position(p)
	return where.Filename + ":" + strconv.Itoa(where.Line)
}

// imports lists what the file imports, unquoted.
func (f houseFile) imports() []string {
	var paths []string
	for _, spec := range f.ast.Imports {
		if p, err := strconv.Unquote(spec.Path.Value); err == nil {
			paths = append(paths, p)
		}
	}
	return paths
}

func TestHouseReadsGoMod(t *testing.T) {
	got := parseRequires("module fettle\n\ngo 1.26.0\n\nrequire one.example/a v1.0.0\n\nrequire (\n\ttwo.example/b v1.2.3\n" +
		"\tthree.example/c v0.1.0 // indirect\n)\n\nexclude (\n\tfour.example/d v1.0.0\n)\n")
	want := []houseRequire{{"one.example/a", false}, {"two.example/b", false}, {"three.example/c", true}}
	if !slices.Equal(got, want) {
		t.Errorf("got %v, want %v", got, want)
	}
}
