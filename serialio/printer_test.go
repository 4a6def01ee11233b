package serialio

import (
	"bytes"
	"context"
	"errors"
	"io"
	"net"
	"slices"
	"strings"
	"sync"
	"testing/synctest"
	"time"
)

// printer is a board at the far end of a pipe. It runs in the bubble of its test.
type printer struct {
	mu     sync.Mutex
	board  board
	conn   net.Conn // the board's end; nil: unplugged
	heard  []string // every line that arrived whole
	mute   bool     // it reads and says nothing
	deaf   bool     // it does not even read
	answer func(line string) ([]string, bool)
	opens  int
	gone   bool // opening fails
	boot   func(p *printer)
	partly bytes.Buffer
}

// open is what a Line opens: a new pipe, and a board that reads from it until it is closed.
func (p *printer) open(context.Context) (io.ReadWriteCloser, error) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.opens++
	if p.gone {
		return nil, errors.New("no such device")
	}
	near, far := net.Pipe()
	p.conn = far
	p.partly.Reset()
	go p.serve(far)
	if p.boot != nil {
		go p.boot(p)
	}
	return near, nil
}

// serve reads and answers until the pipe is closed.
func (p *printer) serve(conn net.Conn) {
	room := make([]byte, 64)
	for {
		for p.isDeaf() {
			time.Sleep(10 * time.Millisecond)
		}
		n, err := conn.Read(room)
		if err != nil {
			return
		}
		for _, line := range p.take(room[:n]) {
			if _, err := io.WriteString(conn, line+"\n"); err != nil {
				return
			}
		}
	}
}

func (p *printer) isDeaf() bool {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.deaf
}

// take hands bytes to the board and returns what it says.
func (p *printer) take(read []byte) []string {
	p.mu.Lock()
	defer p.mu.Unlock()
	var says []string
	for _, c := range read {
		p.board.receive(c)
		if c != '\n' {
			p.partly.WriteByte(c)
			continue
		}
		line := p.partly.String()
		p.partly.Reset()
		p.heard = append(p.heard, line)
		if p.answer != nil {
			if own, mine := p.answer(line); mine {
				p.board.rx = p.board.rx[:0]
				says = append(says, own...)
				continue
			}
		}
		for p.board.hasLine() {
			_, out := p.board.work()
			says = append(says, out...)
		}
	}
	if p.mute {
		return nil
	}
	return says
}

// says speaks without being asked.
func (p *printer) says(lines ...string) {
	p.mu.Lock()
	conn := p.conn
	p.mu.Unlock()
	for _, line := range lines {
		io.WriteString(conn, line+"\n")
	}
}

func (p *printer) set(change func(p *printer)) {
	p.mu.Lock()
	defer p.mu.Unlock()
	change(p)
}

// look is a printer's state at this moment.
func look(p *printer) (now struct {
	opens int
	board board
}) {
	p.mu.Lock()
	defer p.mu.Unlock()
	now.opens, now.board = p.opens, p.board
	return now
}

// unplug pulls the cable.
func (p *printer) unplug() {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.conn.Close()
}

// lines is what arrived so far, numbers and checksums taken off.
func (p *printer) lines() []string {
	p.mu.Lock()
	defer p.mu.Unlock()
	var out []string
	for _, line := range p.heard {
		body, _, _ := strings.Cut(line, "*")
		if _, rest, ok := cutNumber(body); ok {
			body = rest
		}
		out = append(out, body)
	}
	return out
}

// blocks lets a board take long over one word: everything behind it waits, and nothing is said.
func (p *printer) blocks(word string) {
	p.set(func(p *printer) {
		p.heard = nil
		p.answer = func(line string) ([]string, bool) { return nil, strings.Contains(line, word) }
	})
}

// isDone is the end of what a board took long over.
func (p *printer) isDone() {
	p.set(func(p *printer) { p.board.last++; p.answer = nil })
	p.says("ok")
}

// times is how often a block has arrived.
func (p *printer) times(block string) int {
	return len(slices.DeleteFunc(p.lines(), func(s string) bool { return s != block }))
}

// atOnce is what has arrived by now, without any time that passes.
func (p *printer) atOnce() []string {
	synctest.Wait()
	return p.lines()
}
