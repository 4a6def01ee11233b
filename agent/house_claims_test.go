package main

import (
	"fmt"
	"go/ast"
	"go/token"
	"io/fs"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"
)

// claims are what the program never says about itself, as it is no safety device. A denial may name one.
var claims = regexp.MustCompile(`(?i:\b(` + strings.Join([]string{
	`safe`, `fail-?safe`, `foolproof`, `protects`, `prevents (a |any )?fires?`, `emergency[ -]stop`, `unattended`,
	`overnight`, `certified`, `compliant with`, `tested to`, `guaranteed to stop`, `monitors for (a )?fire`,
	`food-?safe`, `harmless fumes`}, "|") + `)\b)|\b(SIL|PL|UL)\b`)

// denial is a clause that takes back what follows it: "is not certified", "never leave it unattended".
var denial = regexp.MustCompile(`(?i)\b(not|no|never|nor|nothing|don't|isn't)\b[^.,;:!?]{0,40}$`)

// insetName is a word of the CSS Environment Variables module and says nothing about the program.
var insetName = regexp.MustCompile(`\bsafe-area-inset-\w+`)

var spaces = regexp.MustCompile(`\s+`)

// checkClaims reads what a person may read: the two documents, the pages, the API document, and every string in shipped
// code.
func checkClaims(t houseTree) []string {
	names, err := t.prose()
	if err != nil {
		return []string{"look for texts: " + err.Error()}
	}
	var findings []string
	for _, name := range names {
		text, err := fs.ReadFile(t.root, name)
		if err != nil {
			findings = append(findings, "read "+name+": "+err.Error())
			continue
		}
		if utf8.Valid(text) {
			findings = append(findings, claimed(name, string(text))...)
		}
	}
	for _, f := range t.files {
		if !f.test {
			findings = append(findings, t.claimedStrings(f)...)
		}
	}
	return findings
}

// prose lists the files that are text for people.
func (t houseTree) prose() ([]string, error) {
	var names []string
	for _, name := range []string{"README.md", "DEVELOPERS.md", "api/openapi.yaml"} {
		if t.has(name) {
			names = append(names, name)
		}
	}
	if !t.has("web") {
		return names, nil
	}
	err := fs.WalkDir(t.root, "web", func(name string, d fs.DirEntry, err error) error {
		if err == nil && !d.IsDir() && !strings.HasSuffix(name, ".go") {
			names = append(names, name)
		}
		return err
	})
	return names, err
}

func (t houseTree) claimedStrings(f houseFile) []string {
	var findings []string
	ast.Inspect(f.ast, func(n ast.Node) bool {
		literal, ok := n.(*ast.BasicLit)
		if !ok || literal.Kind != token.STRING {
			return true
		}
		if text, err := strconv.Unquote(literal.Value); err == nil {
			findings = append(findings, claimed(t.at(literal.Pos()), text)...)
		}
		return true
	})
	return findings
}

// claimed finds the claims in a text that no denial stands before.
func claimed(where, text string) []string {
	text = spaces.ReplaceAllString(insetName.ReplaceAllString(text, ""), " ")
	var findings []string
	for _, at := range claims.FindAllStringIndex(text, -1) {
		if denial.MatchString(text[:at[0]]) {
			continue
		}
		from := max(0, at[0]-30)
		findings = append(findings, fmt.Sprintf("%s claims %q: ...%s", where, text[at[0]:at[1]], text[from:at[1]]))
	}
	return findings
}

func TestHouseNoticesClaims(t *testing.T) {
	for _, text := range []string{"It is a safe program", "It is fail-safe.", "It PROTECTS you", "prevents fire", "prevents\nfire",
		"leave it unattended", "an Emergency stop", "an emergency-stop", "SIL 2", "UL listed", "compliant with all of it",
		"It never fails. It is certified", "Not bad, it is certified"} {
		if len(claimed("x", text)) == 0 {
			t.Errorf("%q passes", text)
		}
	}
	for _, text := range []string{"It is not a safety device.", "It is not\nfail-safe", "nothing here is certified",
		"Never leave it unattended", "env(safe-area-inset-top)", "isSafeInteger", "PLA", "Ask twice: harmless"} {
		wantFindings(t, claimed("x", text))
	}
}

func TestHouseReadsForClaims(t *testing.T) {
	files := map[string]string{"README.md": "safe", "DEVELOPERS.md": "safe", "api/openapi.yaml": "safe", "web/index.html": "safe",
		"in/a.go": "package in\n\n// safe\nconst text = `quite safe`", "in/a_test.go": "package in\nconst other = `safe`"}
	wantFindings(t, checkClaims(planted(t, files)),
		"README.md claims", "DEVELOPERS.md claims", "api/openapi.yaml claims", "web/index.html claims", "in/a.go:4 claims")
}
