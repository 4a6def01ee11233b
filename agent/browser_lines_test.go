package main

import (
	"bufio"
	"io"
	"net/http"
	"strings"
	"sync/atomic"

	"fettle/serialio/standin"

	"go.bug.st/serial"
)

// deaf is a cable that lets nothing through to the host, or to the printer, once it is told so.
type deaf struct{ now atomic.Bool }

func (d *deaf) wire(p []byte) []byte {
	if d.now.Load() {
		return nil
	}
	return p
}

// quietLine are the scenes of a line that says nothing, or that others use.
func quietLine() []scene {
	hear, say, before := &deaf{}, &deaf{}, func(p *standin.Profile) { p.ResetsOnOpen, p.Greets, p.BootTime = false, false, -1 }
	return []scene{
		{name: "greeting", speedup: 1, change: func(p *standin.Profile) { hear.now.Store(true); p.ToHost = hear.wire }, show: func(l *look) {
			l.phone.visitPage("/")
			l.at("line greeting", headed("Waiting for its greeting."), false)
		}},
		{name: "out of step", change: func(p *standin.Profile) { p.FromHost = say.wire }, show: func(l *look) { outOfStep(l, say) }},
		{name: "someone else", change: before, before: []string{"M104 S200"}, show: func(l *look) {
			l.phone.visitPage("/")
			l.at("line someone else", headed("Window is at work for someone else."), false)
		}},
		{name: "settings differ", change: before, before: []string{"M500", "M204 P700"}, show: func(l *look) {
			id := l.site.client.begin(map[string]any{"gauge": "caliper"})
			l.phone.visitPage("/#/runs/" + id)
			l.question("differs", l.site.reach(id, "differs"))
		}},
	}
}

// outOfStep is a cable of which a wire breaks over a run: the printer hears nothing more, Stop neither.
func outOfStep(l *look, say *deaf) {
	p, s := l.phone, l.site
	id := s.client.begin(map[string]any{"gauge": "caliper"})
	s.reach(id, "mark")
	p.visitPage("/#/runs/" + id)
	p.until(`document.querySelector('.bar .stop') !== null`)
	say.now.Store(true)
	s.call(http.MethodPost, "/v1/printers/window/stop", nil, nil)
	p.turn("#/printers/window")
	p.until(headed("Switch Window off"))
	l.at("stop not confirmed", headed("Switch Window off"), false)
}

// tell says something to a printer before any agent does, as another program would, and hears it say ok to each line.
func (s *site) tell(lines []string) {
	s.Helper()
	line, err := serial.Open(s.cable.Name(), &serial.Mode{BaudRate: 115200})
	if err != nil {
		s.Fatal(err)
	}
	defer line.Close()
	if err := line.SetReadTimeout(patience / 100); err != nil { // bufio gives up after 100 empty reads
		s.Fatal(err)
	}
	replies := bufio.NewReader(line)
	for _, words := range lines {
		if _, err := io.WriteString(line, words+"\n"); err != nil {
			s.Fatal(err)
		}
		for said := ""; !strings.HasPrefix(said, "ok"); {
			if said, err = replies.ReadString('\n'); err != nil {
				s.Fatalf("the printer does not answer %q: %v", words, err)
			}
		}
	}
}
