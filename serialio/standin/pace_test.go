package standin

import (
	"bufio"
	"context"
	"strconv"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// However late anybody looks, byte n of a burst arrives n times 10 bits after its beginning.
func TestAByteTakesTenBitsAndNoErrorAddsUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		baud := rapid.SampledFrom([]int{9600, 57600, 115200, 250000, 1000000}).Draw(t, "baud")
		begin := time.Duration(rapid.Int64Range(0, 1e12).Draw(t, "begin"))
		l := lane{baud: baud}
		var sent int64
		at := begin
		for range 50 {
			n := rapid.IntRange(1, 300_000).Draw(t, "bytes")
			sent += int64(n)
			want := begin + time.Duration(sent/int64(baud))*10*time.Second + time.Duration(sent%int64(baud)*10_000_000_000/int64(baud))
			got := l.carry(at, n)
			if got != want {
				t.Fatalf("%d bytes at %d baud since %v arrive at %v, want %v", sent, baud, begin, got, want)
			}
			at += time.Duration(rapid.Int64Range(0, int64(got-at)).Draw(t, "later"))
		}
	})
}

func TestABurstBeginsWhenTheLaneIsFree(t *testing.T) {
	l := lane{baud: 115200}
	first := l.carry(time.Second, 1152)
	if first != 1100*time.Millisecond {
		t.Errorf("1,152 bytes at 115,200 baud took until %v", first)
	}
	if got := l.carry(first+time.Second, 1152) - first; got != 1100*time.Millisecond {
		t.Errorf("the next burst arrived %v later", got)
	}
	if got := (&lane{}).carry(time.Second, 1e6); got != time.Second {
		t.Errorf("without a baud rate a byte takes until %v", got)
	}
}

// parcels are the times at which a board hears what is on the road.
func parcels(r *road) string {
	var all []string
	b := make([]byte, 256)
	for at, any := r.due(); any; at, any = r.due() {
		if n := r.receive(at-1, b); n != 0 {
			return "too early"
		}
		n := r.receive(at, b)
		all = append(all, strings.TrimSpace(string(b[:n]))+"@"+strconv.FormatFloat(at.Seconds()*1e3, 'f', -1, 64))
	}
	return strings.Join(all, " ")
}

func TestABoardWorksOnOneLineAfterTheOther(t *testing.T) {
	ms := time.Millisecond
	for name, c := range map[string]struct {
		pace Pace
		send func(*road)
		want string
	}{
		"wire alone":             {Pace{Baud: 10000}, func(r *road) { r.send(0, []byte("123\n1\n")) }, "123@4 1@6"},
		"work alone":             {Pace{TurnAround: 5 * ms}, func(r *road) { r.send(0, []byte("123\n1\n")) }, "123@5 1@10"},
		"work hides the wire":    {Pace{10000, 5 * ms}, func(r *road) { r.send(0, []byte("123\n1\n")) }, "123@9 1@14"},
		"a line at a time":       {Pace{10000, 5 * ms}, func(r *road) { r.send(0, []byte("123\n")); r.send(20*ms, []byte("1\n")) }, "123@9 1@27"},
		"a line in two pieces":   {Pace{10000, 5 * ms}, func(r *road) { r.send(0, []byte("12")); r.send(1*ms, []byte("3\n")) }, "12@2 3@9"},
		"a piece behind a line":  {Pace{10000, 5 * ms}, func(r *road) { r.send(0, []byte("1\n23")) }, "1@7 23@7"},
		"nothing but a line end": {Pace{10000, 0}, func(r *road) { r.send(0, []byte("\n")) }, "@1"},
	} {
		r := newRoad(c.pace)
		c.send(&r)
		if got := parcels(&r); got != c.want || r.held != 0 {
			t.Errorf("%s: heard %s, want %s", name, got, c.want)
		}
	}
}

// pacedHost is a host of a printer at a pace.
func pacedHost(tb testing.TB, pace Pace) (*bufio.ReadWriter, *Printer) {
	tb.Helper()
	cable, err := NewPacedCable(tb.TempDir(), "printer", pace)
	if err != nil {
		tb.Fatal(err)
	}
	printer := NewPrinter(pure(), 1)
	ctx, cancel := context.WithCancel(context.Background())
	ended := make(chan error)
	go func() { ended <- cable.Run(ctx, printer) }() // ends with the test
	port := opened(tb, cable)
	tb.Cleanup(func() {
		cancel()
		if err := <-ended; err != nil {
			tb.Error(err)
		}
	})
	return bufio.NewReadWriter(bufio.NewReader(port), bufio.NewWriterSize(port, 1<<16)), printer
}

func TestAPacedLineLosesAndSwapsNothing(t *testing.T) {
	host, printer := pacedHost(t, Pace{Baud: 1_000_000, TurnAround: 10 * time.Microsecond})
	lines := feeds(200)
	go func() { // ends with its lines
		for _, line := range lines {
			host.Write(line)
			host.Flush()
		}
	}()
	for range lines {
		if said, err := host.ReadString('\n'); said != "ok\n" || err != nil {
			t.Fatalf("said %q, %v", said, err)
		}
	}
	if s := printer.Snapshot(); s.LastLine != 200 || s.Refused != 0 || s.LostBytes != 0 {
		t.Errorf("last line %d, %d refused, %d bytes lost", s.LastLine, s.Refused, s.LostBytes)
	}
}

// One line at a time at 115,200 baud, as a host that waits for each ok. What the wire and the board take is told beside
// it, so that the rest is the host's, the kernel's and the timers'.
func BenchmarkPacedLine(b *testing.B) {
	pace := Pace{Baud: 115200, TurnAround: 500 * time.Microsecond}
	host, _ := pacedHost(b, pace)
	line := []byte(framed(1, "M110 N0") + "\n")
	for b.Loop() {
		host.Write(line)
		host.Flush()
		if _, err := host.ReadString('\n'); err != nil {
			b.Fatal(err)
		}
	}
	wire := lane{baud: pace.Baud}
	b.ReportMetric(float64(wire.carry(0, len(line)+len("ok\n"))+pace.TurnAround), "wire-ns/op")
}
