package main

import (
	"fmt"
	"io/fs"
	"path"
	"regexp"
	"strings"
	"testing"
)

// commentParts are the parts of a package comment behind the sentence that says what the package is, in their order.
var commentParts = []string{"\nOwns: ", "\nGuarantees: ", "\nDoes not do: ", "\nRead next: "}

// checkComments demands one package comment per room, with its five parts.
func checkComments(t houseTree) []string {
	var findings []string
	for _, room := range t.rooms() {
		comments := t.comments(room)
		if len(comments) != 1 {
			findings = append(findings, fmt.Sprintf("%s has %d package comments, not one", room, len(comments)))
			continue
		}
		findings = append(findings, lackingParts(room, comments[0])...)
	}
	return findings
}

// comments are the package comments of a room, outside its tests.
func (t houseTree) comments(room string) []string {
	var found []string
	for _, f := range t.files {
		if f.room == room && !strings.HasSuffix(f.path, "_test.go") && f.ast.Doc != nil {
			found = append(found, f.ast.Doc.Text())
		}
	}
	return found
}

func lackingParts(room, comment string) []string {
	var findings []string
	name := path.Base(room)
	if !strings.HasPrefix(comment, "Package "+name+" ") && !strings.HasPrefix(comment, "Command "+name+" ") {
		findings = append(findings, fmt.Sprintf("%s: the package comment does not begin with what %s is", room, name))
	}
	rest := comment
	for _, part := range commentParts {
		_, after, ok := strings.Cut(rest, part)
		if !ok {
			findings = append(findings, fmt.Sprintf("%s: the package comment lacks %q, or has it out of order", room, strings.TrimSpace(part)))
			continue
		}
		rest = after
	}
	return findings
}

var namedFile = regexp.MustCompile(`[\w./-]+\.(go|sql|yaml|md|html|m?js)\b`)

// checkReadNext demands that every file a package comment sends its reader to is there, beside it or from the root.
func checkReadNext(t houseTree) []string {
	var findings []string
	for _, room := range t.rooms() {
		for _, comment := range t.comments(room) {
			_, next, _ := strings.Cut(comment, commentParts[3])
			for _, name := range namedFile.FindAllString(next, -1) {
				if !t.has(path.Join(room, name)) && !t.has(path.Clean(name)) {
					findings = append(findings, fmt.Sprintf("%s: the package comment says to read %s, which is not there", room, name))
				}
			}
		}
	}
	return findings
}

func (t houseTree) has(name string) bool {
	_, err := fs.Stat(t.root, name)
	return err == nil
}

const goodComment = `// Package in is a room.
//
// Owns: a thing.
// Guarantees: a thing,
// and another.
// Does not do: a thing.
// Read next: %s.
package in
`

func TestHouseNoticesComments(t *testing.T) {
	comment := fmt.Sprintf(goodComment, "b.go")
	check := func(text string) []string {
		return checkComments(planted(t, map[string]string{"in/a.go": text}))
	}
	wantFindings(t, check(comment))
	wantFindings(t, check("package in"), "in has 0 package comments")
	wantFindings(t, check(strings.Replace(comment, "Package in", "This", 1)), "does not begin")
	wantFindings(t, check(strings.Replace(comment, "// Owns: a thing.\n", "", 1)), `lacks "Owns:"`)
	wantFindings(t, check(strings.Replace(comment, "Read next: b.go", "Read", 1)), `lacks "Read next:"`)
	swapped := strings.NewReplacer("Owns:", "Guarantees:", "Guarantees:", "Owns:").Replace(comment)
	wantFindings(t, check(swapped), `lacks "Guarantees:"`)
	twice := planted(t, map[string]string{"in/a.go": comment, "in/b.go": comment, "in/c_test.go": comment})
	wantFindings(t, checkComments(twice), "in has 2 package comments")
}

func TestHouseNoticesWhatCannotBeReadNext(t *testing.T) {
	check := func(next string) []string {
		text := fmt.Sprintf(goodComment, next)
		return checkReadNext(planted(t, map[string]string{"in/a.go": text, "in/b.go": "package in", "out/c.go": "package out"}))
	}
	wantFindings(t, check("b.go (the rest), out/c.go, then out"))
	wantFindings(t, check("b.go, gone.go"), "says to read gone.go")
}
