package serialio

import (
	"fmt"
	"slices"
	"strings"
	"testing"
)

// talkative lets a board say something of its own before its reply to each line of ours that is obeyed.
func talkative(p *printer, remark string) func(string) ([]string, bool) {
	return func(string) (says []string, mine bool) {
		for p.board.hasLine() {
			did, out := p.board.work()
			if did != nil && strings.HasPrefix(did.block, "G1") {
				says = append(says, remark)
			}
			says = append(says, out...)
		}
		return says, true
	}
}

// A remark may be about half a line of ours, so it is looked into. It is no noise if there was nothing to it: a firmware
// may make as many as it likes.
func TestRemarksAreNoNoise(t *testing.T) {
	for _, remark := range []string{"// a remark", "echo:a remark", "echo:busy: processing", "wait", " T:21.0 /0.0"} {
		bubble(t, func(t *testing.T) {
			p := &printer{}
			p.answer = talkative(p, remark)
			l := startLine(t, p)
			until(t, l, Listening)
			for i := range 3 * perMinute {
				if _, err := l.Send(t.Context(), "G1 E1 F60"); err != nil {
					t.Fatalf("%q, line %d: %v", remark, i, err)
				}
			}
			if n := len(slices.DeleteFunc(p.lines(), func(s string) bool { return s != "G1 E1 F60" })); n != 3*perMinute {
				t.Errorf("%q: the move was sent %d times", remark, n)
			}
		})
	}
}

// Noise is still noise: a reply that cannot be read is no remark.
func TestGarbledRepliesAreNoise(t *testing.T) {
	bubble(t, func(t *testing.T) {
		p := &printer{}
		p.answer = talkative(p, "ech\x01:a remark")
		l := startLine(t, p)
		until(t, l, Listening)
		for range 3 * perMinute {
			if _, err := l.Send(t.Context(), "G1 E1 F60"); err != nil {
				if !strings.Contains(err.Error(), "noisy") {
					t.Error(err)
				}
				return
			}
		}
		t.Error("no end of it")
	})
}

// Some firmware puts readings behind the fields of a numbered ok.
func TestReadingsBehindANumberedOKAreHandedOn(t *testing.T) {
	bubble(t, func(t *testing.T) {
		p := &printer{}
		p.answer = func(string) (says []string, mine bool) {
			for p.board.hasLine() {
				did, out := p.board.work()
				if did != nil && did.block == "M105" {
					out = []string{fmt.Sprintf("ok N%d P15 B3 T:21.5 /0.0", did.number)}
				}
				says = append(says, out...)
			}
			return says, true
		}
		l := startLine(t, p)
		until(t, l, Listening)
		r, err := l.Send(t.Context(), "M105")
		if err != nil || !slices.Equal(r.Lines, []string{"T:21.5 /0.0"}) || r.Doubtful {
			t.Errorf("%+v, %v", r, err)
		}
	})
}
