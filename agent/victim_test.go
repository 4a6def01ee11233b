package main

import (
	"context"
	"encoding/json"
	"errors"
	"io"
	"net/http"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"strconv"
	"sync"
	"syscall"
	"testing"

	"fettle/api/guard"
	"fettle/routines/logbook"
	"fettle/serialio/standin"
)

// TestMain lets this test's program be the agent itself, in a process of its own that can be killed.
func TestMain(m *testing.M) {
	ctx, stop := signal.NotifyContext(context.Background(), syscall.SIGTERM)
	if os.Getenv("AGENT_TEST_SERVE") != "" {
		os.Exit(beVictim(ctx))
	}
	stop()
	os.Exit(m.Run())
}

// beVictim serves until SIGTERM, or until it kills itself when event number AGENT_TEST_KILL_AT is on the disk.
func beVictim(ctx context.Context) int {
	s, err := readSettings()
	if err == nil {
		begin := sync.OnceFunc(func() { go killAt(s.Data, os.Getenv("AGENT_TEST_KILL_AT")) }) // ends with the process
		err = serveVictim(ctx, s, listeningFirst{begin})
	}
	if err != nil {
		io.WriteString(os.Stderr, err.Error()+"\n")
		return exitFailed
	}
	return exitFine
}

// listeningFirst is the stdout of a life that may be killed once it has said where it listens, and not before.
type listeningFirst struct{ begin func() }

func (l listeningFirst) Write(p []byte) (int, error) {
	n, err := os.Stdout.Write(p)
	if atAddress.Match(p) {
		l.begin()
	}
	return n, err
}

// killAt follows the logbook through a second connection of its own, as another process would.
func killAt(folder, at string) {
	last, err := strconv.ParseInt(at, 10, 64)
	if err != nil {
		return
	}
	book, err := logbook.Open(context.Background(), filepath.Join(folder, "logbook.db"))
	for err == nil {
		var events []logbook.Event
		events, err = book.Events(context.Background(), logbook.Filter{After: last - 1, Limit: 1})
		if len(events) > 0 {
			syscall.Kill(os.Getpid(), syscall.SIGKILL)
		}
	}
}

// victim is an agent in a process of its own, beside a stand-in printer that outlives it.
type victim struct {
	client
	folder  string
	speedup float64
	printer *standin.Printer
	cable   *standin.Cable
	env     []string // more settings for each life
	strand  strandHeld
	gauge   string // that the person reads with
	process *exec.Cmd
	errs    *told
}

// newVictim is the first printer of the demo, with another profile.
func newVictim(t *testing.T, profile standin.Profile, speedup float64) *victim {
	t.Helper()
	window := demoPrinters()[0]
	window.profile = profile
	return newVictimOf(t, window, speedup)
}

// newVictimOf furnishes a logbook and plugs a printer in. No agent is started yet.
func newVictimOf(t *testing.T, printer inventedPrinter, speedup float64) *victim {
	t.Helper()
	v := &victim{client: client{TB: t, printer: printer.id}, folder: t.TempDir(), speedup: speedup, gauge: "caliper",
		printer: standin.NewPrinter(printer.profile, speedup)}
	cable, err := standin.NewCable(v.folder, "stand-in")
	if err != nil {
		t.Fatal(err)
	}
	v.cable = cable
	ctx, unplug := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- cable.Run(ctx, v.printer) }() // ends with unplug
	t.Cleanup(func() {
		unplug()
		if err := <-ended; err != nil {
			t.Error(err)
		}
	})
	h, err := build(t.Context(), settings{Data: v.folder, LogLevel: "error"}, speedup, io.Discard)
	if err != nil {
		t.Fatal(err)
	}
	defer h.book.Close()
	if err := h.furnish(t.Context(), printer, cable.Name()); err != nil {
		t.Fatal(err)
	}
	if v.token, _, err = guard.NewToken(t.Context(), h.book, "test", guard.Operate, "test"); err != nil {
		t.Fatal(err)
	}
	return v
}

// start begins a life of the agent, which ends itself at the given event; 0 lets it live.
func (v *victim) start(killAt int64) {
	v.Helper()
	out := &told{}
	v.errs = &told{}
	v.process = exec.Command(os.Args[0])
	v.process.Env = append(os.Environ(), "AGENT_TEST_SERVE=1", "AGENT_TEST_KILL_AT="+strconv.FormatInt(killAt, 10), "FETTLE_DATA="+v.folder,
		"FETTLE_LISTEN=127.0.0.1:0", "FETTLE_SILENCE=60s", "FETTLE_SPEEDUP="+strconv.FormatFloat(v.speedup, 'g', -1, 64))
	if killAt == 0 {
		v.process.Env = append(v.process.Env, "AGENT_TEST_KILL_AT=")
	}
	v.process.Env = append(v.process.Env, v.env...)
	v.process.Stdout, v.process.Stderr = out, v.errs
	if err := v.process.Start(); err != nil {
		v.Fatal(err)
	}
	v.url = out.address(v)
}

// gone waits for the life to end.
func (v *victim) gone() {
	var exit *exec.ExitError
	if err := v.process.Wait(); err != nil && !errors.As(err, &exit) {
		v.Fatal(err)
	}
}

// quit ends a life in good order.
func (v *victim) quit() {
	v.Helper()
	if err := v.process.Process.Signal(syscall.SIGTERM); err != nil && !errors.Is(err, os.ErrProcessDone) {
		v.Fatal(err)
	}
	v.gone()
}

// hand answers the open question of a run as the person beside the printer, who also does what is answered.
func (v *victim) hand(q question) map[string]any {
	bench := v.printer.Bench()
	if asked, err := json.Marshal(q.Question); err == nil {
		v.strand.hear(asked)
	}
	var answer map[string]any
	switch q.Figure {
	case "verify":
		answer = map[string]any{"verify": false}
	case "strand":
		answer = map[string]any{"strand": "smooth"}
	case "piece":
		bench.TakeOff()
		answer = v.person(q)
	case "grades":
		trained, _ := eyeNamed("eye")
		answer = answerTo(q, pieceSeen{}.look(bench, 1, trained, false))
	default:
		if measured := ofStrand(v, q, v.looked); measured != nil {
			answer = measured
		} else {
			answer = v.person(q)
		}
	}
	if said, err := json.Marshal(answer); err == nil {
		v.strand.do(bench, said)
	}
	return answer
}

// looked is what the person sees of the filament, with the gauge in their hands.
func (v *victim) looked() looked {
	g, err := v.strand.gaugeNamed(v.gauge)
	if err != nil {
		v.Fatal(err)
	}
	return v.strand.look(v.printer.Bench(), g)
}

// live plays the person until the run ends or the agent is gone.
func (v *victim) live(id string) (ended bool) {
	for {
		view, there := v.see(id)
		if !there {
			return false
		}
		if view.over() {
			return true
		}
		if view.Question == nil {
			continue
		}
		answer := v.hand(*view.Question)
		answer["question"] = view.Question.Number
		if _, _, err := v.try(http.MethodPost, "/v1/runs/"+id+"/answers", answer); err != nil {
			return false
		}
	}
}
