package main

import (
	"bytes"
	"io"
	"net"
	"sync"
	"testing"
)

// passage is the network between one phone and the agent. A test cuts it, or holds what the agent tells. It outlives the
// agent, so that a browser finds the next life of it at the same address.
type passage struct {
	listener net.Listener
	from     net.IP // the phone's own address: each phone has its own rate

	mu      sync.Mutex
	changed *sync.Cond
	target  string
	cut     bool
	held    bool // nothing more comes out of the sockets
	open    map[net.Conn]bool
	ended   sync.WaitGroup
}

// newPassage listens until the test ends. Phone n comes from 127.0.0.n.
func newPassage(t testing.TB, phone byte, target string) *passage {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	p := &passage{listener: l, from: net.IPv4(127, 0, 0, phone), target: target, open: map[net.Conn]bool{}}
	p.changed = sync.NewCond(&p.mu)
	p.ended.Go(p.accept) // ends with the listener
	t.Cleanup(func() {
		l.Close()
		p.sever()
		p.hold(false)
		p.ended.Wait()
	})
	return p
}

func (p *passage) port() string {
	_, port, _ := net.SplitHostPort(p.listener.Addr().String())
	return port
}

func (p *passage) accept() {
	for {
		phone, err := p.listener.Accept()
		if err != nil {
			return
		}
		p.ended.Go(func() { p.carry(phone) }) // ends when either side closes
	}
}

// carry takes one connection from end to end.
func (p *passage) carry(phone net.Conn) {
	defer phone.Close()
	p.mu.Lock()
	target, cut := p.target, p.cut
	p.mu.Unlock()
	if cut {
		return
	}
	agent, err := (&net.Dialer{LocalAddr: &net.TCPAddr{IP: p.from}}).Dial("tcp", target)
	if err != nil {
		return // the agent is away
	}
	defer agent.Close()
	if !p.keep(phone, agent) {
		return
	}
	defer p.drop(phone, agent)
	first := make([]byte, 4096)
	n, err := phone.Read(first)
	if err != nil {
		return
	}
	if _, err := agent.Write(first[:n]); err != nil {
		return
	}
	socket := bytes.Contains(bytes.ToLower(first[:n]), []byte("upgrade: websocket"))
	p.ended.Go(func() { // ends when the phone closes, or by the deferred close above
		_, _ = io.Copy(agent, phone)
		agent.Close()
	})
	p.back(phone, agent, socket)
}

// back takes what the agent says to the phone, unless it is held.
func (p *passage) back(phone, agent net.Conn, socket bool) {
	buf := make([]byte, 32<<10)
	for {
		n, err := agent.Read(buf)
		if err != nil {
			return
		}
		p.mu.Lock()
		for socket && p.held {
			p.changed.Wait()
		}
		p.mu.Unlock()
		if _, err := phone.Write(buf[:n]); err != nil {
			return
		}
	}
}

func (p *passage) keep(both ...net.Conn) bool {
	p.mu.Lock()
	defer p.mu.Unlock()
	for _, c := range both {
		p.open[c] = true
	}
	return !p.cut
}

func (p *passage) drop(both ...net.Conn) {
	p.mu.Lock()
	defer p.mu.Unlock()
	for _, c := range both {
		delete(p.open, c)
	}
}

// sever closes every connection and lets no other in.
func (p *passage) sever() {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.cut = true
	for c := range p.open {
		c.Close()
	}
}

// mend lets connections in again, to wherever the agent is now.
func (p *passage) mend(target string) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.cut, p.target = false, target
}

// hold keeps back what the sockets tell; requests are answered all the same.
func (p *passage) hold(held bool) {
	p.mu.Lock()
	p.held = held
	p.mu.Unlock()
	p.changed.Broadcast()
}
