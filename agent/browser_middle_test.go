package main

import (
	"context"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"testing"

	"fettle/routines/runner"
)

// inTheMiddle breaks something at each question of a whole run, by touch. Nothing is lost: the same question stands
// again, or presence is asked anew, what was answered stays answered, and what was half typed is still there wherever
// this phone's memory was.
func inTheMiddle(t *testing.T, browser context.Context) {
	for name, disturb := range map[string]disturbance{
		"reload":       reloaded,
		"cut off":      cutOff,
		"second phone": followed,
		"agent killed": restarted,
	} {
		t.Run(name, func(t *testing.T) {
			s := newSite(t, browser, demoProfile(), 100)
			ana, bo := s.paired(t, "Ana's phone"), (*phone)(nil)
			ana.visitPage("/")
			if name == "second phone" {
				bo = s.paired(t, "Bo's phone")
				bo.visitPage("/")
			}
			ana.beginCheck()
			at, figures := map[string]int{}, map[string]bool{}
			v := s.walk(ana, "r1", func(v runner.RunView) *phone {
				stem, _, _ := strings.Cut(v.Question.Name, ",")
				if at[stem]++; at[stem] > 2 {
					return ana // a new life asks anew who is there and where the mark is, and that without end
				}
				figures[v.Question.Figure] = true
				if v.Question.Figure == "leftover" {
					ana.halfTyped(s.read()[:2])
				}
				who := disturb(s, ana, bo, v)
				s.kept(v, s.asking("r1"))
				return who
			})
			s.proved(v)
			for _, f := range []string{"air", "caution", "hands_away", "mark", "strand", "leftover", "finding", "verify"} {
				if !figures[f] {
					t.Errorf("nothing was disturbed at a question with the figure %q", f)
				}
			}
			ana.excuse() // a browser says of each cut line that it was cut
			ana.quiet()
		})
	}
}

// disturbance happens while a question stands in Ana's page. It returns whose phone answers.
type disturbance func(s *site, ana, bo *phone, v runner.RunView) *phone

func (p *phone) halfTyped(digits string) {
	p.Helper()
	for _, c := range digits {
		p.tapNamed(".pad button", string(c))
	}
	p.until(`document.querySelector('input.number').value === ` + quote(digits))
}

// same waits until the page shows what it showed, with what was half typed.
func (p *phone) same(head string, v runner.RunView) {
	p.Helper()
	p.untilHead(head)
	if v.Question.Figure == "leftover" {
		p.until(`document.querySelector('input.number')?.value.length === 2`)
	}
}

func reloaded(_ *site, ana, _ *phone, v runner.RunView) *phone {
	return ana.reloadTo(ana.head(), v)
}

func (p *phone) reloadTo(head string, v runner.RunView) *phone {
	p.Helper()
	rows := eval[int](p.tab, rowsOfPast)
	eval[bool](p.tab, `(window.before = true, setTimeout(() => location.reload()), true)`)
	p.until(`window.before === undefined`)
	p.until(fmt.Sprintf(`%s === %d`, rowsOfPast, rows))
	p.same(head, v)
	return p
}

// rowsOfPast counts what has happened, as the strand shows it.
const rowsOfPast = `document.querySelectorAll('.past li').length`

// cutOff closes every connection from the outside, lets the page notice, and lets it come back.
func cutOff(s *site, ana, _ *phone, v runner.RunView) *phone {
	head := ana.head()
	ana.net.sever()
	ana.until(silentPage)
	ana.net.mend(s.listens)
	ana.until(`!(` + silentPage + `)`)
	ana.same(head, v)
	return ana
}

// silentPage: Stop cannot be relied on, and the bar says so.
const silentPage = `document.querySelector('.bar.muted') !== null`

// followed is a second phone that shows each question by itself, and answers every other one.
func followed(_ *site, ana, bo *phone, v runner.RunView) *phone {
	bo.shows(v)
	ana.shows(v)
	if v.Question.Number%2 == 0 {
		return bo
	}
	if v.Question.Figure == "leftover" && eval[string](bo.tab, `document.querySelector('input.number').value`) != "" {
		bo.Errorf("what Ana typed stands in Bo's page")
	}
	return ana
}

// restarted kills the agent and starts it again on the same folder; the phone finds it by itself at the same address.
func restarted(s *site, ana, _ *phone, v runner.RunView) *phone {
	head := ana.head()
	ana.net.sever()
	s.kill()
	ana.until(silentPage)
	s.rise()
	ana.net.mend(s.listens)
	ana.until(`!(` + silentPage + `)`)
	if again := s.asking("r1"); again.Question != nil && again.Question.Text == v.Question.Text {
		ana.same(head, again)
	}
	return ana
}

// kept holds a run to what it was before something broke: each answer is still there, and what is asked is the same or
// the runner's own question whether somebody is there.
func (s *site) kept(before, after runner.RunView) {
	s.Helper()
	if after.Question == nil {
		s.Fatalf("at %q the run became %s: %s", before.Question.Text, after.State, after.Cause)
	}
	if len(after.Answers) < len(before.Answers) {
		s.Errorf("at %q there were %d answers, and now %d", before.Question.Text, len(before.Answers), len(after.Answers))
	}
	for i, a := range before.Answers[:min(len(before.Answers), len(after.Answers))] {
		if b := after.Answers[i]; a.Name != b.Name || string(a.Answer) != string(b.Answer) {
			s.Errorf("answer %s became %s %s", a.Name, b.Name, b.Answer)
		}
	}
	if !slices.Contains([]string{before.Question.Figure, "caution", "hands_away"}, after.Question.Figure) {
		s.Errorf("%q stood, and now %q", before.Question.Text, after.Question.Text)
	}
}

// twoAnswers: two people answer the same question. Ana's page is not told that Bo was first, until she answers: she is
// then told who said what.
func twoAnswers(t *testing.T, browser context.Context) {
	s := newSite(t, browser, demoProfile(), 100)
	ana, bo := s.paired(t, "Ana's phone"), s.paired(t, "Bo's phone")
	ana.visitPage("/")
	bo.visitPage("/")
	ana.beginCheck()
	met := false
	v := s.walk(ana, "r1", func(v runner.RunView) *phone {
		bo.shows(v)
		if v.Question.Figure != "leftover" || met {
			return ana
		}
		met = true
		s.typeLeftover(bo)
		ana.halfTyped("31")
		read := strconv.FormatFloat(number(s.read()), 'f', -1, 64) // as people write it
		ana.net.hold(true)
		bo.tap(".action")
		bo.untilOther(v.Question.Text)
		ana.tap(".action")
		ana.until(`document.querySelector('h1').textContent.endsWith(' first.')`)
		if said := ana.head(); said != "Bo's phone said "+read+" first." {
			t.Errorf("Ana is told %q, and Bo said %s", said, read)
		}
		ana.net.hold(false)
		ana.tap(".action") // go on with Bo's
		return ana
	})
	s.proved(v)
	if !met {
		t.Error("the two never met")
	}
	ana.excuse() // a refused answer is said by the browser as well
	ana.quiet()
	bo.quiet()
}
