package main

import (
	"go/ast"
	"path"
	"slices"
	"strconv"
	"testing"
)

// checkInit refuses init functions: nothing happens because a package was imported.
func checkInit(t houseTree) []string {
	var findings []string
	for _, f := range t.files {
		for _, d := range f.ast.Decls {
			if fn, ok := d.(*ast.FuncDecl); ok && fn.Recv == nil && fn.Name.Name == "init" {
				findings = append(findings, t.at(fn.Pos())+" has an init function")
			}
		}
	}
	return findings
}

// checkExit lets the process end in main alone. Test binaries that start themselves anew end as they like.
func checkExit(t houseTree) []string {
	var findings []string
	for _, f := range t.files {
		if f.test {
			continue
		}
		if f.path != "agent/main.go" {
			findings = append(findings, t.uses(f, "os", "Exit")...)
		}
		findings = append(findings, t.uses(f, "log", "Fatal", "Fatalf", "Fatalln")...)
	}
	return findings
}

// uses finds where a file names one of the functions of a standard package, under whatever name it imports it.
func (t houseTree) uses(f houseFile, pkg string, functions ...string) []string {
	return t.usesIn(f, f.ast, pkg, functions...)
}

// usesIn is uses for a part of the file.
func (t houseTree) usesIn(f houseFile, part ast.Node, pkg string, functions ...string) []string {
	name := f.nameOf(pkg)
	var findings []string
	ast.Inspect(part, func(n ast.Node) bool {
		if e, ok := n.(*ast.SelectorExpr); ok && selects(e, name, functions...) {
			findings = append(findings, t.at(e.Pos())+" uses "+pkg+"."+e.Sel.Name)
		}
		return true
	})
	return findings
}

func selects(e ast.Expr, pkg string, functions ...string) bool {
	selector, ok := e.(*ast.SelectorExpr)
	if !ok || pkg == "" {
		return false
	}
	x, ok := selector.X.(*ast.Ident)
	return ok && x.Name == pkg && slices.Contains(functions, selector.Sel.Name)
}

// nameOf is how the file calls a package that it imports, or "".
func (f houseFile) nameOf(pkg string) string {
	for _, spec := range f.ast.Imports {
		if p, err := strconv.Unquote(spec.Path.Value); err != nil || p != pkg {
			continue
		}
		if spec.Name != nil {
			return spec.Name.Name
		}
		return path.Base(pkg)
	}
	return ""
}

func TestHouseNoticesInit(t *testing.T) {
	wantFindings(t, checkInit(planted(t, map[string]string{"in/a.go": "package in\ntype t int\nfunc (t) init() {}"})))
	wantFindings(t, checkInit(planted(t, map[string]string{"in/a.go": "package in\n\nfunc init() {}"})), "in/a.go:3")
}

func TestHouseNoticesExit(t *testing.T) {
	exits := "package in\nimport \"os\"\nfunc F() { os.Exit(1) }"
	wantFindings(t, checkExit(planted(t, map[string]string{"agent/main.go": exits, "in/a_test.go": exits})))
	wantFindings(t, checkExit(planted(t, map[string]string{"agent/other.go": exits})), "agent/other.go:3 uses os.Exit")
	wantFindings(t, checkExit(planted(t, map[string]string{
		"agent/main.go": "package main\nimport \"log\"\nfunc main() { log.Fatal(1) }"})), "uses log.Fatal")
	wantFindings(t, checkExit(planted(t, map[string]string{
		"in/a.go": "package in\nimport system \"os\"\nvar End = system.Exit"})), "in/a.go:3 uses os.Exit")
}
