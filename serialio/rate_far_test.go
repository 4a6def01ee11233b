package serialio

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"strings"
	"testing"
	"time"

	"golang.org/x/sys/unix"
)

// wirePace is how fast a far end is: what its bytes take, and how long it thinks before it answers. The zero value takes
// no time at all.
type wirePace struct {
	baud       int           // 10 bits a byte: start, 8, stop
	turnAround time.Duration // between the last byte of a line and the first of its answer
}

func (w wirePace) String() string { return fmt.Sprintf("%d %v", w.baud, w.turnAround) }

// bytes is how long so many bytes are on the wire.
func (w wirePace) bytes(n int) time.Duration {
	if w.baud == 0 {
		return 0
	}
	return time.Duration(n) * 10 * time.Second / time.Duration(w.baud)
}

// spun is the last piece of a wait, which is spun through: the kernel wakes a sleeper that much late.
const spun = 100 * time.Microsecond

// sleepUntil is as exact as this computer can be, and does not drift: it holds to a moment, not to a length. The runtime's
// own timers are only as fine as a millisecond where nothing else goes on.
func sleepUntil(due time.Time) {
	for left := time.Until(due); left > 0; left = time.Until(due) {
		if left > spun {
			rest := unix.NsecToTimespec(int64(left - spun))
			_ = unix.Nanosleep(&rest, nil) // woken early, it looks again
		}
	}
}

// respond answers each line with ok, and what the greeting needs, until the far end is closed. A line begins to arrive
// when it is read here, or when the one before it has arrived.
func respond(far *os.File, pace wirePace) {
	var b board
	var heard, said time.Time // when the last byte so far has gone over the wire, each way
	in := bufio.NewReader(far)
	for {
		line, err := in.ReadString('\n')
		if err != nil {
			return
		}
		answer := answerTo(&b, line)
		if pace.baud > 0 {
			heard = later(time.Now(), heard).Add(pace.bytes(len(line)))
			said = later(heard.Add(pace.turnAround), said).Add(pace.bytes(len(answer)))
			sleepUntil(said)
		}
		if _, err := io.WriteString(far, answer); err != nil {
			return
		}
	}
}

func later(a, b time.Time) time.Time {
	if a.After(b) {
		return a
	}
	return b
}

// answerTo is "ok" for a move, at once, and the board's own words for the rest.
func answerTo(b *board, line string) string {
	if strings.Contains(line, " G1 ") {
		b.last++
		return "ok\n"
	}
	_, says := b.obey(strings.TrimSpace(line))
	return strings.Join(says, "\n") + "\n"
}

// openPTY makes a pseudo-terminal and returns its far end and the name of the near one, which is opened as a port.
func openPTY(t testing.TB) (*os.File, string) {
	far, err := os.OpenFile("/dev/ptmx", os.O_RDWR|unix.O_NOCTTY, 0)
	if err != nil {
		t.Skipf("no pseudo-terminal here: %v", err)
	}
	raw, err := far.SyscallConn() // Fd would make its reads block, and Close would no longer end them
	if err != nil {
		t.Fatal(err)
	}
	var n int
	var unlock, number error
	err = raw.Control(func(fd uintptr) {
		unlock = unix.IoctlSetPointerInt(int(fd), unix.TIOCSPTLCK, 0)
		n, number = unix.IoctlGetInt(int(fd), unix.TIOCGPTN)
	})
	if err := errors.Join(err, unlock, number); err != nil {
		t.Fatal(err)
	}
	return far, fmt.Sprintf("/dev/pts/%d", n)
}

// farGoroutine is the name of a port whose far end answers from a goroutine for the rest of the benchmark.
func farGoroutine(b *testing.B) string {
	far, name := openPTY(b)
	b.Cleanup(func() { far.Close() })
	go respond(far, wirePace{})
	return name
}

func farProcess(b *testing.B) string { return farPaced(b, wirePace{}) }

// farPaced is the same from a process of its own: a printer does not share our scheduler.
func farPaced(b *testing.B, pace wirePace) string {
	far, name := openPTY(b)
	child := exec.Command(os.Args[0])
	child.Env = append(os.Environ(), farEnd+"="+pace.String())
	child.ExtraFiles = []*os.File{far}
	held, err := os.OpenFile(name, os.O_RDWR|unix.O_NOCTTY, 0) // or the far end would end while no port is open
	if err != nil {
		b.Fatal(err)
	}
	if err := child.Start(); err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() {
		far.Close()
		held.Close()
		child.Process.Kill()
		child.Wait()
	})
	return name
}

// farEnd in the environment makes the test program a far end on its file 3.
const farEnd = "FETTLE_TEST_FAR_END"

func TestMain(m *testing.M) {
	if how := os.Getenv(farEnd); how != "" {
		os.Exit(beFarEnd(how))
	}
	os.Exit(m.Run())
}

func beFarEnd(how string) int {
	baud, turn, _ := strings.Cut(how, " ")
	var pace wirePace
	_, err := fmt.Sscan(baud, &pace.baud)
	if err == nil {
		pace.turnAround, err = time.ParseDuration(turn)
	}
	if err != nil {
		fmt.Fprintf(os.Stderr, "far end %q: %v\n", how, err)
		return 1
	}
	respond(os.NewFile(3, "far end"), pace)
	return 0
}
