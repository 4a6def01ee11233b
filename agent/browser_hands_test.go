package main

import (
	"context"
	"fmt"
	"math"
	"strconv"
	"testing"

	"fettle/routines/runner"

	"github.com/chromedp/chromedp/kb"
)

// hands put what a person says into a page: a finger on glass, or keys.
type hands struct {
	*phone
	typed  func(text string)            // a number as it is read off, which then stands in its readout
	press  func(selector, words string) // what is named so, or begins so
	choose func(cell string)            // one of few, side by side
}

// unhurried is how many times faster than real ones these printers live: the minute in which one must have said something
// is two seconds of a machine that draws pages as well.
const unhurried = 30

// siteOf is an agent beside a printer that this way is for, and a person who has its gauge.
func siteOf(t *testing.T, browser context.Context, w way) *site {
	s := &site{victim: newVictimOf(t, w.printer(), unhurried), browser: browser, scheme: "http"}
	s.gauge = w.gauge
	s.strand = strandHeld{own: ownGauge(mustJSON(t, w.inputs))}
	s.firstLife(t)
	return s
}

// pressable is what a person presses: the action, what stands for it, and what may be chosen.
const pressable = ".action, .link, .cell, .choice"

// finger is a thumb on a phone's glass: it finds the page's own pad, buttons and links.
func finger(p *phone) hands {
	press := func(selector, words string) {
		p.Helper()
		named := fmt.Sprintf(`[...document.querySelectorAll(%s)].map((e) => (e.getAttribute('aria-label') ?? e.textContent).trim()).find((w) => w.startsWith(%s))`, quote(selector), quote(words))
		p.until(named + ` !== undefined`)
		p.tapNamed(selector, eval[string](p.tab, named))
	}
	return hands{p, func(text string) {
		p.Helper()
		for _, c := range text {
			p.tapNamed(".pad button", string(c))
		}
		p.typedIs(text)
	}, press, func(cell string) {
		p.Helper()
		press(".cell", cell)
		p.until(fmt.Sprintf(`[...document.querySelectorAll('.cell[aria-checked=true]')].some((e) => e.textContent === %s)`, quote(cell)))
	}}
}

// keyboard is a person who has no mouse: Tab, Enter, digits.
func keyboard(p *phone) hands {
	return hands{p, func(text string) {
		p.Helper()
		p.keys(text)
		p.typedIs(text)
	}, func(selector, words string) {
		p.Helper()
		p.walkToNamed(selector, words)
		p.keys(kb.Enter)
	}, func(cell string) {
		p.Helper()
		p.walkTo(".cell")
		p.arrowTo(cell)
	}}
}

func (p *phone) typedIs(text string) {
	p.Helper()
	p.until(`document.querySelector('input.number')?.value === ` + quote(text))
}

// through answers every question of a run in the page, with what the stand-in's bench shows, until the run has ended.
func (s *site) through(h hands, run string) runner.RunView {
	s.Helper()
	const most = 80 // questions
	for range most {
		v := s.asking(run)
		if runner.Ended(v.State) {
			return v
		}
		h.shows(v)
		s.give(h, run, *v.Question, s.hand(*v.Question))
	}
	s.Fatalf("after %d questions the run has no end", most)
	return runner.RunView{}
}

// give puts one answer into the page and waits until the run has it. Cautions stand one by one, and are one question.
func (s *site) give(h hands, run string, q question, answer map[string]any) {
	s.Helper()
	const points = 12
	text, selector, words := inWords(s, q, answer)
	for range points {
		asked := h.head()
		if text != "" && h.padded() {
			h.typed(text)
		}
		h.press(selector, words)
		h.untilOther(asked)
		if now := s.now(run); now.Question == nil || now.Question.Number != q.Number {
			return
		}
	}
	s.Fatalf("%q is still asked: %s", q.Text, h.seen())
}

// padded says whether a number is typed here; where one is proposed, one touch says it.
func (p *phone) padded() bool {
	p.Helper()
	return eval[bool](p.tab, `document.querySelector('input.number') !== null`)
}

// inWords is an answer as a person puts it in: a number to type, and what is pressed then.
func inWords(t testing.TB, q question, answer map[string]any) (text, selector, words string) {
	t.Helper()
	for _, f := range q.Fields {
		switch x := answer[f.Name].(type) {
		case float64:
			return asRead(x), ".action", ""
		case bool:
			if x {
				return "", ".action", ""
			}
			return "", ".link", "Not now"
		case string:
			for _, c := range f.Choices {
				if c.Value == x {
					return "", pressable, c.Label
				}
			}
		}
	}
	t.Fatalf("nobody can put %v into %+v", answer, q)
	return "", "", ""
}

// asRead is a length as it is read off: of a hundredth as a hundredth.
func asRead(mm float64) string {
	return strconv.FormatFloat(math.Round(mm*1000)/1000, 'f', -1, 64)
}
