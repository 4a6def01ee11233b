package main

import (
	"go/ast"
	"maps"
	"slices"
	"strings"
	"testing"
)

// falseTime are test files that wait and are used in bubbles alone, though they do not say so themselves.
var falseTime = map[string]string{
	"serialio/machine/bench_test.go": "a printer that is used in bubbles alone",
}

// checkSleep refuses waits that only a clock ends. A test that needs time to pass runs in a bubble of testing/synctest,
// by itself or by a function of its room; a wait in shipped code ends with its context as well.
func checkSleep(t houseTree, falseTime map[string]string) []string {
	var findings []string
	for _, f := range t.files {
		waits := append(t.uses(f, "time", "Sleep"), t.bareTimers(f)...)
		bubble, named := t.inBubble(f), f.test && falseTime[f.path] != ""
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

// inBubble says whether a test file makes a bubble, or calls a function of its room that makes one.
func (t houseTree) inBubble(f houseFile) bool {
	if !strings.HasSuffix(f.path, "_test.go") {
		return false
	}
	if slices.Contains(f.imports(), "testing/synctest") {
		return true
	}
	makers := t.bubbleMakers(f.room)
	calls := false
	ast.Inspect(f.ast, func(n ast.Node) bool {
		if call, ok := n.(*ast.CallExpr); ok {
			name, ok := call.Fun.(*ast.Ident)
			calls = calls || ok && slices.Contains(makers, name.Name)
		}
		return !calls
	})
	return calls
}

// bubbleMakers are the functions in a room's tests that make a bubble for their caller.
func (t houseTree) bubbleMakers(room string) []string {
	var names []string
	for _, f := range t.files {
		if f.room != room || !f.test {
			continue
		}
		for _, d := range f.ast.Decls {
			fn, ok := d.(*ast.FuncDecl)
			if ok && fn.Recv == nil && len(t.usesIn(f, fn, "testing/synctest", "Test")) > 0 {
				names = append(names, fn.Name.Name)
			}
		}
	}
	return names
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
	maker := "package in\nimport (\n\"testing/synctest\"\n)\nfunc inside(f func()) { synctest.Test(nil, nil) }"
	caller := "package in\nimport \"time\"\nfunc F() { inside(func() { time.Sleep(1) }) }"
	wantFindings(t, checkSleep(planted(t, map[string]string{"in/a_test.go": caller, "in/b_test.go": maker}), none))
	wantFindings(t, checkSleep(planted(t, map[string]string{"in/a_test.go": caller, "out/b_test.go": maker}), none), "in/a_test.go:3")
	named := map[string]string{"in/a_test.go": "because"}
	wantFindings(t, checkSleep(planted(t, map[string]string{"in/a_test.go": sleeps}), named))
	wantFindings(t, checkSleep(planted(t, map[string]string{"in/a_test.go": bubble}), named), "need not be")
	wantFindings(t, checkSleep(planted(t, map[string]string{"in/a_test.go": "package in"}), named), "need not be")
	wantFindings(t, checkSleep(planted(t, map[string]string{"in/b_test.go": "package in"}), named), "is not there")
}
