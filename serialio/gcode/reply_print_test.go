package gcode

import (
	"fmt"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// printed is a clean reply as a printer would say it. What it prints reads back as the same reply.
func printed(r Reply) string {
	text := string(r.Text)
	switch r.Kind {
	case OK:
		return printedOK(r)
	case Resend:
		return "Resend: " + strconv.FormatInt(r.Line, 10)
	case Busy:
		return "busy: " + text
	case Error:
		return "Error:" + text
	case Fatal:
		return "!! " + text
	case Remark:
		return "echo:" + text
	}
	if strings.HasPrefix(text, ";") { // a heading among settings
		return "echo:" + text
	}
	return text
}

func printedOK(r Reply) string {
	words := []string{"ok"}
	if r.HasLine {
		words = append(words, "N"+strconv.FormatInt(r.Line, 10))
	}
	if len(r.Text) > 0 {
		words = append(words, string(r.Text))
	}
	return strings.Join(words, " ")
}

// readsBack holds a clean reply to its printed form. Where a reader is to be told apart from another it is by kind, number
// and text; a spelling is not kept.
func readsBack(t interface{ Fatalf(string, ...any) }, line []byte, r Reply) {
	again := ParseReply([]byte(printed(r)))
	sameText := string(again.Text) == string(r.Text) || r.Kind == Resend
	if again.Kind != r.Kind || again.HasLine != r.HasLine || again.Line != r.Line || !sameText || again.Doubtful {
		t.Fatalf("%q is %+v, printed %q, which is %+v", line, r, printed(r), again)
	}
	if printed(again) != printed(r) {
		t.Fatalf("%q printed %q and then %q", line, printed(r), printed(again))
	}
}

// steady reports whether a reply's text is one that its printed form can hold: a remark's may itself be of another kind
// ("echo:; a heading" aside, "// busy:" is none), and an error may hold the words of a fault.
func steady(r Reply) bool {
	switch {
	case r.Doubtful:
		return false
	case r.Kind == Remark:
		again := ParseReply([]byte("echo:" + string(r.Text)))
		return again.Kind == Remark && !again.Doubtful
	case r.Kind == OK && !r.HasLine:
		_, _, behind := ownFields(r.Text) // "P15 B3" of an ok is dropped, and may be so only once
		return len(behind) == len(r.Text)
	}
	return true
}

// TestRepliesReadBack: every clean reply of the transcripts reads back from its printed form.
func TestRepliesReadBack(t *testing.T) {
	kinds := map[ReplyKind]int{}
	for _, line := range saidInTranscripts(t) {
		if r := ParseReply([]byte(line)); steady(r) {
			kinds[r.Kind]++
			readsBack(t, []byte(line), r)
		}
	}
	for k := OK; k <= Report; k++ {
		if kinds[k] == 0 {
			t.Errorf("no transcript holds a clean %v", k)
		}
	}
	t.Log(kinds)
}

// TestAnyReplyReadsBack draws replies in the dialect's spellings and reads them.
func TestAnyReplyReadsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.Int64Range(0, 99_999).Draw(t, "line")
		form := rapid.SampledFrom([]string{"Resend: %d", "Resend:%d", "resend: N%d", "rs %d", "rs N%d", "ok N%d", "ok N%d P15 B3",
			"Error:Line Number is not Last Line Number+1, Last Line: %d", "Error:checksum mismatch, Last Line: %d"}).Draw(t, "form")
		line := rapid.SampledFrom([]string{"", " ", "\t"}).Draw(t, "before") + fmt.Sprintf(form, n) + rapid.SampledFrom([]string{"", "\r", " "}).Draw(t, "behind")
		r := ParseReply([]byte(line))
		if r.Doubtful || !r.HasLine || r.Line != n {
			t.Fatalf("%q: %+v", line, r)
		}
		readsBack(t, []byte(line), r)
	})
}

// TestAnyTemperaturesReadBack draws reports in the dialect's spellings and reads them.
func TestAnyTemperaturesReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tenths := func(name string) float64 { return float64(rapid.IntRange(-200, 3500).Draw(t, name)) / 10 }
		want := Temperatures{NozzleC: tenths("nozzle"), NozzleTargetC: tenths("target"), HasNozzle: true, HasTarget: true}
		blank := rapid.SampledFrom([]string{"", " "}).Draw(t, "blank")
		key := rapid.SampledFrom([]string{"T", "T0"}).Draw(t, "key")
		line := fmt.Sprintf("%s:%.1f%s/%.1f", key, want.NozzleC, blank, want.NozzleTargetC)
		if want.HasBed = rapid.Bool().Draw(t, "bed"); want.HasBed {
			want.BedC, want.BedTargetC = tenths("bedC"), tenths("bedTarget")
			line += fmt.Sprintf("%sB:%.1f%s/%.1f", blank, want.BedC, blank, want.BedTargetC)
		}
		line += rapid.SampledFrom([]string{"", " @:64 B@:0", " T1:20.0 /0.0 @:64", "@:64B@:0"}).Draw(t, "behind")
		for _, before := range []string{"", " ", "ok ", "ok", "ok N12 P15 B3 "} {
			if got, ok := ParseTemperatures([]byte(before + line)); !ok || got != want {
				t.Fatalf("%q: %+v, %t; want %+v", before+line, got, ok, want)
			}
			if r := ParseReply([]byte(before + line)); r.Doubtful || (r.Kind != OK && r.Kind != Report) {
				t.Fatalf("%q: %+v", before+line, r)
			}
		}
	})
}
