package runner_test

import (
	"errors"
	"slices"
	"strings"
	"testing"
	"time"

	"fettle/routines/logbook"
	"fettle/routines/runner"
	"fettle/serialio/standin"
)

// aStranger is another printer than the one of slow, with a hot nozzle as found.
func aStranger() *standin.Printer {
	p := slow()
	p.Name = "Imagined firmware 9 (no real one)"
	return standin.NewPrinter(p, 1)
}

// notDriven fails the test unless a printer was sent nothing but what a greeting asks.
func notDriven(t *testing.T, p *standin.Printer) {
	t.Helper()
	asked := p.Snapshot().Obeyed
	for _, o := range asked {
		if word, _, _ := strings.Cut(o.Block, " "); !slices.Contains([]string{"M110", "M115", "M105", "M114"}, word) {
			t.Errorf("another printer is sent %s", o.Block)
		}
	}
	if len(asked) == 0 {
		t.Error("nobody has asked the other printer anything")
	}
}

// named fails the test unless an error is the refusal that names both printers.
func named(t *testing.T, err error) {
	t.Helper()
	var a *runner.AnotherPrinterError
	if !errors.As(err, &a) || !errors.Is(err, runner.ErrAnotherPrinter) || !strings.Contains(a.Text, a.Kept.Firmware) || !strings.Contains(a.Text, "Imagined firmware 9") {
		t.Errorf("refused with %v", err)
	}
}

func (s *shop) printerView() runner.PrinterView {
	s.t.Helper()
	v, err := s.runner.Printer(s.ctx(), printerID)
	if err != nil {
		s.t.Fatal(err)
	}
	return v
}

func (s *shop) types(line string) error {
	_, err := s.runner.Line(s.ctx(), printerID, line, true, "Ada")
	return err
}

// heatAndSwap types heat at the printer that is meant and plugs another one in.
func (s *shop) heatAndSwap(other *standin.Printer) {
	s.t.Helper()
	s.listening()
	if err := s.types("M104 S200"); err != nil {
		s.t.Fatal(err)
	}
	s.cable.swap(other)
	s.rest(time.Minute)
}

// The heat that is owed to one printer is not given back to another, and comes to the one it is owed to.
func TestAnotherPrinterIsNotDriven(t *testing.T) {
	inBubble(t, slow(), func(s *shop) {
		other := aStranger()
		s.heatAndSwap(other)
		v := s.printerView()
		if a := v.AnotherPrinter; a == nil || a.Answers.Firmware == a.Kept.Firmware || len(a.Mark) != 8 || v.Fingerprint == nil || a.Kept != *v.Fingerprint || !strings.HasPrefix(v.Due[0], "another_printer: ") {
			t.Errorf("nobody is told: %+v", v)
		}
		_, err := s.runner.Begin(s.ctx(), order())
		named(t, err)
		named(t, s.types("M105"))
		named(t, s.types("M106 S1"))
		s.rest(20 * time.Minute) // past the attended limit
		notDriven(t, other)
		if !slices.Equal(s.owed(), []string{"heat"}) {
			t.Errorf("owed is %v", s.owed())
		}
		if told, _ := s.book.Events(s.ctx(), logbook.Filter{Printer: printerID}); !slices.ContainsFunc(told, func(e logbook.Event) bool { return e.Kind == "another printer" }) {
			t.Error("it is not in the record")
		}
		s.cable.swap(nil)
		s.rest(time.Minute)
		s.atPeace()
		if v := s.printerView(); v.AnotherPrinter != nil {
			t.Errorf("it is back, and %+v", v.AnotherPrinter)
		}
	})
}

// The record knows whom it met: neither a new life of the agent nor agent cool takes another printer for it.
func TestAnotherPrinterAfterARestartOfTheAgent(t *testing.T) {
	inBubble(t, slow(), func(s *shop) {
		other := aStranger()
		s.heatAndSwap(other)
		s.shutDown()
		book, err := logbook.Open(s.ctx(), s.path)
		if err != nil {
			t.Fatal(err)
		}
		p, err := book.Printer(s.ctx(), printerID)
		if err != nil {
			t.Fatal(err)
		}
		named(t, runner.New(runner.Config{Book: book, Connect: s.connect, Log: quiet}).Settle(s.ctx(), p))
		book.Close()
		s.open()
		s.rest(time.Minute)
		named(t, s.types("M105"))
		notDriven(t, other)
		if !slices.Equal(s.owed(), []string{"heat"}) {
			t.Errorf("owed is %v", s.owed())
		}
	})
}

// A run that waits for an answer while the printer is changed ends, and the other printer is not touched.
func TestARunIsNotGoneOnWithOnAnotherPrinter(t *testing.T) {
	inBubble(t, slow(), func(s *shop) {
		other := aStranger()
		v := s.until(s.begin(order()).ID, "runner: hands away", nil)
		s.cable.swap(other)
		s.rest(time.Minute)
		v = s.finish(v.ID, nil)
		if v.State != runner.Interrupted || !strings.Contains(v.Cause, "another printer answers") {
			t.Errorf("%s: %s", v.State, v.Cause)
		}
		notDriven(t, other)
	})
}

// A person's word makes it the same printer: what is owed is given back to it, and it stays known.
func TestAPersonSaysItIsTheSamePrinter(t *testing.T) {
	inBubble(t, slow(), func(s *shop) {
		other := aStranger()
		s.heatAndSwap(other)
		mark := s.printerView().AnotherPrinter.Mark
		for _, wrong := range []string{"", "00000000"} {
			if _, err := s.runner.SamePrinter(s.ctx(), printerID, wrong, "Ada"); !errors.Is(err, runner.ErrNotAnother) {
				t.Errorf("mark %q: %v", wrong, err)
			}
		}
		notDriven(t, other)
		v, err := s.runner.SamePrinter(s.ctx(), printerID, mark, "Ada")
		if err != nil || v.AnotherPrinter != nil || v.Fingerprint == nil || !strings.HasPrefix(v.Fingerprint.Firmware, "Imagined") {
			t.Errorf("%+v, %v", v, err)
		}
		s.rest(20 * time.Second)
		if len(s.owed()) > 0 || !slices.ContainsFunc(other.Snapshot().Obeyed, func(o standin.Obeyed) bool { return o.Block == "M104 S0" }) {
			t.Errorf("owed is %v", s.owed())
		}
		if _, err := s.runner.SamePrinter(s.ctx(), printerID, mark, "Ada"); !errors.Is(err, runner.ErrNotAnother) {
			t.Errorf("twice: %v", err)
		}
		s.shutDown()
		s.open()
		s.listening()
		if err := s.types("M106 S120"); err != nil {
			t.Errorf("in the next life: %v", err)
		}
		s.cable.swap(nil) // and now the first one is the stranger
		s.rest(time.Minute)
		if v := s.printerView(); v.AnotherPrinter == nil {
			t.Error("the printer from before is taken for the one that was accepted")
		}
	})
}

// A person's stop passes to whatever answers.
func TestAStopIsNotHeldBackFromAnotherPrinter(t *testing.T) {
	inBubble(t, slow(), func(s *shop) {
		other := aStranger()
		s.heatAndSwap(other)
		s.stop()
		if !slices.ContainsFunc(other.Snapshot().Obeyed, func(o standin.Obeyed) bool { return o.Block == "M104 S0" }) {
			t.Error("it was not sent")
		}
	})
}

// A printer that does not know the question says nothing of itself, and is known by that.
func TestAPrinterThatDoesNotKnowTheQuestion(t *testing.T) {
	mute := slow()
	mute.UnknownWords = []string{"M115"}
	inBubble(t, mute, func(s *shop) {
		s.listening()
		if v := s.printerView(); v.Fingerprint == nil || *v.Fingerprint != (logbook.Fingerprint{}) {
			t.Errorf("it is known as %+v", v.Fingerprint)
		}
		if err := s.types("M106 S1"); err != nil {
			t.Errorf("it is not driven: %v", err)
		}
		other := aStranger()
		s.cable.swap(other)
		s.rest(time.Minute)
		notDriven(t, other)
		if v := s.printerView(); v.AnotherPrinter == nil || !strings.Contains(v.AnotherPrinter.Text, "does not say what it is") {
			t.Errorf("%+v", v.AnotherPrinter)
		}
	})
}
