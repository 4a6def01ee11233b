package runner_test

import (
	"context"
	"encoding/json"
	"fmt"
	"strings"
	"time"

	"fettle/routines/runner"
)

// order is a feed check that decides soon.
func order() runner.Order {
	return runner.Order{Printer: printerID, Routine: "feed_check", Material: rigid.ID, Who: "Ada", Inputs: json.RawMessage(`{"gauge":"caliper","commanded_mm":40,"flow_mm3_per_s":4}`)}
}

func (s *shop) begin(o runner.Order) runner.RunView {
	s.t.Helper()
	s.listening()
	v, err := s.runner.Begin(s.ctx(), o)
	if err != nil {
		s.t.Fatalf("begin: %v", err)
	}
	return v
}

// stop is a person's, and the time in which it is carried out.
func (s *shop) stop() {
	s.t.Helper()
	if err := s.runner.Stop(printerID, "Bob"); err != nil {
		s.t.Fatal(err)
	}
	s.rest(20 * time.Second)
}

// listening waits until the printer has been greeted and given back what it is owed.
func (s *shop) listening() {
	s.t.Helper()
	for range 600 {
		v, err := s.runner.Printer(s.ctx(), printerID)
		if err == nil && v.Line.State == "listening" {
			s.rest(2 * time.Second)
			return
		}
		s.rest(200 * time.Millisecond)
	}
	s.t.Fatal("the printer does not come to listen")
}

// await waits until the run asks or has ended, an hour at most.
func (s *shop) await(run string) runner.RunView {
	s.t.Helper()
	ctx, cancel := context.WithTimeout(s.ctx(), time.Hour)
	defer cancel()
	v, err := s.runner.Await(ctx, run, []string{"asking", "ended"})
	if err != nil {
		s.t.Fatal(err)
	}
	if ctx.Err() != nil {
		s.t.Fatalf("after an hour run %s is %s at %+v", run, v.State, v.Doing)
	}
	return v
}

func (s *shop) view(run string) runner.RunView {
	s.t.Helper()
	v, err := s.runner.View(s.ctx(), run)
	if err != nil {
		s.t.Fatal(err)
	}
	return v
}

// person answers questions: what is laid down for them by the question's name or its beginning, or the obvious.
type person map[string]string

// until answers everything up to the question whose name begins with name, or to the end of the run.
func (s *shop) until(run, name string, p person) runner.RunView {
	s.t.Helper()
	for {
		v := s.await(run)
		if v.Question == nil || strings.HasPrefix(v.Question.Name, name) {
			return v
		}
		s.answer(v, p)
	}
}

func (s *shop) finish(run string, p person) runner.RunView {
	s.t.Helper()
	return s.until(run, "no such question", p)
}

func (s *shop) answer(v runner.RunView, p person) {
	s.t.Helper()
	raw := s.says(v.Question, p)
	if _, err := s.runner.Answer(s.ctx(), v.ID, v.Question.Number, json.RawMessage(raw), "Ada"); err != nil {
		s.t.Fatalf("answer %q with %s: %v", v.Question.Name, raw, err)
	}
}

// says is the person's answer. Whoever says that the mark is set has set it.
func (s *shop) says(q *runner.OpenQuestion, p person) string {
	for name, said := range p {
		if strings.HasPrefix(q.Name, name) {
			return said
		}
	}
	kind, _, _ := strings.Cut(q.Name, " ")
	switch kind {
	case "mark":
		s.printer.Bench().Mark(120)
		return `{"mark_mm":120}`
	case "leftover":
		return fmt.Sprintf(`{"leftover_mm":%.3f}`, s.printer.Bench().LeftoverMM())
	case "strand":
		return `{"strand":"smooth"}`
	case "apply":
		return `{"apply":"write"}`
	case "differs":
		return `{"unsaved":"keep_unsaved"}`
	case "verify":
		return `{"verify":false}`
	}
	return fmt.Sprintf(`{%q:true}`, q.Fields[0].Name)
}
