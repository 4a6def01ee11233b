package standin

import (
	"bufio"
	"context"
	"net"
	"testing"
	"testing/synctest"
	"time"
)

// talked is a printer on a pipe in a bubble of false time; a goroutine left behind fails the test.
func talked(t *testing.T, profile Profile, speedup float64, talk func(net.Conn, *bufio.Reader, *Printer)) {
	synctest.Test(t, func(t *testing.T) {
		near, far := net.Pipe()
		printer := NewPrinter(profile, speedup)
		ctx, cancel := context.WithCancel(t.Context())
		ended := make(chan error)
		go func() { ended <- printer.Serve(ctx, far) }() // ends with ctx
		talk(near, bufio.NewReader(near), printer)
		cancel()
		if err := <-ended; err != nil {
			t.Error(err)
		}
		near.Close()
	})
}

func TestTimeOnTheLineIsTheClocksTimesTheSpeedup(t *testing.T) {
	for _, speedup := range []float64{0, 1, 60} {
		factor := max(speedup, 1)
		talked(t, Invented(), speedup, func(w net.Conn, r *bufio.Reader, p *Printer) {
			begin := time.Now()
			since := func() float64 { return time.Since(begin).Seconds() * factor }
			until(t, r, "echo:Default settings")
			mustBe(t, "seconds to the greeting", since(), 1.5, 1e-6*factor)
			write(t, w, "G4 S5\n")
			until(t, r, "echo:busy")
			mustBe(t, "seconds to the first busy", since(), 3.5, 1e-6*factor)
			until(t, r, "echo:busy")
			mustBe(t, "seconds to the second busy", since(), 5.5, 1e-6*factor)
			until(t, r, "ok")
			mustBe(t, "seconds to the ok", since(), 6.5, 1e-6*factor)
		})
	}
}

func TestAPrinterGoesOnWhileItsHostDoesNotRead(t *testing.T) {
	talked(t, Profile{BootTime: -1}, 1, func(w net.Conn, r *bufio.Reader, p *Printer) {
		write(t, w, "M105\nM155 S1\n")
		time.Sleep(time.Minute)
		write(t, w, "M112\n")
		synctest.Wait()
		if !p.Snapshot().Halted {
			t.Error("a host that does not read cannot halt the printer")
		}
		until(t, r, "Error:Printer halted")
	})
}

func TestAHeaterFaultIsToldWithoutBeingAsked(t *testing.T) {
	talked(t, Profile{BootTime: -1}, 1, func(w net.Conn, r *bufio.Reader, p *Printer) {
		p.Bench().BreakHeater(true)
		write(t, w, "M104 S210\n")
		until(t, r, "ok")
		begin := time.Now()
		until(t, r, "Error:Heating failed, system stopped! Heater_ID: 0")
		mustBe(t, "seconds to the fault", time.Since(begin).Seconds(), 20, 2)
	})
}

func TestThePrintersButtonResetsItUnderItsHost(t *testing.T) {
	talked(t, Invented(), 1, func(w net.Conn, r *bufio.Reader, p *Printer) {
		until(t, r, "start")
		until(t, r, "echo:Default settings")
		p.Reset()
		until(t, r, "start")
		until(t, r, "echo:Default settings")
		if got := p.Snapshot().Resets; got != 2 {
			t.Errorf("%d resets, want the opening's and the button's", got)
		}
	})
}

func TestALineThatBreaksEndsTheServing(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		near, far := net.Pipe()
		ended := make(chan error)
		go func() { ended <- NewPrinter(Invented(), 1).Serve(t.Context(), far) }() // ends with the line
		near.Close()
		if err := <-ended; err == nil {
			t.Error("a broken line is no error")
		}
	})
}
