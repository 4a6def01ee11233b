package main

import (
	"context"
	"fmt"
	"strconv"
	"strings"
	"testing"

	"fettle/routines/logbook"
	"fettle/routines/runner"
	"fettle/serialio/standin"
)

// tapThrough is the whole feed check by touch on a phone, 390 by 844: from a stranger who types nine digits to a value
// that is written and proved, which the printer then reports itself. Once over plain HTTP, as workshops have it, and once
// under TLS.
func tapThrough(t *testing.T, browser context.Context) {
	for name, c := range map[string]struct {
		settings []string
		secure   bool
	}{
		"over plain HTTP": {nil, false},
		"under TLS":       {[]string{"FETTLE_TLS=own"}, true},
	} {
		t.Run(name, func(t *testing.T) {
			s := newSite(t, browser, demoProfile(), 100, c.settings...)
			ana := s.stranger(t)
			ana.visitPage("/")
			ana.pairByTyping(s.code(t))
			if secure := eval[bool](ana.tab, `isSecureContext && crypto.randomUUID !== undefined`); secure != c.secure {
				t.Errorf("the origin is secure: %t, want %t", secure, c.secure)
			}
			ana.beginCheck()
			v := s.walk(ana, "r1", nil)
			s.proved(v)
			ana.until(`document.querySelector('h1').textContent.startsWith('Changed to ')`)
			ana.tap(".action") // back to the printer, where nothing is due any more
			ana.untilHead("The travel ladder is next.")
			ana.quiet()
		})
	}
}

// pairByTyping touches nine digits and the action.
func (p *phone) pairByTyping(code string) {
	p.Helper()
	p.until(`document.querySelector('.pad') !== null`)
	for _, digit := range strings.ReplaceAll(code, " ", "") {
		p.tapNamed(".pad button", string(digit))
	}
	p.tap(".action")
	p.until(`document.querySelector('.code') === null && document.querySelector('h1') !== null`)
}

// beginCheck goes from the printer's page into a run, measured by caliper.
func (p *phone) beginCheck() {
	p.Helper()
	p.untilHead("The feed check is due.")
	p.tap(".action")
	p.untilHead("Is Plum PLA loaded?")
	p.tapNamed(".cell", caliper)
	p.until(`document.querySelector('.cell[aria-checked=true]')?.textContent === ` + quote(caliper))
	p.tap(".action")
	p.until(`location.hash === '#/runs/r1'`)
}

const caliper = "caliper, 0.02 mm"

// walk answers every question of a run in the page until it has ended. between comes after a question stands in the page
// and before it is answered; it may end the life of the agent, and returns who answers.
func (s *site) walk(by *phone, run string, between func(v runner.RunView) *phone) runner.RunView {
	s.Helper()
	const most = 60 // questions
	for range most {
		v := s.asking(run)
		if runner.Ended(v.State) {
			return v
		}
		by.shows(v)
		who := by
		if between != nil {
			who = between(v)
			if v = s.asking(run); v.Question == nil {
				return v
			}
			who.shows(v)
		}
		s.answer(who, run, v)
	}
	s.Fatalf("after %d questions the run has no end", most)
	return runner.RunView{}
}

// shows waits until a question stands in the page. The cautions have heads of their own, and so have the bands of a piece.
func (p *phone) shows(v runner.RunView) {
	p.Helper()
	switch v.Question.Figure {
	case "grades":
		p.untilHead("How is band A?")
		return
	case "caution":
	default:
		p.untilHead(v.Question.Text)
		return
	}
	p.until(`document.querySelector('.signal') !== null || document.querySelector('h1')?.textContent === ` + quote(v.Question.Text))
}

// answer is what the person beside the printer does and touches.
func (s *site) answer(p *phone, run string, v runner.RunView) {
	s.Helper()
	asked := p.head()
	switch v.Question.Figure {
	case "mark":
		s.printer.Bench().Mark(proposedMM(v))
	case "leftover":
		s.typeLeftover(p)
	case "piece":
		s.printer.Bench().TakeOff()
	case "grades":
		s.grade(p, *v.Question)
		asked = p.head()
	case "caution":
		for range 9 {
			asked = p.head()
			p.tap(".action")
			p.untilOther(asked)
			if now := s.now(run); now.Question == nil || now.Question.Number != v.Question.Number {
				return
			}
		}
		s.Fatalf("the cautions have no end: %s", p.head())
	}
	p.tap(".action")
	p.untilOther(asked)
}

// proposedMM is where a question of a mark proposes to set it.
func proposedMM(v runner.RunView) float64 {
	shown, _ := v.Question.Shown.(map[string]any) // as it came over HTTP
	mm, _ := shown["mark_mm"].(float64)
	return mm
}

// read is the leftover as the person reads it from a caliper: once, so that what is typed stays.
func (s *site) read() string {
	s.Helper()
	bench := s.printer.Bench()
	if at := bench.FedMM(); s.reading == "" || s.readAt != at {
		l := bench.Look(standin.Gauge{DivisionMM: 0.02, LimitMM: 0.03})
		s.reading, s.readAt = strconv.FormatFloat(l.LeftoverMM, 'f', 2, 64), at
	}
	return s.reading
}

// typeLeftover touches the digits that are not typed yet.
func (s *site) typeLeftover(p *phone) {
	s.Helper()
	whole := s.read()
	typed := eval[string](p.tab, `document.querySelector('input.number').value`)
	if !strings.HasPrefix(whole, typed) {
		s.Fatalf("%q is typed, and %q is to be", typed, whole)
	}
	for _, c := range whole[len(typed):] {
		p.tapNamed(".pad button", string(c))
	}
	p.until(`document.querySelector('input.number').value === ` + quote(whole))
}

// proved holds a finished run to what the stand-in really is: the value of the finding is its own, within the stated
// uncertainty, the printer reports it over the line, and the logbook has it as verified.
func (s *site) proved(v runner.RunView) {
	s.Helper()
	next, ok := value(v, "steps_per_mm")
	if v.State != runner.Finished || !ok || next < 95.4 || next > 96.4 {
		s.Fatalf("the run is %s with %+v; true are 95.876 steps/mm", v.State, v.Finding)
	}
	if now := s.steps(); !strings.Contains(now, "E"+twoDecimals(next)) {
		s.Errorf("the printer reports %s, want E%s", now, twoDecimals(next))
	}
	var log struct{ Entries []logbook.Entry }
	s.get("/v1/logbook?kind=steps_per_mm", &log)
	if len(log.Entries) != 1 || log.Entries[0].Standing != "verified" {
		s.Errorf("the logbook holds %s, want one entry, verified", fmt.Sprint(log.Entries))
	}
}
