package serialio

import (
	"os"
	"strconv"
	"strings"
	"testing"
)

// op is one line of a transcript.
type op struct {
	kind  byte
	text  string
	where string // for a failure
	own   bool   // of the exchange itself, not of the one it begins with
}

// readExchange reads a transcript, with the one it begins with before it.
func readExchange(t testing.TB, file string) []op {
	t.Helper()
	text, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	var ops []op
	for i, line := range strings.Split(string(text), "\n") {
		switch {
		case line == "" || line[0] == '#':
		case line[0] == '~':
			for _, o := range readExchange(t, "testdata/transcripts/"+strings.TrimSpace(line[1:])+".txt") {
				o.own = false
				ops = append(ops, o)
			}
		default:
			where := nameOf(file) + ":" + strconv.Itoa(i+1) + ": " + line
			ops = append(ops, op{line[0], plain(t, line, where), where, true})
		}
	}
	return ops
}

// plain is what stands behind a line's sign. What a printer says may hold \r or \x01, as Go writes them.
func plain(t testing.TB, line, where string) string {
	t.Helper()
	if line[0] != '<' {
		return strings.TrimPrefix(line[1:], " ")
	}
	text := line[2:]
	if !strings.Contains(text, `\`) {
		return text
	}
	text, err := strconv.Unquote(`"` + strings.ReplaceAll(text, `"`, `\"`) + `"`)
	if err != nil {
		t.Fatalf("%s: %v", where, err)
	}
	return text
}

// bytesSaid is how many bytes the printer says in an exchange itself, line ends included.
func bytesSaid(ops []op) int {
	n := 0
	for _, o := range ops {
		if o.kind == '<' && o.own {
			n += len(o.text) + 1
		}
	}
	return n
}
