package port

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"testing"

	"golang.org/x/sys/unix"
)

// holds names the port that a second process of this test is to open and hold.
const holds = "PORT_TEST_HOLDS"

// TestMain makes the test's own program the other agent, where it is called as one.
func TestMain(m *testing.M) {
	name := os.Getenv(holds)
	if name == "" {
		os.Exit(m.Run())
	}
	if _, err := Open(context.Background(), name, 0); err != nil {
		fmt.Println(err)
		os.Exit(1)
	}
	fmt.Println("open")
	_, _ = bufio.NewReader(os.Stdin).ReadByte() // until it is killed or the test ends
}

// otherAgent opens a port in a process of its own, with a /tmp of its own, and returns when it has it.
func otherAgent(t *testing.T, name string) (said string, kill func()) {
	t.Helper()
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), holds+"="+name, "TMPDIR="+t.TempDir())
	in, err := cmd.StdinPipe()
	if err != nil {
		t.Fatal(err)
	}
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	said, err = bufio.NewReader(out).ReadString('\n')
	if err != nil {
		t.Fatalf("the other agent: %v", err)
	}
	return said, func() { cmd.Process.Kill(); cmd.Wait(); in.Close() }
}

func TestTwoAgentsAreNeverOnOnePort(t *testing.T) {
	cable := newCable(t)
	said, kill := otherAgent(t, cable.name)
	if said != "open\n" {
		kill()
		t.Fatal(said)
	}
	if _, err := open(t.Context(), cable.name, 0); !errors.Is(err, ErrOccupied) {
		t.Errorf("beside another agent: %v", err)
	}
	kill() // without a chance to clean up
	c, err := open(t.Context(), cable.name, 0)
	if err != nil {
		t.Fatalf("after the other agent was killed: %v", err)
	}
	defer c.Close()
	said, kill = otherAgent(t, cable.linked(t))
	defer kill()
	if said == "open\n" {
		t.Error("another agent opened the port that we have")
	}
}

// The kernel's own exclusion keeps out every program of an ordinary user, not only those that look at locks.
func TestTheKernelIsAskedToExclude(t *testing.T) {
	cable := newCable(t)
	mustOpen(t, cable.name, 0)
	if os.Geteuid() != 0 {
		t.Skip("only root can open an excluded device to look")
	}
	fd, err := unix.Open(cable.name, unix.O_RDWR|unix.O_NOCTTY, 0)
	if err != nil {
		t.Fatal(err)
	}
	defer unix.Close(fd)
	if excluded, err := unix.IoctlGetInt(fd, unix.TIOCGEXCL); err != nil || excluded != 1 {
		t.Errorf("excluded: %d, %v", excluded, err)
	}
}
