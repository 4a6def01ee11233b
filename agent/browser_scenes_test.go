package main

import (
	"fmt"
	"net/http"
	"strings"

	"fettle/routines/runner"
)

// questions shows each question of a run as it is asked, and what an answer looks like while it is given.
func questions(l *look) {
	p, s := l.phone, l.site
	p.visitPage("/")
	l.at("start feed check due", headed("The feed check is due."), true)
	p.tap(".action")
	l.at("begin", headed("Is Plum PLA loaded?"), true)
	p.tapNamed(".link", "Length, passes, temperature")
	l.at("begin more", headed("How is it to be done?"), false)
	p.tapNamed(".foot .link", "Back")
	p.tapNamed(".link", "Another filament")
	l.at("materials for a run", headed("Which filament is loaded?"), false)
	p.turn("#/begin/window")
	p.tapNamed(".cell", caliper)
	p.tap(".action")
	p.until(`location.hash === '#/runs/r1'`)
	seen := map[string]int{}
	s.walk(p, "r1", func(v runner.RunView) *phone {
		figure := v.Question.Figure
		if seen[figure]++; seen[figure] > 1 {
			return p
		}
		switch figure {
		case "caution":
			l.cautions()
		case "mark":
			l.question("mark", v)
			p.tapNamed(".link", "My mark is elsewhere")
			l.at("mark typed", `document.querySelector('.pad') !== null`, true)
			p.keys("120")
		case "leftover":
			l.leftover(v)
		default:
			l.question(figure, v)
		}
		return p
	})
	l.at("ended change", headed("Changed to "), true)
}

func (l *look) question(name string, v runner.RunView) {
	l.Helper()
	l.at("asking "+name, headed(v.Question.Text), true)
}

// cautions are shown one by one the first time, and touched as far as the last.
func (l *look) cautions() {
	l.Helper()
	for n := 1; eval[bool](l.phone.tab, `document.querySelector('.signal') !== null`); n++ {
		head := l.phone.head()
		l.at(fmt.Sprintf("asking caution %d", n), headed(head), true)
		l.phone.tap(".action")
		l.phone.untilOther(head)
	}
	l.at("asking present", headed(l.phone.head()), true)
}

// leftover is typed as it is not, as it hardly can be, and as it cannot be.
func (l *look) leftover(v runner.RunView) {
	l.Helper()
	p := l.phone
	l.question("leftover", v)
	for _, c := range []struct{ name, digits string }{{"typed", "23.04"}, {"unlikely", "60"}, {"impossible", "130"}} {
		p.keys(c.digits)
		p.until(`document.querySelector('input.number').value === ` + quote(c.digits))
		l.at("asking leftover "+c.name, headed(v.Question.Text), true)
		p.clear()
	}
}

// clear takes every digit back.
func (p *phone) clear() {
	p.Helper()
	for range 5 {
		p.keys("\b")
	}
	p.until(`document.querySelector('input.number').value === ''`)
}

// atWork shows what the page shows while only the machine works.
func atWork(l *look) {
	p, s := l.phone, l.site
	p.visitPage("/")
	p.beginCheck()
	var v runner.RunView
	for range 2 { // air and presence
		v = s.asking("r1")
		p.shows(v)
		s.answer(p, "r1", v)
	}
	l.at("heating", headed("Heating."), false)
	for range 20 {
		v = s.asking("r1")
		p.shows(v)
		last := v.Question.Figure == "leftover"
		s.answer(p, "r1", v)
		if last {
			break
		}
		if v.Question.Figure == "hands_away" && len(v.Answers) > 3 {
			l.at("feeding", headed("Feeding."), false)
		}
	}
	v = s.asking("r1")
	p.shows(v)
	l.excused = "http" // a browser says of each request that is lost
	p.net.sever()
	l.at("silent", silentPage, false)
}

func pairing(l *look) {
	p, s := l.phone, l.site
	p.visitPage("/")
	l.at("pairing", `document.querySelector('.pad') !== null`, true)
	p.keys("000000000")
	p.until(`document.querySelector('.code').textContent.trim() === '000 000 000'`)
	s.code(l)
	p.tap(".action")
	l.excused = "status of 403" // a browser says so of each refusal
	l.at("pairing refused", `document.querySelector('.trouble') !== null`, false)
}

// pagesBetweenRuns are those that a person comes to from the foot of the printer's page.
func pagesBetweenRuns(l *look) {
	p := l.phone
	for _, c := range []struct {
		name, hash, head string
	}{
		{"materials", "#/materials", "Materials."},
		{"material new", "#/materials/new", "What does the data sheet say?"},
		{"wire", "#/wire/window", "Wire"},
	} {
		p.visitPage("/" + c.hash)
		l.at(c.name, headed(c.head), false)
	}
	l.ports()
	l.wholeRun(map[string]any{"gauge": "caliper"}, nil)
	p.until(headed("Changed to "))
	p.turn("#/logbook")
	l.at("logbook", headed("Nothing is edited here."), false)
	p.turn("#/")
	l.at("start travel ladder due", headed("The travel ladder is next."), true)
}

// ports shows what is plugged in here: none on a computer without a serial port.
func (l *look) ports() {
	l.Helper()
	l.phone.visitPage("/#/ports")
	l.at("ports", headed("Which one is the printer?")+" || "+headed("No free line is plugged in."), false)
	if eval[bool](l.phone.tab, `document.querySelector('.choice') !== null`) {
		l.phone.tap(".choice")
		l.at("port called", headed("What is it called?"), false)
	}
}

func setupPages(l *look) {
	p := l.phone
	p.visitPage("/#/setup/window")
	for n := 1; n <= 20; n++ {
		head := p.head()
		if eval[bool](p.tab, headed("Is that how Window is?")) {
			l.at("setup whole", headed(head), true)
			return
		}
		p.until(`document.querySelector('.action') !== null`)
		if head = p.head(); shownOnce[head] {
			l.at("setup "+strings.ToLower(strings.TrimSuffix(head, "?")), headed(head), true)
		}
		p.tap(".action")
		p.untilOther(head)
	}
	l.Errorf("the setup has no end: %s", p.head())
}

// shownOnce are the questions of the setup that stand for the others: a choice, a number, a place on a plan.
var shownOnce = map[string]bool{"Where does the gear sit?": true, "How thick is the filament?": true,
	"Who pulls back in your own prints?": true, "What does it need before a print?": true, "How far from the tip is it cold?": true,
	"Does the liner reach the heated part?": true, "Where is the printer’s own switch?": true}

// cannotTell measures with a rule that is too coarse for the little that is wrong.
func cannotTell(l *look) {
	p, s := l.phone, l.site
	id := s.client.begin(map[string]any{"gauge": "mm_rule"})
	p.visitPage("/#/runs/" + id)
	for range 60 {
		v := s.asking(id)
		if runner.Ended(v.State) {
			l.at("ended cannot tell", headed(v.Finding.Headline), true)
			return
		}
		answer := s.hand(*v.Question)
		if v.Question.Figure == "cannot_tell" {
			l.question("cannot tell", v)
			answer = map[string]any{"another": false}
		}
		answer["question"] = v.Question.Number
		s.call("POST", "/v1/runs/"+id+"/answers", answer, &v)
	}
	l.Error("it could tell")
}

// reach answers by requests until a question of this figure stands.
func (s *site) reach(id, figure string) runner.RunView {
	s.Helper()
	for {
		v := s.asking(id)
		if v.Question == nil {
			s.Fatalf("the run is %s before %s: %s", v.State, figure, v.Cause)
		}
		if v.Question.Figure == figure {
			return v
		}
		answer := s.hand(*v.Question)
		answer["question"] = v.Question.Number
		s.call("POST", "/v1/runs/"+id+"/answers", answer, &v)
	}
}

func stoppedRun(l *look) {
	p, s := l.phone, l.site
	id := s.client.begin(map[string]any{"gauge": "caliper"})
	s.reach(id, "mark")
	p.visitPage("/#/runs/" + id)
	p.until(`document.querySelector('.bar .stop') !== null`)
	p.tap(".bar .stop")
	l.at("ended stopped", headed("The check was stopped."), true)
	p.quiet()
}

// interruptedRun is an agent that is killed over a motion: it cannot know how far the filament went.
func interruptedRun(l *look) {
	p, s := l.phone, l.site
	id := s.client.begin(map[string]any{"gauge": "caliper"})
	v := s.reach(id, "mark")
	s.printer.Bench().Mark(120)
	s.call("POST", "/v1/runs/"+id+"/answers", map[string]any{"question": v.Question.Number, "mark_mm": 120}, &v)
	v = s.reach(id, "hands_away")
	p.visitPage("/#/runs/" + id)
	p.shows(v)
	moves := s.printer.Snapshot().Moves
	s.call("POST", "/v1/runs/"+id+"/answers", map[string]any{"question": v.Question.Number, "hands_away": true}, nil)
	for s.printer.Snapshot().Moves == moves && s.Context().Err() == nil {
		eval[bool](p.tab, `window.eyes.drawn()`) // a few frames: asking the agent faster than that is refused
	}
	p.net.sever()
	s.kill()
	s.rise()
	p.net.mend(s.listens)
	p.excuse()
	l.at("ended interrupted", headed("The check was interrupted."), true)
}

// lineStates are those of the line to a printer.
func lineStates(l *look) {
	p, s := l.phone, l.site
	p.visitPage("/")
	p.until(headed("The feed check is due."))
	if err := s.cable.Unplug(); err != nil {
		l.Fatal(err)
	}
	l.at("line unplugged", headed("Window is unplugged."), false)
	if err := s.cable.Replug(); err != nil {
		l.Fatal(err)
	}
	p.until(headed("The feed check is due."))
	s.call(http.MethodPost, "/v1/printers/window/halt", nil, nil)
	l.at("line halted", headed("The printer stopped itself."), false)
}
