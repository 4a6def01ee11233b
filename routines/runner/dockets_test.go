package runner_test

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"fettle/routines"
	"fettle/routines/docket"
	"fettle/routines/logbook"
	"fettle/routines/runner"
	"fettle/serialio/standin"
)

// tuned records what ladders would have found for the rigid filament.
func (s *shop) tuned() {
	s.t.Helper()
	for _, v := range []struct {
		kind  string
		value float64
	}{{docket.TravelSpeed, 175}, {docket.RetractSpeed, 35}, {docket.RestartSpeed, 30}, {docket.RetractionLength, 0.8}} {
		s.typesValue(v.kind, v.value)
	}
}

// typesValue has Ada type a value into the docket.
func (s *shop) typesValue(kind string, value float64) {
	s.t.Helper()
	if _, err := s.runner.SetValue(s.ctx(), printerID, rigid.ID, runner.TypedValue{Kind: kind, Value: value}, "Ada"); err != nil {
		s.t.Fatal(err)
	}
}

func (s *shop) docket() docket.Docket {
	s.t.Helper()
	d, err := s.runner.Docket(s.ctx(), printerID, rigid.ID)
	if err != nil {
		s.t.Fatal(err)
	}
	return d
}

func (s *shop) differs() string {
	s.t.Helper()
	texts := []string{}
	for _, d := range s.printerView().Differs {
		texts = append(texts, d.Text)
	}
	return strings.Join(texts, "; ")
}

// A printer's settings are asked for once at each contact, what is another is shown with both numbers, and nothing is set.
func TestSettingsAreComparedAtEachGreeting(t *testing.T) {
	inBubble(t, slow(), func(s *shop) {
		s.rest(5 * time.Minute)
		if asked := len(s.obeyed("M503")); asked != 1 || s.differs() != "" || len(s.entries(docket.KindSettings)) != 1 {
			t.Errorf("asked %d times; %q; %d records", asked, s.differs(), len(s.entries(docket.KindSettings)))
		}
		s.shutDown()
		s.cable.cut(true)
		s.cable.plug()
		s.saidBefore([]string{"M92 E97.5", "M204 T3000", "M207 S4"})
		s.open()
		s.rest(5 * time.Minute)
		if asked := len(s.obeyed("M503")); asked != 2 {
			t.Errorf("asked %d times at two contacts", asked)
		}
		for _, part := range []string{"the docket has 93, the printer has 97.5 (M92 E)", "the docket has 1200, the printer has 3000 (M204 T)", "the docket has 1, the printer has 4 (M207 S)"} {
			if !strings.Contains(s.differs(), part) {
				t.Errorf("%q does not say %q", s.differs(), part)
			}
		}
		if s.inUse("M92", 'E') != 97.5 || s.inUse("M204", 'T') != 3000 {
			t.Error("it was set right by itself")
		}
		if _, err := s.runner.RecordChange(s.ctx(), printerID, runner.Change{What: "acceleration"}, "Ada"); err != nil {
			t.Fatal(err)
		}
		s.rest(time.Minute)
		if asked := len(s.obeyed("M503")); asked != 3 || s.differs() != "" {
			t.Errorf("after a person said so: asked %d times, %q", asked, s.differs())
		}
	})
}

// After the feed check wrote steps/mm, the printer has what the docket has.
func TestWhatWasWrittenIsComparedAnew(t *testing.T) {
	inBubble(t, slow(), func(s *shop) {
		if v := s.finish(s.begin(order()).ID, nil); v.State != runner.Finished {
			t.Fatal(v.Cause)
		}
		s.rest(time.Minute)
		if got := s.differs(); got != "" {
			t.Error(got)
		}
		if v, ok := s.docket().Value(docket.StepsPerMM); !ok || v != s.inUse("M92", 'E') {
			t.Errorf("the docket has %g", v)
		}
		if due := s.printerView().Due; len(due) != 1 || !strings.HasPrefix(due[0], docket.DoTravel+": ") {
			t.Errorf("due: %q", due)
		}
	})
}

func (s *shop) handOver() runner.HandedOver {
	s.t.Helper()
	s.listening()
	done, err := s.runner.HandOver(s.ctx(), printerID, rigid.ID, runner.HandOver{To: docket.Firmware, Yes: true}, "Ada")
	if err != nil {
		s.t.Fatal(err)
	}
	s.rest(time.Minute)
	return done
}

// The values are written, stored and proved, and what else was in use is still in use and not stored.
func TestValuesAreHandedOverToTheFirmware(t *testing.T) {
	inBubble(t, slow(), func(s *shop) {
		s.tuned()
		done := s.handOver()
		if done.Written.Standing != routines.Verified || fmt.Sprint(done.Lines) != "[M207 S0.8 F2100 Z0 M208 S0 F1800]" || done.Docket.Active != docket.Firmware {
			t.Errorf("%+v %v %q", done.Written, done.Lines, done.Docket.Active)
		}
		for _, in := range []func(string, byte) float64{s.inUse, s.inStore} {
			if in("M207", 'S') != 0.8 || in("M207", 'F') != 2100 || in("M208", 'F') != 1800 {
				t.Errorf("M207 S%g F%g, M208 F%g", in("M207", 'S'), in("M207", 'F'), in("M208", 'F'))
			}
		}
		if s.inUse("M204", 'P') != 700 || s.inStore("M204", 'P') != 1000 {
			t.Errorf("M204 P%g in use, %g stored", s.inUse("M204", 'P'), s.inStore("M204", 'P'))
		}
		if e := s.entries(docket.KindHandover); len(e) != 1 || e[0].Standing != routines.Verified || e[0].Who != "Ada" {
			t.Errorf("%+v", e)
		}
		if got := s.differs(); got != "" {
			t.Errorf("differs: %s", got)
		}
		s.atPeace()
		s.typesValue(docket.RetractionLength, 0.9)
		if d := s.docket(); fmt.Sprint(d.HandedOver.Changed) != "[retraction_length_mm]" || s.inUse("M207", 'S') != 0.8 {
			t.Errorf("%+v", d.HandedOver)
		}
		if _, err := s.runner.HandOver(s.ctx(), printerID, rigid.ID, runner.HandOver{To: docket.SlicingProgram}, "Ada"); err != nil || s.docket().Active != docket.SlicingProgram {
			t.Errorf("%v %q", err, s.docket().Active)
		}
	}, "M500", "M204 P700")
}

// What the printer does not keep, or does not take, is said.
func TestAPrinterThatDoesNotTakeTheValues(t *testing.T) {
	with := func(change func(*standin.Profile)) standin.Profile {
		p := slow()
		change(&p)
		return p
	}
	for name, c := range map[string]struct {
		profile  standin.Profile
		standing string
		active   string
		lengthMM float64
		notes    int
	}{
		"keeps nothing":      {with(func(p *standin.Profile) { p.StoresNothing = true }), routines.NotStored, docket.Firmware, 0.8, 1},
		"does not know M500": {with(func(p *standin.Profile) { p.UnknownWords = []string{"M500"} }), routines.NotStored, docket.Firmware, 0.8, 1},
		"does not retract":   {with(func(p *standin.Profile) { p.UnknownWords = []string{"M207", "M208"} }), routines.NotWritten, "", 1, 1},
		"has no M208":        {with(func(p *standin.Profile) { p.UnknownWords = []string{"M208"} }), routines.Verified, docket.Firmware, 0.8, 0},
	} {
		t.Run(name, func(t *testing.T) {
			inBubble(t, c.profile, func(s *shop) {
				s.tuned()
				done := s.handOver()
				if done.Written.Standing != c.standing || done.Docket.Active != c.active || len(done.Notes) != c.notes {
					t.Errorf("%+v %q %q", done.Written, done.Docket.Active, done.Notes)
				}
				if c.standing != routines.Verified && done.Written.Why == "" {
					t.Error("it does not say why")
				}
				if got := s.inUse("M207", 'S'); got != c.lengthMM {
					t.Errorf("M207 S%g is in use", got)
				}
				s.atPeace()
			})
		})
	}
}

// Where anything else changes with it, everything is put back, and nobody has the values.
func TestAHandOverThatChangesSomethingElseIsUndone(t *testing.T) {
	inBubble(t, slow(), func(s *shop) {
		s.tuned()
		done := false
		s.before.set(func(block string) error {
			if done || block != "M500" {
				return nil
			}
			done = true
			_, err := s.line.Send(s.ctx(), "M204 P500")
			return err
		})
		out := s.handOver()
		if !done || out.Written.Standing != routines.NotWritten || out.Docket.Active != "" {
			t.Errorf("%t %+v %q", done, out.Written, out.Docket.Active)
		}
		for word, want := range map[string]float64{"M207 S": 1, "M207 F": 1800, "M208 F": 1800, "M204 P": 1000} {
			name, letter, _ := strings.Cut(word, " ")
			if used, stored := s.inUse(name, letter[0]), s.inStore(name, letter[0]); used != want || stored != want {
				t.Errorf("%s: %g in use, %g stored, %g found", word, used, stored, want)
			}
		}
		s.atPeace()
	}, "M500")
}

// A hand-over that is cut off after any of its words is settled by what the store holds.
func TestAHandOverThatIsCutOffIsSettled(t *testing.T) {
	for _, c := range []struct {
		after    string
		lengthMM float64
		standing string
	}{
		{"M207 S0.8", 1, ""}, {"M208 S0 F1800", 1, ""}, {"M500", 0.8, routines.WrittenNotVerified}, {"M207 S1", 0.8, routines.WrittenNotVerified},
	} {
		t.Run(c.after, func(t *testing.T) {
			inBubble(t, slow(), func(s *shop) {
				s.tuned()
				s.listening()
				s.cutAfter(c.after)
				_, err := s.runner.HandOver(s.ctx(), printerID, rigid.ID, runner.HandOver{To: docket.Firmware, Yes: true}, "Ada")
				if err == nil {
					t.Error("it says that it was done")
				}
				s.rest(5 * time.Minute)
				e := s.entries(docket.KindHandover)
				if (c.standing == "") != (len(e) == 0) || len(e) > 0 && (e[0].Standing != c.standing || e[0].Material != rigid.ID || e[0].Who != "Ada") {
					t.Errorf("%+v", e)
				}
				if now := s.inUse("M207", 'S'); now != c.lengthMM || s.inStore("M207", 'S') != c.lengthMM && c.standing != "" {
					t.Errorf("M207 S%g is in use, %g stored", now, s.inStore("M207", 'S'))
				}
				if active := s.docket().Active; (active == docket.Firmware) != (c.standing != "") {
					t.Errorf("%q is active", active)
				}
				s.atPeace()
			}, "M500")
		})
	}
}

// Without a yes, a length or the right one to retract, and while a run holds the printer, nothing is handed over or sent.
func TestAHandOverIsRefused(t *testing.T) {
	inBubble(t, slow(), func(s *shop) {
		refused := func(h runner.HandOver, want error, field string) {
			t.Helper()
			_, err := s.runner.HandOver(s.ctx(), printerID, rigid.ID, h, "Ada")
			var f *routines.FieldError
			if errors.As(err, &f) && f.Field != field || f == nil && (want == nil || !errors.Is(err, want)) {
				t.Errorf("%+v: %v", h, err)
			}
		}
		refused(runner.HandOver{To: docket.Firmware, Yes: true}, runner.ErrNothingToHandOver, "")
		s.tuned()
		refused(runner.HandOver{To: docket.Firmware}, nil, "yes")
		refused(runner.HandOver{To: "nobody"}, nil, "to")
		run := s.begin(order()).ID
		refused(runner.HandOver{To: docket.Firmware, Yes: true}, runner.ErrOccupied, "")
		s.stop()
		s.await(run)
		setup := fitted()
		setup.Retracts = docket.SlicingProgram
		if _, err := s.runner.SetSetup(s.ctx(), printerID, setup, "Ada"); err != nil {
			t.Fatal(err)
		}
		refused(runner.HandOver{To: docket.Firmware, Yes: true}, nil, "to")
		if sent := s.obeyed("M207", "M208", "M500"); len(sent) > 0 || len(s.entries(docket.KindHandover)) > 0 {
			t.Errorf("sent %v", sent)
		}
	})
}

// What a new setup implies is recorded with it, and a value that holds again is in the logbook as one.
func TestChangesAndReversalsAreRecorded(t *testing.T) {
	inBubble(t, slow(), func(s *shop) {
		s.tuned()
		first := s.entries(docket.RetractionLength)[0].ID
		s.typesValue(docket.RetractionLength, 1.1)
		setup := fitted()
		setup.NozzleBoreMM = 0.6
		if _, err := s.runner.SetSetup(s.ctx(), printerID, setup, "Ada"); err != nil {
			t.Fatal(err)
		}
		d, err := s.runner.Revert(s.ctx(), printerID, rigid.ID, first, "Bob")
		if err != nil {
			t.Fatal(err)
		}
		row := d.Row(docket.RetractionLength)
		if *row.Value != 0.8 || row.From.How != fmt.Sprintf("reverted to entry %d by Bob", first) || row.Fresh || row.Stale[0].What != "new_nozzle" || d.SetupVersion != 2 {
			t.Errorf("%+v", row)
		}
		all := s.entries(docket.RetractionLength)
		if last := all[len(all)-1]; last.Supersedes != all[len(all)-2].ID || len(all) != 3 {
			t.Errorf("%+v", all)
		}
		if _, err := s.runner.RecordChange(s.ctx(), printerID, runner.Change{What: "new_spool"}, "Ada"); err == nil {
			t.Error("a spool of no material")
		}
		if _, err := s.runner.RecordChange(s.ctx(), printerID, runner.Change{What: "fan", Material: "m9"}, "Ada"); !errors.Is(err, runner.ErrNoMaterial) {
			t.Errorf("%v", err)
		}
		ds, err := s.runner.Dockets(s.ctx(), "", "")
		if err != nil || len(ds) != 1 || ds[0].Material != rigid.ID {
			t.Errorf("%v %+v", err, ds)
		}
		kinds := []string{}
		events, _ := s.book.Events(s.ctx(), logbook.Filter{Printer: printerID})
		for _, e := range events {
			kinds = append(kinds, e.Kind)
		}
		if !slices.Contains(kinds, "value reverted") || !slices.Contains(kinds, "value typed") {
			t.Errorf("%v", kinds)
		}
	})
}
