package runner_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"fettle/routines"
	"fettle/routines/logbook"
	"fettle/routines/runner"
	"fettle/serialio"
)

// cold is a feed check with no heat, the path below the gear open.
func cold() runner.Order {
	o := order()
	o.Inputs = json.RawMessage(`{"gauge":"caliper","commanded_mm":40,"flow_mm3_per_s":4,"method":"cold","verify":false}`)
	return o
}

// blockIsOn wants the block of cold extrusion on again and nothing owed.
func (s *shop) blockIsOn() {
	s.t.Helper()
	if s.printer.Snapshot().ColdLifted {
		s.t.Error("the block of cold extrusion is still lifted")
	}
	s.atPeace()
}

// The block is lifted right before each feed and set again right behind it, and nothing heats.
func TestAColdFeedLiftsTheBlockOnlyForItself(t *testing.T) {
	inBubble(t, slow(), func(s *shop) {
		var lifted atomic.Int64
		s.after.set(func(block string) {
			if !strings.HasPrefix(block, "M105") && s.printer.Snapshot().ColdLifted { // the run stands still for its own words, not for a poll
				lifted.Add(1)
				if !slices.Contains(s.owed(), "block of cold extrusion") {
					s.t.Errorf("after %q it is lifted and not owed", block)
				}
			}
		})
		v := s.finish(s.begin(cold()).ID, person{"leftover": `{"leftover_mm":81.2}`}) // the stand-in has no open path
		s.after.set(nil)
		if v.State != runner.Finished || v.Finding.Kind != "change" || lifted.Load() == 0 {
			t.Fatalf("%s %s %+v, lifted %d times", v.State, v.Cause, v.Finding, lifted.Load())
		}
		var words []string
		for _, block := range s.obeyed("M302", "G1", "M400") {
			if word, _, _ := strings.Cut(block, " E"); len(words) == 0 || words[len(words)-1] != word {
				words = append(words, word)
			}
		}
		if want := []string{"M302 P1", "G1", "M400", "M302 P0", "M302 P1", "G1", "M400", "M302 P0"}; !slices.Equal(words, want) {
			t.Errorf("it obeyed %q, want %q", words, want)
		}
		if hot := s.obeyed("M104 S2", "M109"); len(hot) > 0 {
			t.Errorf("it heated: %q", hot)
		}
		s.blockIsOn()
	})
}

// Whatever ends a run in the middle of a cold feed, the block is on again afterwards.
func TestTheBlockComesBackAtEveryEnd(t *testing.T) {
	for name, end := range map[string]func(s *shop, run string){
		"stop": func(s *shop, run string) {
			s.runner.Stop(printerID, "Bob")
			s.await(run)
		},
		"cable": func(s *shop, run string) {
			s.cable.cut(false)
			time.AfterFunc(time.Minute, s.cable.plug)
			s.await(run)
			s.rest(3 * time.Minute)
		},
		"agent gone": func(s *shop, _ string) {
			s.shutDown()
			s.open()
			s.rest(time.Minute)
		},
		"failure": func(s *shop, run string) {
			s.before.set(func(block string) error {
				if strings.HasPrefix(block, "G1 E") {
					return &serialio.FirmwareError{}
				}
				return nil
			})
			s.await(run)
			s.before.set(nil)
		},
	} {
		t.Run(name, func(t *testing.T) {
			inBubble(t, slow(), func(s *shop) {
				run := s.until(s.begin(cold()).ID, "mark", nil)
				fed := make(chan struct{}, 1)
				s.after.set(func(block string) {
					if strings.HasPrefix(block, "G1 E") && s.printer.Snapshot().ColdLifted {
						s.after.set(nil)
						fed <- struct{}{}
					}
				})
				run = s.until(run.ID, "runner: hands away", nil)
				s.answer(run, nil)
				<-fed
				end(s, run.ID)
				s.rest(time.Minute)
				if v := s.view(run.ID); v.State == runner.Finished {
					t.Errorf("it ended as %s", v.State)
				}
				s.blockIsOn()
			})
		})
	}
}

// The hot end is unloaded hot and cold to the touch, by its own reading, before anybody is asked to undo the coupler.
func TestTheTubeComesOffACoolHotEnd(t *testing.T) {
	inBubble(t, slow(), func(s *shop) {
		s.fitTube()
		o := cold()
		o.Inputs = json.RawMessage(`{"gauge":"caliper","commanded_mm":40,"flow_mm3_per_s":4,"method":"tube_end","verify":false}`)
		said := person{"piece": `{"piece_mm":38.8}`}
		v := s.until(s.begin(o).ID, "unload", said)
		if c := s.printer.Snapshot().NozzleC; c < 200 {
			t.Errorf("it is unloaded at %.0f °C", c)
		}
		v = s.until(v.ID, "coupler", said)
		if now := s.printer.Snapshot(); now.NozzleC >= 50 || now.NozzleTargetC != 0 {
			t.Errorf("the coupler is undone at %.0f °C, target %.0f", now.NozzleC, now.NozzleTargetC)
		}
		v = s.finish(v.ID, said)
		if v.State != runner.Finished || v.Finding.Kind != "change" {
			t.Fatalf("%s %s %+v", v.State, v.Cause, v.Finding)
		}
		if c := s.printer.Snapshot().NozzleC; c >= 50 {
			t.Errorf("at the end it reads %.0f °C", c)
		}
		s.blockIsOn()
	})
}

// fitTube makes the printer one with a tube.
func (s *shop) fitTube() {
	s.t.Helper()
	setup := fitted()
	setup.Drive, setup.Tube = "bowden", &routines.Tube{BoreMM: 2, LengthMM: 400, QuarterTurns: 3}
	if _, err := s.book.Commit(s.ctx(), logbook.Step{Setup: &logbook.SetupOf{Printer: printerID, Setup: setup}}); err != nil {
		s.t.Fatal(errors.Join(errors.New("fit a tube"), err))
	}
}

// The agent is killed at each event of a cold check: in the next life the block is on again before anything else is done.
func TestAKillOfAColdCheckLeavesTheBlockOn(t *testing.T) {
	read := person{"leftover": `{"leftover_mm":81.2}`}
	last := 0
	inBubble(t, slow(), func(s *shop) {
		last = len(s.stored(s.finish(s.begin(cold()).ID, read).ID))
	})
	for n := 1; n < last; n += stride {
		t.Run(fmt.Sprint("event ", n), func(t *testing.T) {
			inBubble(t, slow(), func(s *shop) {
				run := s.begin(cold()).ID
				s.killAt(run, n, read)
				s.listening()
				s.rest(time.Minute)
				s.blockIsOn()
				s.finish(run, read)
				s.rest(time.Minute)
				s.blockIsOn()
			})
		})
	}
}

// The agent is killed in the middle of a cold feed, with the block lifted: the next life finds it owed in the logbook.
func TestAKillInTheMiddleOfAColdFeed(t *testing.T) {
	inBubble(t, slow(), func(s *shop) {
		run := s.until(s.begin(cold()).ID, "mark", nil)
		copied := filepath.Join(filepath.Dir(s.path), "killed.db")
		killed, released := make(chan struct{}), make(chan struct{})
		s.after.set(func(block string) {
			if !strings.HasPrefix(block, "G1 E") || !s.printer.Snapshot().ColdLifted {
				return
			}
			s.after.set(nil)
			s.cable.cut(false)
			if err := s.book.Copy(s.ctx(), copied); err != nil {
				t.Error(err)
			}
			close(killed)
			<-released
		})
		s.answer(s.until(run.ID, "runner: hands away", nil), nil)
		<-killed
		close(released)
		s.shutDown()
		if !s.printer.Snapshot().ColdLifted {
			t.Fatal("it was not killed with the block lifted: the test says nothing")
		}
		s.path = copied
		s.cable.plug()
		s.open()
		s.listening()
		s.rest(time.Minute)
		if v := s.view(run.ID); v.State != runner.Interrupted {
			t.Errorf("it is %s", v.State)
		}
		s.blockIsOn()
	})
}
