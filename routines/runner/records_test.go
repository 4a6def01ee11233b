package runner_test

import (
	"context"
	"encoding/json"
	"errors"
	"slices"
	"strings"
	"testing"
	"time"

	"fettle/routines"
	"fettle/routines/logbook"
	"fettle/routines/runner"
)

func TestAnAnswerIsTakenBack(t *testing.T) {
	inBubble(t, slow(), func(s *shop) {
		run := s.begin(order()).ID
		if _, err := s.runner.TakeBack(s.ctx(), run, "Bob"); !errors.Is(err, runner.ErrNothingToTakeBack) && !errors.Is(err, runner.ErrNotAsking) {
			t.Errorf("with no answer: %v", err)
		}
		v := s.until(run, "runner: present", nil)
		if v, err := s.runner.TakeBack(s.ctx(), run, "Bob"); err != nil || len(v.Answers) != 0 {
			t.Errorf("air: %v %+v", err, v.Answers)
		}
		if v = s.await(run); v.Question == nil || v.Question.Name != "air" {
			t.Fatalf("it asks %+v", v.Question)
		}
		v = s.until(run, "leftover", nil)
		s.answer(v, nil)
		// The pass is whole now, and nothing was done on the answer but to record it.
		v = s.until(run, "apply", nil)
		if _, err := s.runner.TakeBack(s.ctx(), run, "Bob"); !errors.Is(err, runner.ErrNothingToTakeBack) {
			t.Errorf("after something was done on it: %v", err)
		}
		if v = s.finish(run, nil); v.State != runner.Finished || s.count(run, "begun feed 1") != 1 {
			t.Errorf("%s %s", v.State, v.Cause)
		}
		if _, err := s.runner.TakeBack(s.ctx(), run, "Bob"); !errors.Is(err, runner.ErrNotAsking) {
			t.Errorf("after the end: %v", err)
		}
	})
}

func TestAStrandIsLookedAtAgain(t *testing.T) {
	inBubble(t, slow(), func(s *shop) {
		v := s.until(s.begin(order()).ID, "leftover", person{"strand": `{"strand":"popping"}`})
		if _, err := s.runner.TakeBack(s.ctx(), v.ID, "Bob"); err != nil {
			t.Fatal(err)
		}
		s.rest(0)
		s.shutDown() // and the next life knows that it was taken back
		s.open()
		v = s.await(v.ID)
		if v.Question == nil || v.Question.Name != "strand 1" {
			t.Fatalf("it asks %+v", v.Question)
		}
		v = s.finish(v.ID, nil)
		if v.State != runner.Finished || strings.Contains(strings.Join(v.Finding.Notes, " "), "damp filament") {
			t.Errorf("%s %v", v.State, v.Finding)
		}
	})
}

// A mark that is taken back after the nozzle went cold is no way around the second pre-feed.
func TestWhatCooledStaysCooledWhenTheAnswerIsTakenBack(t *testing.T) {
	inBubble(t, slow(), func(s *shop) {
		v := s.until(s.begin(order()).ID, "mark", nil)
		s.rest(11 * time.Minute)
		s.answer(v, nil)
		v = s.await(v.ID)
		if _, err := s.runner.TakeBack(s.ctx(), v.ID, "Bob"); err != nil {
			t.Fatal(err)
		}
		s.rest(0)
		if v = s.await(v.ID); v.Question == nil || v.Question.Name != "mark 1" {
			t.Fatalf("it asks %+v", v.Question)
		}
		v = s.finish(v.ID, nil)
		if v.State != runner.Finished || s.count(v.ID, "begun pre-feed 1, again 2") != 1 || s.count(v.ID, "begun feed 1") != 1 {
			t.Errorf("%s %s: %v", v.State, v.Cause, s.events(v.ID))
		}
	})
}

func TestAWholePassIsTakenOver(t *testing.T) {
	two := order()
	two.Inputs = []byte(`{"gauge":"caliper","commanded_mm":40,"flow_mm3_per_s":4,"passes":2}`)
	inBubble(t, slow(), func(s *shop) {
		first := s.until(s.begin(two).ID, "mark 2", nil).ID
		over := takingOver(first)
		if _, err := s.runner.Begin(s.ctx(), over); !errors.Is(err, runner.ErrOccupied) {
			t.Errorf("from a run that has not ended: %v", err)
		}
		s.cable.cut(false)
		s.rest(time.Minute)
		s.answer(s.view(first), nil)
		s.drive(first, nil)
		s.cable.plug()
		s.rest(time.Minute)
		v := s.begin(over)
		if v.From != first || v.State == runner.Interrupted {
			t.Errorf("%+v", v)
		}
		v = s.finish(v.ID, nil)
		if v.State != runner.Finished || s.count(v.ID, "answered leftover") != 2 {
			t.Errorf("%s %s %v", v.State, v.Cause, s.events(v.ID))
		}
		live := 0 // feeds that were really done in the second run
		for _, e := range s.stored(v.ID) {
			if e.Kind == "begun" && strings.HasPrefix(e.Name, "feed") && e.Who == "" {
				live++
			}
		}
		if live != 1 || len(s.entries("feed_pass")) != 2 {
			t.Errorf("%d feeds were done, %d passes recorded", live, len(s.entries("feed_pass")))
		}
	})
}

func TestATakeOverIsRefused(t *testing.T) {
	inBubble(t, slow(), func(s *shop) {
		run := s.until(s.begin(order()).ID, "mark", nil).ID
		s.stop()
		if _, err := s.runner.Begin(s.ctx(), takingOver(run)); !errors.Is(err, runner.ErrNothingWhole) {
			t.Errorf("with nothing whole: %v", err)
		}
		if _, err := s.runner.Begin(s.ctx(), takingOver("r99")); !errors.Is(err, runner.ErrNoRun) {
			t.Errorf("of no run: %v", err)
		}
		both := order()
		both.TakeOver = run
		s.refused(both, "take_over")
	})
}

// takingOver is an order that goes on from another run, with its inputs and material.
func takingOver(run string) runner.Order {
	return runner.Order{Printer: printerID, Routine: "feed_check", Who: "Ada", TakeOver: run}
}

// refused begins what must be refused, by the name of a field.
func (s *shop) refused(o runner.Order, name string) {
	s.t.Helper()
	var field *routines.FieldError
	if _, err := s.runner.Begin(s.ctx(), o); !errors.As(err, &field) || field.Field != name {
		s.t.Errorf("%+v: %v, want %s refused", o, err, name)
	}
}

// A run holds the limits that it began with; nothing goes on from it once they are no longer the printer's.
func TestATakeOverHoldsTheLimitsOfToday(t *testing.T) {
	inBubble(t, slow(), func(s *shop) {
		two := order()
		two.Inputs = []byte(`{"gauge":"caliper","commanded_mm":40,"flow_mm3_per_s":4,"passes":2}`)
		run := s.until(s.begin(two).ID, "mark 2", nil).ID
		s.stop()
		cooler := fitted()
		cooler.NozzleMaxC = 200
		if _, err := s.runner.SetSetup(s.ctx(), printerID, cooler, "Ada"); err != nil {
			t.Fatal(err)
		}
		s.refused(takingOver(run), "take_over")
	})
}

func TestAnOrderIsJudged(t *testing.T) {
	inBubble(t, slow(), func(s *shop) {
		s.listening()
		var field *routines.FieldError
		for _, c := range []struct {
			change func(*runner.Order)
			is     func(error) bool
		}{
			{func(o *runner.Order) { o.Printer = "x" }, is(runner.ErrNoPrinter)},
			{func(o *runner.Order) { o.Routine = "x" }, is(runner.ErrNoRoutine)},
			{func(o *runner.Order) { o.Material = "x" }, is(runner.ErrNoMaterial)},
			{func(o *runner.Order) { o.Inputs = json.RawMessage(`{"commanded_mm":-1}`) }, func(err error) bool { return errors.As(err, &field) }},
			{func(o *runner.Order) { o.Inputs = json.RawMessage(`{"nozzle_c":231}`) }, func(err error) bool { return errors.As(err, &field) }},
		} {
			o := order()
			c.change(&o)
			if _, err := s.runner.Begin(s.ctx(), o); !c.is(err) {
				t.Errorf("%+v: %v", o, err)
			}
		}
		if v, _ := s.runner.Views(s.ctx(), printerID); len(v) != 0 {
			t.Errorf("runs: %+v", v)
		}
	})
}

func is(want error) func(error) bool { return func(err error) bool { return errors.Is(err, want) } }

func TestPrintersAndTheirRunsAreShown(t *testing.T) {
	inBubble(t, slow(), func(s *shop) {
		for _, p := range []logbook.Printer{{Name: "P1", Port: "other"}, {Name: "p-1!", Port: "pipe"}} {
			if _, err := s.runner.AddPrinter(s.ctx(), p, "Bob"); !errors.Is(err, runner.ErrPrinterExists) {
				t.Errorf("%+v: %v", p, err)
			}
		}
		var field *routines.FieldError
		for _, p := range []logbook.Printer{{Name: "!", Port: "other"}, {Name: "P2"}, {Name: strings.Repeat("p", 41), Port: "other"}} {
			if _, err := s.runner.AddPrinter(s.ctx(), p, "Bob"); !errors.As(err, &field) {
				t.Errorf("%+v: %v", p, err)
			}
		}
		s.begin(order())
		s.stop()
		second := s.until(s.begin(order()).ID, "mark", nil).ID
		views, err := s.runner.Views(s.ctx(), printerID)
		if err != nil || len(views) != 2 || views[0].ID != second || views[0].State != runner.Asking || views[1].State != runner.Stopped {
			t.Errorf("%+v %v", views, err)
		}
		for _, listed := range views {
			whole := s.view(listed.ID)
			if whole.LastSeq == 0 || (listed.ID == second && len(whole.Answers) == 0) || listed.LastSeq != whole.LastSeq || listed.Answers == nil || len(listed.Answers) != 0 {
				t.Errorf("listed %+v, whole %+v", listed, whole)
			}
		}
		printers, err := s.runner.Printers(s.ctx())
		if err != nil || len(printers) != 1 {
			t.Fatal(printers, err)
		}
		p := printers[0]
		if p.Run != second || !p.Line.Occupied || p.Nozzle == nil || p.Nozzle.TargetC != 210 || p.Nozzle.Outdated || !slices.Contains(p.Owed, "heat") || p.Setup == nil {
			t.Errorf("%+v", p)
		}
		s.cable.cut(false)
		s.rest(time.Minute)
		if p, _ := s.runner.Printer(s.ctx(), printerID); p.Line.State != "unplugged" || !p.Nozzle.Outdated {
			t.Errorf("%+v %+v", p.Line, p.Nozzle)
		}
	})
}

func TestAwaitTellsOfAChange(t *testing.T) {
	inBubble(t, slow(), func(s *shop) {
		v := s.until(s.begin(order()).ID, "mark", nil)
		ctx, cancel := context.WithTimeout(s.ctx(), 5*time.Minute)
		defer cancel()
		time.AfterFunc(time.Minute, func() { s.answer(v, nil) })
		began := time.Now()
		now, err := s.runner.Await(ctx, v.ID, []string{"changed"})
		if err != nil || now.LastSeq == v.LastSeq || time.Since(began) != time.Minute {
			t.Errorf("after %v: %+v %v", time.Since(began), now, err)
		}
	})
}
