package gcode

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// eachDamage hands on every line that one byte makes of another: changed to each of the others, lost, doubled.
func eachDamage(line []byte, hear func(damaged []byte)) {
	room := make([]byte, 0, len(line)+1)
	for i := range line {
		changed := append(room[:0], line...)
		for c := range 256 {
			if changed[i] = byte(c); changed[i] != line[i] {
				hear(changed)
			}
		}
		hear(append(append(room[:0], line[:i]...), line[i+1:]...))
		hear(append(append(room[:0], line[:i+1]...), line[i:]...))
	}
}

// saidInTranscripts is every line that a printer says in the recorded exchanges, each once.
func saidInTranscripts(t testing.TB) []string {
	t.Helper()
	files, err := filepath.Glob("../testdata/transcripts/*.txt")
	if err != nil || len(files) < 40 {
		t.Fatalf("%d transcripts, %v", len(files), err)
	}
	var said []string
	for _, file := range files {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		for _, line := range strings.Split(string(text), "\n") {
			if reply, ok := strings.CutPrefix(line, "< "); ok && !strings.Contains(reply, `\`) && len(reply) < 200 {
				said = append(said, reply)
			}
		}
	}
	slices.Sort(said)
	return slices.Compact(said)
}

// TestWhatOneDamagedByteCanPassFor damages every reply of the transcripts at every byte, in every way, and counts what
// passes for a clean reply that it is not. No reply of another kind may pass for an ok. A number that loses or changes a
// digit is another number: that can not be seen in the line, so the line in flight is asked after, and an obedience
// needs its number said twice.
func TestWhatOneDamagedByteCanPassFor(t *testing.T) {
	passes, total := map[string]int{}, map[ReplyKind]int{}
	for _, line := range saidInTranscripts(t) {
		was := ParseReply([]byte(line))
		if was.Doubtful {
			continue
		}
		eachDamage([]byte(line), func(damaged []byte) {
			total[was.Kind]++
			r := ParseReply(damaged)
			if r.Doubtful || same(was, r) {
				return
			}
			passes[fmt.Sprintf("%-8v for another %v", was.Kind, what(was, r))]++
			switch {
			case r.Kind == OK && was.Kind != OK:
				t.Errorf("%q passes for an ok: %q", line, damaged)
			case r.Kind == Greeting || r.Kind == Fatal && was.Kind != Fatal:
				t.Errorf("%q passes for a %v: %q", line, r.Kind, damaged)
			case r.Kind == Resend && was.Kind != Resend:
				t.Errorf("%q passes for a Resend: %q", line, damaged)
			}
		})
	}
	for _, name := range sortedKeys(passes) {
		kind := strings.Fields(name)[0]
		for k, n := range total {
			if k.String() == kind {
				t.Logf("%-34s %7d of %8d, %.3f %%", name, passes[name], n, 100*float64(passes[name])/float64(n))
			}
		}
	}
}

// same reports whether two replies say the same to the line.
func same(a, b Reply) bool {
	if a.Kind != b.Kind || a.HasLine != b.HasLine || (a.HasLine && a.Line != b.Line) {
		return false
	}
	ta, oka := ParseTemperatures(a.Text)
	tb, okb := ParseTemperatures(b.Text)
	return ta == tb && oka == okb
}

// what says in what two clean replies differ.
func what(a, b Reply) string {
	switch {
	case a.Kind != b.Kind:
		return b.Kind.String()
	case a.HasLine && !b.HasLine:
		return "without its number"
	case a.Line != b.Line:
		return "number"
	}
	return "temperature"
}

func sortedKeys(m map[string]int) []string {
	var keys []string
	for k := range m {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}

// TestHowOftenALostByteGivesACleanWrongReading prints the share of places at which one lost byte of a report gives another
// nozzle temperature, or another target, and no sign of it: replies carry no check. It is the reason why nothing is acted
// upon that was read only once. A prototype measured 11.0 % of places for the nozzle.
func TestHowOftenALostByteGivesACleanWrongReading(t *testing.T) {
	for _, line := range []string{"ok T:201.3 /205.0 B:59.9 /60.0 @:64 B@:0", " T:201.3 /205.0 B:59.9 /60.0", "ok T:21.4 /0.0 B:20.9 /0.0 @:0 B@:0"} {
		was, _ := ParseTemperatures(ParseReply([]byte(line)).Text)
		nozzle, target, none := 0, 0, 0
		for i := range line {
			r := ParseReply(slices.Concat([]byte(line[:i]), []byte(line[i+1:])))
			got, ok := ParseTemperatures(r.Text)
			switch {
			case r.Doubtful || !ok || !got.HasNozzle:
				none++
			case got.NozzleC != was.NozzleC:
				nozzle++
			case got.NozzleTargetC != was.NozzleTargetC:
				target++
			}
		}
		share := func(n int) float64 { return 100 * float64(n) / float64(len(line)) }
		t.Logf("%-42q another nozzle temperature %.1f %% of places, another target %.1f %%, no reading %.1f %%", line, share(nozzle), share(target), share(none))
		if nozzle > 5 || target > 5 { // as many as the digits and the point
			t.Errorf("%q: %d, %d", line, nozzle, target)
		}
	}
}

// TestNoNumberIsNoDamage: no single damaged byte of a report makes a sensor that cannot be read of one that can.
func TestNoNumberIsNoDamage(t *testing.T) {
	for _, line := range []string{"T:201.3 /205.0 B:59.9 /60.0 @:64 B@:0", "ok T:21.4 /0.0", "T:205 /205", "T0:9.5 /0.0 T1:9.0 /0.0"} {
		eachDamage([]byte(line), func(damaged []byte) {
			if got, _ := ParseTemperatures(damaged); got.NoNumber {
				t.Errorf("%q of %q", damaged, line)
			}
		})
	}
}
