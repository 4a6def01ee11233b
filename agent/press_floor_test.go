package main

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"syscall"
	"testing"
	"time"

	"fettle/api/guard"
	"fettle/routines"
	"fettle/routines/logbook"
	"fettle/routines/runner"
	"fettle/serialio/standin"
)

const (
	floorPrinters = 24                    // each with somebody who presses
	liveStreams   = 200                   // websockets that are open meanwhile, those of the pressers among them
	pressEvery    = 60 * time.Millisecond // at the most, all of them together: more would measure what 200 streams take in
)

// floor is an agent in a process of its own with its printers, and everybody who watches them.
type floor struct {
	*testing.T
	victim
	fars []*farEnd
	turn *time.Ticker // of the pressers
}

// newFloor furnishes a logbook with printers and starts the agent in real time, as it is in a shop.
func newFloor(t *testing.T, folder string) *floor {
	t.Helper()
	f := &floor{T: t, victim: victim{client: client{TB: t}, folder: folder, speedup: 1}, turn: time.NewTicker(pressEvery)}
	t.Cleanup(f.turn.Stop)
	h, err := build(t.Context(), settings{Data: f.folder, LogLevel: "error"}, 1, io.Discard)
	if err != nil {
		t.Fatal(err)
	}
	defer h.book.Close()
	for n := range floorPrinters {
		f.fars = append(f.fars, newFarEnd(t))
		p := logbook.Printer{ID: printerOf(n), Name: printerOf(n), Port: f.fars[n].Name(), Baud: 115200}
		setup := routines.Setup{Drive: "direct", FilamentDiameterMM: 1.75, NozzleBoreMM: 0.4, Liner: "all_metal", NozzleMaxC: 280,
			BedMaxC: 100, FeedMaxMMPerS: 25, BuildXMM: 220, BuildYMM: 220, BuildZMM: 200, Switch: "back, left"}
		_, err := h.book.Commit(t.Context(), logbook.Step{Printer: &p, Setup: &logbook.SetupOf{Printer: p.ID, Setup: setup},
			Events: []logbook.Event{{Printer: p.ID, Kind: "printer added", Name: p.Name, Who: "test"}}})
		if err != nil {
			t.Fatal(err)
		}
	}
	if f.token, _, err = guard.NewToken(t.Context(), h.book, "test", guard.Operate, "test"); err != nil {
		t.Fatal(err)
	}
	return f
}

func printerOf(n int) string { return fmt.Sprint("p", n) }

// from is a client at an address of its own on this computer: rates and connections are counted by address.
func (f *floor) from(ip net.IP) *http.Client {
	dialer := &net.Dialer{LocalAddr: &net.TCPAddr{IP: ip}}
	return &http.Client{Transport: &http.Transport{DialContext: dialer.DialContext}}
}

// watch opens a live stream; what it says is passed on until the test ends. It reads frames as RFC 6455 section 5.2 has
// them, and answers a ping, which is how a listener says that it is there.
func (f *floor) watch(ip net.IP, path string, told func(message []byte)) {
	f.Helper()
	dialer := &net.Dialer{LocalAddr: &net.TCPAddr{IP: ip}}
	conn, err := dialer.Dial("tcp", f.url[len("http://"):])
	if err != nil {
		f.Fatal(err)
	}
	f.T.Cleanup(func() { conn.Close() })
	fmt.Fprintf(conn, "GET %s HTTP/1.1\r\nHost: %s\r\nAuthorization: Bearer %s\r\nConnection: Upgrade\r\nUpgrade: websocket\r\n"+
		"Sec-WebSocket-Version: 13\r\nSec-WebSocket-Key: dGhlIHNhbXBsZSBub25jZQ==\r\n\r\n", path, conn.RemoteAddr(), f.token)
	in := bufio.NewReader(conn)
	res, err := http.ReadResponse(in, nil)
	if err != nil || res.StatusCode != http.StatusSwitchingProtocols {
		f.Fatalf("no live stream: %v %v", res, err)
	}
	go listenTo(conn, in, told) // ends with the connection
}

// The kinds of frame that a server sends, each whole.
const textFrame, pingFrame = 0x81, 0x89

func listenTo(conn net.Conn, in *bufio.Reader, told func([]byte)) {
	for {
		kind, payload, err := readFrame(in)
		if err != nil {
			return
		}
		switch kind {
		case textFrame:
			told(payload)
		case pingFrame: // an empty pong, masked with zeros
			if _, err := conn.Write([]byte{0x8a, 0x80, 0, 0, 0, 0}); err != nil {
				return
			}
		}
	}
}

func readFrame(in *bufio.Reader) (kind byte, payload []byte, err error) {
	var head [10]byte
	if _, err := io.ReadFull(in, head[:2]); err != nil {
		return 0, nil, err
	}
	length := int(head[1])
	if more := map[int]int{126: 2, 127: 8}[length]; more > 0 {
		if _, err := io.ReadFull(in, head[2:2+more]); err != nil {
			return 0, nil, err
		}
		length = 0
		for _, c := range head[2 : 2+more] {
			length = length<<8 | int(c)
		}
	}
	payload = make([]byte, length)
	_, err = io.ReadFull(in, payload)
	return head[0], payload, err
}

// sight is the newest view of one printer that a live stream told.
type sight struct {
	printer string
	views   chan runner.PrinterView // holds the newest
}

func (s sight) told(message []byte) {
	if !bytes.Contains(message, []byte(`"printer"`)) {
		return
	}
	var m struct {
		Printer  runner.PrinterView
		Printers []runner.PrinterView
	}
	if json.Unmarshal(message, &m) != nil {
		return // another kind of message
	}
	for _, v := range append(m.Printers, m.Printer) {
		if v.ID != s.printer {
			continue
		}
		select {
		case <-s.views:
		default:
		}
		s.views <- v
	}
}

// await waits for a view.
func (s sight) await(ctx context.Context, holds func(runner.PrinterView) bool) error {
	var last runner.PrinterView
	for {
		select {
		case last = <-s.views:
			if holds(last) {
				return nil
			}
		case <-ctx.Done():
			return fmt.Errorf("%s is %+v", s.printer, last.Line)
		}
	}
}

// crossing is a bare pseudo-terminal, written to by nobody but the test.
type crossing struct {
	host  *os.File
	heard chan time.Time
}

func newCrossing(t *testing.T) crossing {
	t.Helper()
	pty, err := standin.OpenPTY()
	if err != nil {
		t.Fatal(err)
	}
	host, err := os.OpenFile(pty.Name(), os.O_RDWR|syscall.O_NOCTTY, 0)
	if err != nil {
		t.Fatal(err)
	}
	c := crossing{host, make(chan time.Time, 1)}
	go func() { // ends when the pseudo-terminal is closed
		var room [64]byte
		for {
			n, err := pty.Read(room[:])
			if errors.Is(err, os.ErrClosed) {
				return
			}
			if n > 0 {
				c.heard <- time.Now()
			}
		}
	}()
	t.Cleanup(func() {
		if err := errors.Join(host.Close(), pty.Close()); err != nil {
			t.Error(err)
		}
	})
	return c
}

// cross is how long one line takes over it.
func (c crossing) cross(ctx context.Context) (time.Duration, error) {
	begun := time.Now()
	if _, err := c.host.WriteString(nozzleOff + "\n"); err != nil {
		return 0, err
	}
	select {
	case at := <-c.heard:
		return at.Sub(begun), nil
	case <-ctx.Done():
		return 0, ctx.Err()
	}
}

// smallDisk is a file system of its own with room for so many bytes, until the test ends.
func smallDisk(t *testing.T, bytes int) string {
	t.Helper()
	folder := t.TempDir()
	if err := syscall.Mount("none", folder, "tmpfs", 0, fmt.Sprint("size=", bytes)); err != nil {
		t.Skipf("no small disk can be mounted here: %v", err)
	}
	t.Cleanup(func() {
		if err := syscall.Unmount(folder, 0); err != nil {
			t.Error(err)
		}
	})
	return folder
}

// fill leaves not a byte on a disk, and makes sure that nothing is stored any more.
func (f *floor) fill() {
	f.Helper()
	ballast, err := os.Create(filepath.Join(f.folder, "ballast"))
	if err != nil {
		f.Fatal(err)
	}
	defer ballast.Close()
	for _, piece := range [][]byte{make([]byte, 1<<16), make([]byte, 1)} {
		for err = nil; err == nil; {
			_, err = ballast.Write(piece)
		}
	}
	ctx, cancel := context.WithTimeout(f.Context(), time.Minute)
	defer cancel()
	for n := 0; ctx.Err() == nil; n++ {
		m := map[string]any{"id": fmt.Sprint("m-", n), "name": "Invented", "nozzle_c": 210, "nozzle_min_c": 190, "nozzle_max_c": 230}
		if status, _, err := f.try(http.MethodPost, "/v1/materials", m); err != nil || status >= 500 {
			return
		}
	}
	f.Fatal("the disk does not fill")
}
