package logbook

import (
	"encoding/json"
	"fmt"
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"fettle/routines"
)

// journal commits events written as "kind:name" and returns the run.
func journal(t testing.TB, b *Book, words string) string {
	run := benchRun(t, b)
	var s Step
	for i, word := range strings.Fields(words) {
		kind, name, _ := strings.Cut(word, ":")
		s.Events = append(s.Events, Event{Run: run.ID, Kind: kind, Name: name, Question: int64(i + 1), Body: json.RawMessage(fmt.Sprint(i))})
	}
	commit(t, b, s)
	return run.ID
}

func wordsOf(facts []routines.Fact) string {
	words := make([]string, len(facts))
	for i, f := range facts {
		words[i] = string(f.Kind) + ":" + f.Name
	}
	return strings.Join(words, " ")
}

func TestFactsAreFolded(t *testing.T) {
	for _, c := range []struct{ name, events, facts, whole string }{
		{"nothing", "", "", ""},
		{"as they came", "asked:a answered:a begun:feed done:feed", "asked:a answered:a begun:feed done:feed", ""},
		{"only a run's own kinds", "run_begun:x asked:a heat:on cooled:a answered:a", "asked:a cooled:a answered:a", ""},
		{"not the runner's", "asked:runner:present answered:runner:present begun:feed done:feed", "begun:feed done:feed", ""},
		{"the latest answer goes", "asked:a answered:a begun:f done:f asked:b answered:b taken_back:", "asked:a answered:a begun:f done:f", ""},
		{"with all since it was asked", "asked:a cooled:a answered:a begun:f done:f asked:b taken_back:", "", ""},
		{"twice", "asked:a answered:a asked:b answered:b taken_back: taken_back:", "", ""},
		{"and answered anew", "asked:a answered:a taken_back: asked:a answered:a asked:b", "asked:a answered:a asked:b", ""},
		{"the same name twice", "asked:a answered:a asked:a answered:a taken_back:", "asked:a answered:a", ""},
		{"nothing to take back", "begun:f done:f taken_back:", "begun:f done:f", ""},
		{"up to the last whole", "asked:a answered:a whole:1 begun:f done:f whole:2 begun:g", "asked:a answered:a whole:1 begun:f done:f whole:2 begun:g",
			"asked:a answered:a whole:1 begun:f done:f whole:2"},
		{"a whole that was taken back", "whole:1 asked:a answered:a whole:2 taken_back:", "whole:1", "whole:1"},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := newBook(t)
			run := journal(t, b, c.events)
			facts, err := b.Facts(t.Context(), run)
			if err != nil || wordsOf(facts) != c.facts {
				t.Errorf("facts are %q, should be %q, %v", wordsOf(facts), c.facts, err)
			}
			whole, err := b.FactsWhole(t.Context(), run)
			if err != nil || wordsOf(whole) != c.whole {
				t.Errorf("whole are %q, should be %q, %v", wordsOf(whole), c.whole, err)
			}
		})
	}
}

func TestFactsCarryTheirBodies(t *testing.T) {
	b := newBook(t)
	facts, err := b.Facts(t.Context(), journal(t, b, "asked:a answered:a taken_back: asked:b answered:b"))
	want := []routines.Fact{{Kind: routines.Asked, Name: "b", Body: json.RawMessage("3")}, {Kind: routines.Answered, Name: "b", Body: json.RawMessage("4")}}
	if err != nil || !reflect.DeepEqual(facts, want) {
		t.Errorf("facts are %+v, %v", facts, err)
	}
}

// Whatever is done after a question and then taken back leaves the facts as they were before it was asked.
func TestTakingBackUndoesExactlyOneQuestion(t *testing.T) {
	b := newBook(t)
	word := rapid.SampledFrom([]string{"begun:f", "done:f", "cooled:x", "whole:w", "asked:a answered:a", "asked:b answered:b", "heat:on"})
	after := rapid.SampledFrom([]string{"begun:g", "done:g", "cooled:y", "whole:v", "asked:open"})
	rapid.Check(t, func(rt *rapid.T) {
		before := strings.Join(rapid.SliceOfN(word, 0, 8).Draw(rt, "before"), " ")
		since := strings.Join(rapid.SliceOfN(after, 0, 4).Draw(rt, "since"), " ")
		want, err := b.Facts(t.Context(), journal(t, b, before))
		if err != nil {
			rt.Fatal(err)
		}
		got, err := b.Facts(t.Context(), journal(t, b, before+" asked:a answered:a "+since+" taken_back:"))
		if err != nil || wordsOf(got) != wordsOf(want) {
			rt.Fatalf("facts are %q, should be %q, %v", wordsOf(got), wordsOf(want), err)
		}
	})
}
