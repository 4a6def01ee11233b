package runner_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"sync"
	"testing"

	"fettle/routines"
	"fettle/routines/runner"
)

func TestAnAnswerIsJudged(t *testing.T) {
	inBubble(t, slow(), func(s *shop) {
		v := s.until(s.begin(order()).ID, "mark", nil)
		give := func(answer string) error {
			_, err := s.runner.Answer(s.ctx(), v.ID, v.Question.Number, json.RawMessage(answer), "Bob")
			return err
		}
		var field *routines.FieldError
		for _, wrong := range []string{`{}x`, `[]`, `{"mark_mm":1e9}`, `{"mark_mm":-1}`, `{"mark_mm":"a"}`, `{"mark_mm":120,"more":1}`, `{"leftover_mm":3}`} {
			if err := give(wrong); !errors.As(err, &field) {
				t.Errorf("%s: %v", wrong, err)
			}
			if now := s.view(v.ID); now.Question == nil || now.Question.Number != v.Question.Number {
				t.Fatalf("%s: the question is gone", wrong)
			}
		}
		if err := give(`{"mark_mm":120}`); err != nil {
			t.Fatal(err)
		}
		if err := give(`{"mark_mm":120.0}`); err != nil {
			t.Errorf("the same answer again: %v", err)
		}
		var lost *runner.AnsweredError
		if err := give(`{"mark_mm":121}`); !errors.As(err, &lost) || string(lost.Winner.Body) != `{"mark_mm":120}` || lost.Winner.Who != "Bob" {
			t.Errorf("another answer: %v", err)
		}
		for _, number := range []int64{0, 99} {
			if _, err := s.runner.Answer(s.ctx(), v.ID, number, json.RawMessage(`{}`), ""); !errors.Is(err, runner.ErrNotAsking) {
				t.Errorf("question %d: %v", number, err)
			}
		}
		if _, err := s.runner.Answer(s.ctx(), "r99", 1, json.RawMessage(`{}`), ""); !errors.Is(err, runner.ErrNoRun) {
			t.Errorf("no such run: %v", err)
		}
		s.runner.Stop(printerID, "Bob")
		s.await(v.ID)
		if err := give(`{"mark_mm":120}`); err != nil {
			t.Errorf("the same answer after the end: %v", err)
		}
		if err := give(`{"mark_mm":121}`); !errors.As(err, &lost) {
			t.Errorf("another answer after the end: %v", err)
		}
	})
}

// Two people answer the same question.
func TestOneOfEightAnswersWins(t *testing.T) {
	inBubble(t, slow(), func(s *shop) {
		v := s.until(s.begin(order()).ID, "mark", nil)
		var racers sync.WaitGroup
		errs := make([]error, 8)
		for i := range errs {
			racers.Go(func() {
				_, errs[i] = s.runner.Answer(s.ctx(), v.ID, v.Question.Number, fmt.Appendf(nil, `{"mark_mm":%d}`, 120+i), fmt.Sprint("racer ", i))
			})
		}
		racers.Wait()
		won := -1
		for i, err := range errs {
			if err == nil && won < 0 {
				won = i
			} else if err == nil {
				t.Errorf("racers %d and %d both won", won, i)
			}
		}
		for i, err := range errs {
			var lost *runner.AnsweredError
			if i != won && (!errors.As(err, &lost) || lost.Winner.Who != fmt.Sprint("racer ", won)) {
				t.Errorf("racer %d is told %v where %d won", i, err, won)
			}
		}
		if n := s.count(v.ID, "answered mark 1"); n != 1 {
			t.Errorf("%d answers are stored", n)
		}
	})
}

// An answer that is on the disk although whoever gave it was not told so must reach the run when anybody answers next.
func TestAnAnswerWhoseReceiptWasLostReachesTheRun(t *testing.T) {
	for _, again := range []string{`{"mark_mm":120}`, `{"mark_mm":130}`} {
		inBubble(t, slow(), func(s *shop) {
			v := s.until(s.begin(order()).ID, "mark", nil)
			lost := s.stored(v.ID)[len(s.stored(v.ID))-1]
			lost.Kind, lost.Body, lost.Who = "answered", json.RawMessage(`{"mark_mm":120}`), "Ada"
			if _, _, err := s.book.Answer(s.ctx(), lost); err != nil {
				t.Fatal(err)
			}
			_, err := s.runner.Answer(s.ctx(), v.ID, v.Question.Number, json.RawMessage(again), "Bob")
			var answered *runner.AnsweredError
			if (err != nil) != (again != `{"mark_mm":120}`) || (err != nil && !errors.As(err, &answered)) {
				t.Errorf("%s: %v", again, err)
			}
			if now := s.await(v.ID); now.Question == nil || now.Question.Number == v.Question.Number {
				t.Errorf("%s: the run still waits for an answer that is there", again)
			}
		})
	}
}
