package serialio

import (
	"fmt"
	"strings"
	"testing"
	"time"
)

// tear is how the printer's bytes arrive: what it says in one go comes in reads of size bytes. With a place at, it comes
// in two: up to the byte at of the whole exchange, and after a rest what is behind it.
type tear struct {
	size int
	at   int
	rest time.Duration
}

const unlimited = 1 << 20

var (
	whole  = tear{size: unlimited, at: -1}
	byByte = tear{size: 1, at: -1}
)

// replayer plays one side and holds the engine to the other.
type replayer struct {
	t      testing.TB
	engine *Engine
	split  splitter
	size   int // bytes of a read
	now    Mono
	job    uint32
	wrote  []string // not yet claimed by the transcript
	ends   []string
}

func newReplay(t testing.TB, size int) *replayer {
	r := &replayer{t: t, engine: NewEngine(0, 0), size: size}
	r.step(Event{Kind: Tick}) // it asks for the port, which step gives it
	return r
}

func replay(t *testing.T, ops []op, how tear) {
	t.Helper()
	r := newReplay(t, how.size)
	for i := 0; i < len(ops); i++ {
		if ops[i].kind == '<' {
			own := ops[i].own
			var chunk []byte
			for ; i < len(ops) && ops[i].kind == '<' && ops[i].own == own; i++ {
				chunk = append(append(chunk, ops[i].text...), '\n')
			}
			i--
			r.torn(chunk, how)
			if own {
				how.at -= len(chunk)
			}
			continue
		}
		if !r.play(ops[i]) {
			t.Fatalf("torn at %+v, %s\nwritten and not expected: %q; ends: %q; %s, %s; knows %s", how, ops[i].where, r.wrote, r.ends,
				r.engine.Status().State, r.engine.Status().Why, r.knows(ops[i].text))
		}
	}
	if len(r.wrote) > 0 || len(r.ends) > 0 {
		t.Fatalf("torn at %+v: at the end: written %q, ended %q", how, r.wrote, r.ends)
	}
}

// torn gives the engine what the printer said in one go, in two parts if the place is in it.
func (r *replayer) torn(chunk []byte, how tear) {
	if how.at < 0 || how.at >= len(chunk)-1 {
		r.hear(chunk)
		return
	}
	r.hear(chunk[:how.at+1])
	r.pass(how.rest)
	r.hear(chunk[how.at+1:])
}

// hear gives the engine what the printer said, in reads of the replayer's size.
func (r *replayer) hear(said []byte) {
	for len(said) > 0 {
		n := min(r.size, len(said))
		r.split.split(said[:n], func(line []byte) { r.step(Event{Kind: Heard, Text: line}) })
		said = said[n:]
	}
}

func (r *replayer) play(o op) bool {
	switch o.kind {
	case '>':
		return claim(&r.wrote, o.text)
	case '=':
		return claim(&r.ends, o.text)
	case '+':
		d, err := time.ParseDuration(o.text)
		if err != nil || len(r.wrote) > 0 {
			return false
		}
		r.pass(d)
	case '?':
		r.job++
		r.step(Event{Kind: Submit, Job: r.job, Text: []byte(o.text)})
	case '!':
		r.step(Event{Kind: map[string]Kind{"stop": Stop, "halt": Halt, "wake": Wake}[o.text]})
	case '@':
		return r.engine.Status().State.String() == o.text
	case '%':
		return r.knows(o.text) == o.text
	default:
		return false
	}
	return true
}

// knows is what the line knows of the thing that a text begins with, in the same form.
func (r *replayer) knows(text string) string {
	s := r.engine.Status()
	what, _, _ := strings.Cut(text, " ")
	switch what {
	case "nozzle":
		return fmt.Sprintf("nozzle %.1f /%.1f", s.Temps.NozzleC, s.Temps.NozzleTargetC)
	case "bed":
		return fmt.Sprintf("bed %.1f /%.1f", s.Temps.BedC, s.Temps.BedTargetC)
	case "at":
		return fmt.Sprintf("at %.2f %.2f %.2f %.2f", s.Position.X, s.Position.Y, s.Position.Z, s.Position.E)
	case "firmware":
		return "firmware " + s.Identity.Firmware
	case "caps":
		return fmt.Sprint("caps ", s.Identity.Caps)
	case "fault":
		return "fault " + s.Fault
	case "why":
		return "why " + s.Why
	case "unsure":
		return fmt.Sprint("unsure ", s.Unsure)
	case "stopped":
		return fmt.Sprintf("stopped asked %t, confirmed %t", s.Asked, s.Confirmed)
	}
	return "nothing of " + what
}

// claim takes the first of a list, if it is what was expected.
func claim(list *[]string, want string) bool {
	if len(*list) == 0 || strings.TrimSpace((*list)[0]) != want {
		return false
	}
	*list = (*list)[1:]
	return true
}

// pass lets time go by, with every tick the engine asks for. A tick may set the next for the same moment, but not for
// ever.
func (r *replayer) pass(d time.Duration) {
	end := r.now + d
	for ticks := 0; r.engine.Due() <= end; ticks++ {
		if ticks > 1000 {
			r.t.Fatal("the engine asks for ticks without end")
		}
		r.now = max(r.now, r.engine.Due())
		r.step(Event{Kind: Tick})
	}
	r.now = end
}

func (r *replayer) step(ev Event) {
	for _, e := range r.engine.Step(r.now, ev, nil) {
		switch e.Do {
		case Write:
			r.wrote = append(r.wrote, strings.Split(strings.Trim(string(e.Text), "\n"), "\n")...)
		case End:
			r.ends = append(r.ends, ended(e))
		case Open: // opening is the shell's business; here it always works
			r.step(Event{Kind: Opened})
		}
	}
}

// ended is how a job ended, as a transcript has it.
func ended(e Effect) string {
	said := strings.ReplaceAll(strings.TrimSuffix(string(e.Text), "\n"), "\n", " | ")
	switch e.Outcome {
	case Obeyed, Unknown:
	case Restarted:
		said = ""
	default:
		said = e.Why
	}
	if e.Outcome == Obeyed && e.Doubtful {
		said = "(in doubt) " + said
	}
	return fmt.Sprint(outcomeNames[e.Outcome], " ", said)
}

var outcomeNames = map[Outcome]string{Obeyed: "obeyed", Refused: "refused", Unknown: "unknown", Unsent: "unsent", Stopped: "stopped",
	WasHalted: "halted", Lost: "lost", Restarted: "restarted"}
