package runner_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"fettle/routines"
	"fettle/routines/runner"
	"fettle/serialio"
	"fettle/serialio/standin"
)

// cut pulls the cable right after the printer has obeyed a block, and plugs it in a minute later.
func (s *shop) cutAfter(block string) {
	s.after.set(func(sent string) {
		if strings.HasPrefix(sent, block) {
			s.after.set(nil)
			s.cable.cut(false)
			time.AfterFunc(time.Minute, s.cable.plug)
		}
	})
}

// A write that is cut off is settled by what the store holds, read before anything is said.
func TestAWriteThatIsCutOffIsSettled(t *testing.T) {
	cases := []struct {
		name, after string
		steps       float64 // in the printer at the end; 0: the new value
		standing    string  // of the entry; "": there is none
	}{
		{"before M500", "M92 E95", 93, ""},
		{"after M500", "M500", 0, routines.WrittenNotVerified},
		{"after the old value was set again", "M92 E93", 0, routines.WrittenNotVerified},
		{"after M501", "M501", 0, routines.WrittenNotVerified},
	}
	ways := map[string]func(*shop, string){
		"cable": func(s *shop, run string) {
			if v := s.await(run); v.State != runner.Interrupted {
				s.t.Errorf("it is %s: %s", v.State, v.Cause)
			}
			s.rest(3 * time.Minute)
		},
		"kill": func(s *shop, run string) {
			s.await(run)
			s.shutDown()
			s.cable.plug()
			s.open()
			s.rest(time.Minute)
		},
		"board restarts too": func(s *shop, run string) {
			s.await(run)
			s.printer.Reset()
			s.rest(3 * time.Minute)
		},
	}
	for _, c := range cases {
		for way, then := range ways {
			t.Run(c.name+", "+way, func(t *testing.T) {
				inBubble(t, greeting(), func(s *shop) {
					v := s.until(s.begin(order()).ID, "apply", nil)
					s.cutAfter(c.after)
					s.answer(v, nil)
					then(s, v.ID)
					s.isSettled(v.ID, c.steps, c.standing)
				})
			})
		}
	}
}

func (s *shop) isSettled(run string, steps float64, standing string) {
	s.t.Helper()
	entries := s.entries("steps_per_mm")
	switch {
	case standing == "" && len(entries) > 0:
		s.t.Errorf("an entry: %+v", entries)
	case standing != "" && (len(entries) != 1 || entries[0].Standing != standing || entries[0].Run != run):
		s.t.Fatalf("entries: %+v", entries)
	case standing != "":
		steps = *entries[0].Value
		if s.inStore("M92", 'E') != steps {
			s.t.Errorf("%g are recorded, %g are stored", steps, s.inStore("M92", 'E'))
		}
	}
	if now := s.inUse("M92", 'E'); now != steps {
		s.t.Errorf("%g steps/mm are in use, not %g", now, steps)
	}
	s.atPeace()
}

// Settings in use that are not stored: storing one value stores them all, so the person is asked.
func TestWhatIsInUseAndNotStored(t *testing.T) {
	cases := map[string]struct {
		standing             string
		stored, steps, inUse float64
	}{
		"keep_unsaved": {routines.Verified, 1000, 95.88, 700},
		"save_too":     {routines.Verified, 700, 95.88, 700},
		"write_none":   {routines.NotWritten, 1000, 93, 700},
	}
	for answer, c := range cases {
		inBubble(t, slow(), func(s *shop) {
			v := s.until(s.begin(order()).ID, "differs", nil)
			if !strings.Contains(v.Question.Text, "M204 P") {
				t.Errorf("%s: it asks %q", answer, v.Question.Text)
			}
			v = s.finish(v.ID, person{"differs": `{"unsaved":"` + answer + `"}`})
			steps := s.entries("steps_per_mm")
			if v.State != runner.Finished || len(steps) != 1 || steps[0].Standing != c.standing {
				t.Fatalf("%s: %s %s %+v", answer, v.State, v.Cause, steps)
			}
			if got := s.inStore("M204", 'P'); got != c.stored {
				t.Errorf("%s: M204 P%g is stored", answer, got)
			}
			if got := s.inUse("M204", 'P'); got != c.inUse {
				t.Errorf("%s: M204 P%g is in use", answer, got)
			}
			if got := s.inStore("M92", 'E'); got < c.steps-0.3 || got > c.steps+0.3 {
				t.Errorf("%s: M92 E%g is stored", answer, got)
			}
			s.atPeace()
			s.asFound(100, 100, 0)
		}, "M500", "M204 P700")
	}
}

// A printer may refuse any part of it. What is said of the value is what is so.
func TestAPrinterThatDoesNotStore(t *testing.T) {
	with := func(change func(*standin.Profile)) standin.Profile {
		p := slow()
		change(&p)
		return p
	}
	refuse := func(word string) func(string) error {
		return func(block string) error {
			if strings.HasPrefix(block, word) {
				return &serialio.FirmwareError{Text: "Error:no such thing"}
			}
			return nil
		}
	}
	cases := []struct {
		name     string
		profile  standin.Profile
		before   func(string) error
		kind     string
		standing string
		changed  bool // the new value is in use
	}{
		{"stores nothing", with(func(p *standin.Profile) { p.StoresNothing = true }), nil, "change", routines.NotStored, true},
		{"does not know M500", with(func(p *standin.Profile) { p.UnknownWords = []string{"M500"} }), nil, "change", routines.NotStored, true},
		{"does not know M501", with(func(p *standin.Profile) { p.UnknownWords = []string{"M501"} }), nil, "change", routines.NotStored, true},
		{"refuses M500", slow(), refuse("M500"), "change", routines.NotStored, true},
		{"refuses M501", slow(), refuse("M501"), "change", routines.WrittenNotVerified, true},
		{"refuses M92", slow(), refuse("M92"), "change", routines.NotWritten, false},
		{"reports no M92", with(func(p *standin.Profile) { p.UnknownWords = []string{"M92"} }), nil, "ratio", "", false},
		{"prints settings bare", with(func(p *standin.Profile) { p.BareSettings = true }), nil, "change", routines.Verified, true},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			inBubble(t, c.profile, func(s *shop) {
				s.before.set(c.before)
				v := s.finish(s.begin(order()).ID, nil)
				if v.State != runner.Finished || v.Finding.Kind != c.kind {
					t.Fatalf("%s %s %+v", v.State, v.Cause, v.Finding)
				}
				if e := s.entries("steps_per_mm"); (c.standing == "") != (len(e) == 0) || (len(e) > 0 && e[0].Standing != c.standing) {
					t.Errorf("%+v", e)
				}
				if now := s.inUse("M92", 'E'); (now != 93) != c.changed {
					t.Errorf("M92 E%g is in use", now)
				}
				s.atPeace()
			})
		})
	}
}

// What is set aside for a feed stands as it was found before anything is stored, since M500 stores everything.
func TestSetAsidesAreGivenBackBeforeTheyCouldBeStored(t *testing.T) {
	inBubble(t, slow(), func(s *shop) {
		checked := 0
		s.after.set(func(block string) {
			switch {
			case strings.HasPrefix(block, "G1 E"):
				s.asFound(100, 100, 0)
				checked++
			case block == "M500":
				s.asFound(95, 80, 1.75)
				checked++
			}
		})
		v := s.finish(s.begin(order()).ID, person{"verify": `{"verify":true}`})
		if v.State != runner.Finished || checked < 10 {
			t.Errorf("%s %s, looked %d times", v.State, v.Cause, checked)
		}
		s.after.set(nil)
		s.atPeace()
		s.asFound(95, 80, 1.75)
		words := s.obeyed("M104 S", "M221 S")[1:]
		if back := slices.Index(words, "M221 S95"); back < 1 || words[back-1] != "M104 S0" {
			t.Errorf("heat is not given back first: %v", words)
		}
	}, "M221 S95", "M220 S80", "M200 D1.75", "M500")
}

func TestAPrinterWhoseStepsWereChangedMeanwhileIsLeftAlone(t *testing.T) {
	inBubble(t, slow(), func(s *shop) {
		v := s.until(s.begin(order()).ID, "apply", nil)
		s.shutDown()
		s.cable.cut(true)
		s.cable.plug()
		s.saidBefore([]string{"M92 E97"})
		s.open()
		v = s.finish(v.ID, nil)
		e := s.entries("steps_per_mm")
		if v.State != runner.Finished || len(e) != 1 || e[0].Standing != routines.NotWritten || s.inUse("M92", 'E') != 97 {
			t.Errorf("%s %s %+v", v.State, v.Cause, e)
		}
	})
}
