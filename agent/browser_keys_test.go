package main

import (
	"context"
	"fmt"
	"strings"
	"testing"

	"fettle/routines/runner"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// keyboardAlone is the whole feed check with Tab, Enter, arrows and digits, on a desk.
func keyboardAlone(t *testing.T, browser context.Context) {
	s := newSite(t, browser, demoProfile(), 100)
	p := s.stranger(t)
	p.size(1280, 800)
	p.visitPage("/")
	p.until(`document.querySelector('.code') !== null`)
	p.keys(strings.ReplaceAll(s.code(t), " ", "") + kb.Enter)
	p.untilHead("The feed check is due.")
	p.walkTo(".action")
	p.keys(kb.Enter)
	p.untilHead("Is Plum PLA loaded?")
	p.walkTo(".cell")
	p.arrowTo(caliper)
	p.walkTo(".action")
	p.keys(kb.Enter)
	p.until(`location.hash === '#/runs/r1'`)
	for {
		v := s.asking("r1")
		if runner.Ended(v.State) {
			s.proved(v)
			break
		}
		p.shows(v)
		s.answerByKeys(p, v)
	}
	p.until(`document.querySelector('h1').textContent.startsWith('Changed to ')`)
	p.walkTo(".action")
	p.keys(kb.Enter)
	p.untilHead("The travel ladder is next.")
	p.quiet()
}

func (s *site) answerByKeys(p *phone, v runner.RunView) {
	s.Helper()
	switch v.Question.Figure {
	case "mark":
		s.printer.Bench().Mark(120)
	case "leftover":
		p.keys(s.read())
		p.until(`document.querySelector('input.number').value === ` + quote(s.read()))
	}
	asked := p.head()
	p.walkTo(".action")
	p.keys(kb.Enter)
	p.untilOther(asked)
}

func (p *phone) keys(keys string) {
	p.Helper()
	p.do(fmt.Sprintf("press %q", keys), chromedp.KeyEvent(keys))
}

// walkTo presses Tab until the focus is on what a selector finds, and can be seen there.
func (p *phone) walkTo(selector string) { p.Helper(); p.walkToNamed(selector, "") }

// walkToNamed is the same for what is named so, or begins so.
func (p *phone) walkToNamed(selector, words string) {
	p.Helper()
	const most = 60
	for range most {
		if eval[bool](p.tab, fmt.Sprintf(`((e) => (e?.matches(%s) && (e.ariaLabel ?? e.textContent).startsWith(%s)) ?? false)(document.activeElement)`, quote(selector), quote(words))) {
			if !eval[bool](p.tab, `document.activeElement.matches(':focus-visible') && getComputedStyle(document.activeElement).outlineStyle !== 'none'`) {
				p.Errorf("the focus on %s cannot be seen", selector)
			}
			return
		}
		p.keys(kb.Tab)
	}
	p.Fatalf("%d times Tab does not lead to %s %q\n%s", most, selector, words, p.seen())
}

// arrowTo goes through a group of choices until one with these words is chosen.
func (p *phone) arrowTo(words string) {
	p.Helper()
	for range 9 {
		if eval[bool](p.tab, `document.activeElement.textContent === `+quote(words)+` && document.activeElement.ariaChecked === 'true'`) {
			return
		}
		before := eval[string](p.tab, `document.activeElement.textContent`)
		p.keys(kb.ArrowRight)
		p.until(`document.activeElement.ariaChecked === 'true' && document.activeElement.textContent !== ` + quote(before))
	}
	p.Fatalf("arrows do not lead to %q", words)
}
