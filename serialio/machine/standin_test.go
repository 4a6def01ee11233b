package machine_test

import (
	"context"
	"errors"
	"io"
	"math"
	"strings"
	"sync"
	"testing"

	"fettle/serialio"
	"fettle/serialio/machine"
	"fettle/serialio/port"
	"fettle/serialio/standin"
)

// speedup of the stand-in: a minute of heating takes a good half second.
const speedup = 100

// shop is a printer at the far end of a real pseudo-terminal, with a real line to it.
type shop struct {
	*machine.Machine
	printer *standin.Printer
	line    *serialio.Line
}

func newShop(t testing.TB, p standin.Profile) shop {
	t.Helper()
	return newShopAt(t, p, speedup)
}

func newShopAt(t testing.TB, p standin.Profile, speedup float64) shop {
	t.Helper()
	pty, err := standin.OpenPTY()
	if err != nil {
		t.Fatal(err)
	}
	printer := standin.NewPrinter(p, speedup)
	line := serialio.New(serialio.Config{Speedup: speedup, Boot: "test",
		Open: func(ctx context.Context) (io.ReadWriteCloser, error) { return port.Open(ctx, pty.Name(), 250000) }})
	m := machine.New(line, speedup)
	m.Limit(machine.Limits{NozzleMaxC: 260, BedMaxC: 110, FeedMaxMMPerS: 5, BuildMM: [3]float64{220, 220, 200}})

	ctx, cancel := context.WithCancel(context.Background())
	var ended sync.WaitGroup
	ended.Go(func() { printer.Serve(ctx, pty) }) // ends with ctx
	ended.Go(func() { m.Run(ctx) })              // ends with ctx
	t.Cleanup(func() { cancel(); ended.Wait() })

	for {
		news := m.Changed()
		if m.Snapshot().State == serialio.Listening {
			return shop{m, printer, line}
		}
		select {
		case <-news:
		case <-t.Context().Done():
			t.Fatalf("never listened: %s", m.Snapshot().Why)
		}
	}
}

func (s shop) heated(t *testing.T, celsius float64) {
	t.Helper()
	if err := errors.Join(s.SetNozzle(t.Context(), celsius), s.WaitNozzle(t.Context(), celsius)); err != nil {
		t.Fatal(err)
	}
}

// 93.00 steps/mm configured where 94.512 are true: 100 mm commanded, 98.40 mm fed (93 / 94.512 x 100).
func TestHeatAndFeedOnTheStandIn(t *testing.T) {
	s := newShop(t, standin.Invented())
	s.heated(t, 205)
	if now := s.printer.Snapshot(); math.Abs(now.NozzleC-205) > 3 || now.NozzleTargetC != 205 {
		t.Errorf("nozzle at %.1f of %.1f °C", now.NozzleC, now.NozzleTargetC)
	}
	feed := func(mm float64) {
		t.Helper()
		if got, remarks, err := s.Feed(t.Context(), mm, 1, nil); got != mm || len(remarks) > 0 || err != nil {
			t.Fatalf("feed %g: %g, %q, %v", mm, got, remarks, err)
		}
	}
	feed(5) // takes up the play
	before := s.printer.Bench().FedMM()
	feed(100)
	if fed := s.printer.Bench().FedMM() - before; math.Abs(fed-98.40) > 0.15 { // less what slips at 2.4 mm3/s
		t.Errorf("fed %.3f mm", fed)
	} else {
		t.Logf("fed %.3f mm", fed)
	}
	if now := s.printer.Snapshot(); now.RelativeE || now.Queued > 0 || now.Position[3] != 100 {
		t.Errorf("after the feed: %+v", now.Position)
	}
	if err := s.Off(t.Context()); err != nil {
		t.Error(err)
	}
	if now := s.printer.Snapshot(); now.NozzleTargetC != 0 || now.BedTargetC != 0 {
		t.Error("still heating")
	}
	for _, o := range s.printer.Snapshot().Obeyed {
		for _, never := range []string{"M109", "M190", "G4"} {
			if strings.HasPrefix(o.Block, never) {
				t.Errorf("sent %q", o.Block)
			}
		}
	}
}

func TestAColdFeedIsPreventedByTheStandIn(t *testing.T) {
	s := newShop(t, standin.Invented())
	_, remarks, err := s.Feed(t.Context(), 20, 1, nil)
	if !errors.Is(err, machine.ErrColdPrevented) || len(remarks) == 0 {
		t.Errorf("%q, %v", remarks, err)
	}
	if fed := s.printer.Bench().FedMM(); fed != 0 {
		t.Errorf("fed %g mm", fed)
	}
}

func TestABrokenHeaterIsNoticed(t *testing.T) {
	p := standin.Invented()
	p.HeaterBroken = true
	s := newShop(t, p)
	if err := s.SetNozzle(t.Context(), 205); err != nil {
		t.Fatal(err)
	}
	var fault *machine.HeatError
	err := s.WaitNozzle(t.Context(), 205)
	ours := errors.As(err, &fault) && (fault.Fault == machine.Frozen || fault.Fault == machine.NoRise)
	if err == nil || (!ours && s.Snapshot().State != serialio.Halted) { // the firmware may be the faster one
		t.Errorf("%v; the line is %s", err, s.Snapshot().State)
	}
}

func TestStopDuringAFeedOfTheStandIn(t *testing.T) {
	s := newShop(t, standin.Invented())
	s.heated(t, 205)
	once := sync.Once{}
	_, _, err := s.Feed(t.Context(), 400, 1, func(fed float64) {
		if fed > 20 {
			once.Do(s.Stop)
		}
	})
	if !errors.Is(err, serialio.ErrStopped) {
		t.Errorf("ended with %v", err)
	}
	for news := s.Changed(); !s.Snapshot().StopConfirmed; news = s.Changed() {
		select {
		case <-news:
		case <-t.Context().Done():
			t.Fatal("the stop was never confirmed")
		}
	}
	now := s.printer.Snapshot()
	if now.NozzleTargetC != 0 || now.Position[3] > 40 {
		t.Errorf("target %g °C, fed to %g mm", now.NozzleTargetC, now.Position[3])
	}
}

func TestSettingsAndTypedLinesOnTheStandIn(t *testing.T) {
	s := newShop(t, standin.Invented())
	ctx := t.Context()
	if err := errors.Join(s.SetStepsPerMM(ctx, 94.512), s.Save(ctx), s.SetStepsPerMM(ctx, 10), s.Load(ctx)); err != nil {
		t.Fatal(err)
	}
	settings, err := s.Settings(ctx)
	if v, ok := settings.StepsPerMM(0); err != nil || !ok || math.Abs(v-94.512) > 0.005 {
		t.Errorf("%g, %t, %v", v, ok, err)
	}
	for _, row := range settings.Rows {
		if !machine.Settable(row.Line()) {
			t.Errorf("%q of the settings report cannot be given back", row.Line())
		}
	}
	if err := s.Set(ctx, "M221 S95"); err != nil {
		t.Error(err)
	}
	flow, feed, err := s.Multipliers(ctx)
	if err != nil || flow == nil || *flow != 95 || feed == nil || *feed != 100 {
		t.Errorf("%v %v %v", flow, feed, err)
	}
	for _, typed := range []string{"G28", "G91", "G1 Z5 F300", "M114"} {
		lines, err := s.Single(ctx, typed, true)
		if err != nil {
			t.Errorf("%s: %v", typed, err)
		}
		if typed == "M114" && (len(lines) == 0 || !strings.Contains(lines[0], "Z:5.00")) {
			t.Errorf("M114 answered %q", lines)
		}
	}
	if now := s.printer.Snapshot(); now.Position[2] != 5 {
		t.Errorf("at Z %g", now.Position[2])
	}
}
