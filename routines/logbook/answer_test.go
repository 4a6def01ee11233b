package logbook

import (
	"encoding/json"
	"errors"
	"fmt"
	"reflect"
	"sync"
	"testing"
)

func answerOf(run string, question int64, who string) Event {
	return Event{Kind: answered, Run: run, Question: question, Name: fmt.Sprintf("leftover %d", question), Who: who,
		Body: json.RawMessage(fmt.Sprintf(`{"leftover_mm":23.4,"typed_by":%q}`, who))}
}

func TestEightRacersGetOneAnswer(t *testing.T) {
	const racers, questions = 8, 40
	b := newBook(t)
	run := benchRun(t, b)
	for q := int64(1); q <= questions; q++ {
		winners, firsts := race(t, b, run.ID, q, racers)
		count := 0
		for i := range racers {
			if firsts[i] {
				count++
				if winners[i].Who != fmt.Sprint("racer ", i) {
					t.Errorf("racer %d came first and was given the answer of %s", i, winners[i].Who)
				}
			}
			if !reflect.DeepEqual(winners[i], winners[0]) {
				t.Errorf("question %d: racers %d and 0 were told %+v and %+v", q, i, winners[i], winners[0])
			}
		}
		if count != 1 {
			t.Errorf("question %d: %d racers were told they came first", q, count)
		}
	}
	stored, err := b.Events(t.Context(), Filter{Kind: answered})
	if err != nil || len(stored) != questions {
		t.Errorf("%d answers stored to %d questions, %v", len(stored), questions, err)
	}
}

func race(t *testing.T, b *Book, run string, question int64, racers int) ([]Event, []bool) {
	winners, firsts := make([]Event, racers), make([]bool, racers)
	start := make(chan struct{})
	var wg sync.WaitGroup // each racer ends with its answer
	for i := range racers {
		wg.Go(func() {
			<-start
			var err error
			if winners[i], firsts[i], err = b.Answer(t.Context(), answerOf(run, question, fmt.Sprint("racer ", i))); err != nil {
				t.Error(err)
			}
		})
	}
	close(start)
	wg.Wait()
	return winners, firsts
}

func TestTheWinnerIsKnownAfterARestart(t *testing.T) {
	path := t.TempDir() + "/logbook.db"
	b := openAt(t, path)
	run := benchRun(t, b)
	if _, first, err := b.Answer(t.Context(), answerOf(run.ID, 3, "Ada")); err != nil || !first {
		t.Fatal(first, err)
	}
	again := openAt(t, path)
	winner, first, err := again.Answer(t.Context(), answerOf(run.ID, 3, "Bo"))
	if err != nil || first || winner.Who != "Ada" || winner.Printer != run.Printer {
		t.Errorf("told %+v, first %t, %v", winner, first, err)
	}
}

func TestASecondAnswerInAStepIsRefused(t *testing.T) {
	b := newBook(t)
	run := benchRun(t, b)
	commit(t, b, Step{Events: []Event{answerOf(run.ID, 3, "Ada")}})
	if _, err := b.Commit(t.Context(), Step{Events: []Event{answerOf(run.ID, 3, "Bo")}}); !errors.Is(err, ErrAnswered) {
		t.Errorf("got %v", err)
	}
}

func TestAnAnswerNamesItsRunAndQuestion(t *testing.T) {
	b := newBook(t)
	for _, e := range []Event{{Kind: answered, Question: 1}, {Kind: answered, Run: "r1"}, {Kind: "asked", Run: "r1", Question: 1}} {
		if _, _, err := b.Answer(t.Context(), e); !errors.Is(err, ErrRefused) {
			t.Errorf("%+v: %v", e, err)
		}
	}
	if _, _, err := b.Answer(t.Context(), answerOf("r9", 1, "Ada")); !errors.Is(err, ErrNotFound) {
		t.Errorf("an answer to a run that is not there: %v", err)
	}
}
