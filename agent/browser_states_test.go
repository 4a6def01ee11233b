package main

import (
	"context"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"fettle/routines/runner"
	"fettle/serialio/standin"
)

// everyState brings the agent into each state that the pages have, for real, and looks at the page from all sides. With
// AGENT_SHOTS=folder each is photographed as well.
func everyState(t *testing.T, browser context.Context) {
	axe, shots := readAxe(t), shotsFolder(t)
	for _, c := range slices.Concat(scenes(), quietLine(), sentScenes()) {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			profile, speedup := demoProfile(), 50.0
			if c.change != nil {
				c.change(&profile)
			}
			if c.speedup > 0 {
				speedup = c.speedup
			}
			s := &site{victim: newVictim(t, profile, speedup), browser: browser, scheme: "http"}
			if len(c.before) > 0 {
				s.tell(c.before)
			}
			s.firstLife(t, c.settings...)
			l := &look{T: t, site: s, axe: axe, shots: shots}
			if c.stranger {
				l.phone = s.stranger(t)
			} else {
				l.phone = s.paired(t, "Ana's phone")
			}
			c.show(l)
		})
	}
}

// shotsFolder is where photographs go, or empty.
func shotsFolder(t *testing.T) string {
	t.Helper()
	shots := os.Getenv("AGENT_SHOTS")
	if shots == "" {
		return ""
	}
	shots, _ = filepath.Abs(shots)
	if err := os.MkdirAll(shots, 0o755); err != nil {
		t.Fatal(err)
	}
	return shots
}

// scene is a printer and an agent, and the states that they are led through.
type scene struct {
	name     string
	change   func(*standin.Profile)
	speedup  float64 // 0: 50
	settings []string
	stranger bool
	before   []string // what another program said to the printer before the agent came
	show     func(l *look)
}

func scenes() []scene {
	return []scene{
		{name: "questions", show: questions},
		{name: "machine at work", speedup: 5, show: atWork},
		{name: "pairing", stranger: true, show: pairing},
		{name: "pages", show: pagesBetweenRuns},
		{name: "setup", show: setupPages},
		{name: "leaves it", change: func(p *standin.Profile) { p.TrueStepsPerMM = 93 }, show: ended("leave", "Leave it at ")},
		{name: "cannot tell", change: func(p *standin.Profile) { p.TrueStepsPerMM = 93.5 }, show: cannotTell},
		{name: "turns backwards", change: func(p *standin.Profile) { p.Reversed = true }, show: ended("failed", "")},
		{name: "takes no M92", change: func(p *standin.Profile) { p.UnknownWords = []string{"M92", "M500"} }, show: ended("ratio", "")},
		{name: "stores nothing", change: func(p *standin.Profile) { p.StoresNothing = true }, show: ended("not stored", "95.90 is in use, not stored.")},
		{name: "not written", show: notWritten},
		{name: "climb", change: func(p *standin.Profile) { p.FlowLimit = climbLimit }, speedup: hurry, show: climbedByTouch},
		{name: "stopped", show: stoppedRun},
		{name: "interrupted", show: interruptedRun},
		{name: "line", show: lineStates},
		{name: "played", show: played(playedStates())},
		{name: "played ladders", show: played(ladderStates())},
		{name: "played dockets", show: played(docketStates())},
		{name: "played ways", show: func(l *look) { played(wayStates(l))(l) }},
		{name: "played flow", show: func(l *look) { played(flowStates(l))(l) }},
		{name: "ten presses", show: tenPresses},
		{name: "played charts", show: played(chartStates())},
	}
}

// wholeRun ends a run by requests, as fast as the printer goes, and shows its page.
func (l *look) wholeRun(inputs map[string]any, special answers) runner.RunView {
	l.Helper()
	id := l.site.client.begin(inputs)
	v := l.site.asking(id)
	for !runner.Ended(v.State) {
		answer := special[v.Question.Figure]
		if answer == nil {
			answer = l.site.says(*v.Question)
		}
		answer["question"] = v.Question.Number
		l.site.call("POST", "/v1/runs/"+id+"/answers", answer, &v)
		v = l.site.asking(id)
	}
	l.phone.visitPage("/#/runs/" + id)
	return v
}

// says is what the person answers who takes the filament as it is.
func (s *site) says(q runner.OpenQuestion) map[string]any {
	s.Helper()
	answer := s.hand(q)
	if x, ok := answer["leftover_mm"].(float64); ok && x > *q.Fields[0].Max {
		return map[string]any{"instead": "filament_came_out"}
	}
	return answer
}

// ended goes through a run and shows the page that it ends with.
func ended(name, head string) func(l *look) {
	return func(l *look) {
		v := l.wholeRun(map[string]any{"gauge": "caliper"}, nil)
		if head == "" {
			head = v.Finding.Headline + "."
		}
		l.at("ended "+name, headed(head), true)
	}
}

func notWritten(l *look) {
	l.wholeRun(map[string]any{"gauge": "caliper"}, answers{"finding": {"apply": "leave"}})
	l.at("ended not written", headed("Left at "), true)
	eval[bool](l.phone.tab, `(location.hash = '#/runs/r1/budget', true)`)
	l.at("budget", headed("Most of the ±"), false)
}
