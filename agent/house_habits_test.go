package main

import (
	"go/ast"
	"maps"
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

// falseTime are test files that live in bubbles which another file of the room makes.
var falseTime = map[string]string{
	"serialio/line_test.go":          "each test runs in a bubble by printer_test.go",
	"serialio/machine/bench_test.go": "a printer that is used in bubbles alone",
}

// checkSleep refuses waits that only a clock ends. A test that needs time to pass runs in a bubble of testing/synctest,
// made in the same file or named above; a wait in shipped code ends with its context as well.
func checkSleep(t houseTree, falseTime map[string]string) []string {
	var findings []string
	for _, f := range t.files {
		waits := append(t.uses(f, "time", "Sleep"), t.bareTimers(f)...)
		bubble := f.test && slices.Contains(f.imports(), "testing/synctest")
		named := f.test && falseTime[f.path] != ""
		switch {
		case named && (bubble || len(waits) == 0):
			findings = append(findings, f.path+" is named as on false time, and need not be")
		case !named && !bubble:
			findings = append(findings, waits...)
		}
	}
	for _, path := range slices.Sorted(maps.Keys(falseTime)) {
		if !t.has(path) {
			findings = append(findings, path+" is named as on false time, and is not there")
		}
	}
	return findings
}

// bareTimers finds a statement <-time.After(d): a Sleep by another name.
func (t houseTree) bareTimers(f houseFile) []string {
	name := f.nameOf("time")
	var findings []string
	ast.Inspect(f.ast, func(n ast.Node) bool {
		block, ok := n.(*ast.BlockStmt)
		if !ok {
			return true
		}
		for _, s := range block.List {
			if isBareTimer(s, name) {
				findings = append(findings, t.at(s.Pos())+" waits for time.After alone")
			}
		}
		return true
	})
	return findings
}

func isBareTimer(s ast.Stmt, timeName string) bool {
	expr, ok := s.(*ast.ExprStmt)
	if !ok {
		return false
	}
	receive, ok := expr.X.(*ast.UnaryExpr)
	if !ok {
		return false
	}
	call, ok := receive.X.(*ast.CallExpr)
	return ok && selects(call.Fun, timeName, "After", "Tick")
}

// uses finds where a file names one of the functions of a standard package, under whatever name it imports it.
func (t houseTree) uses(f houseFile, pkg string, functions ...string) []string {
	name := f.nameOf(pkg)
	var findings []string
	ast.Inspect(f.ast, func(n ast.Node) bool {
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

func TestHouseNoticesSleep(t *testing.T) {
	var none map[string]string
	sleeps := "package in\nimport \"time\"\nfunc F() { time.Sleep(1) }"
	waits := "package in\nimport \"time\"\nfunc F() {\n<-time.After(1)\n}"
	selects := "package in\nimport \"time\"\nfunc F(c chan int) {\nselect {\ncase <-time.After(1):\ncase <-c:\n}\n}"
	bubble := "package in\nimport (\n\"testing/synctest\"\n\"time\"\n)\nfunc F() { synctest.Test(nil, nil); time.Sleep(1) }"
	wantFindings(t, checkSleep(planted(t, map[string]string{"in/a_test.go": bubble, "in/b.go": selects}), none))
	wantFindings(t, checkSleep(planted(t, map[string]string{"in/a_test.go": sleeps}), none), "in/a_test.go:3 uses time.Sleep")
	wantFindings(t, checkSleep(planted(t, map[string]string{"in/a.go": sleeps}), none), "in/a.go:3 uses time.Sleep")
	wantFindings(t, checkSleep(planted(t, map[string]string{"in/a.go": bubble}), none), "in/a.go:6 uses time.Sleep")
	wantFindings(t, checkSleep(planted(t, map[string]string{"in/a_test.go": waits}), none), "in/a_test.go:4 waits for time.After")
	named := map[string]string{"in/a_test.go": "because"}
	wantFindings(t, checkSleep(planted(t, map[string]string{"in/a_test.go": sleeps}), named))
	wantFindings(t, checkSleep(planted(t, map[string]string{"in/a_test.go": bubble}), named), "need not be")
	wantFindings(t, checkSleep(planted(t, map[string]string{"in/a_test.go": "package in"}), named), "need not be")
	wantFindings(t, checkSleep(planted(t, map[string]string{"in/b_test.go": "package in"}), named), "is not there")
}
