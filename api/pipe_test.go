package api_test

import (
	"context"
	"net"
	"net/http"
	"sync"
)

// pipes is a listener whose connections are net.Pipes, so that a server runs on false time.
type pipes struct {
	dialled chan net.Conn
	closed  chan struct{}
	once    sync.Once
}

func listen() *pipes { return &pipes{dialled: make(chan net.Conn), closed: make(chan struct{})} }

func (p *pipes) Accept() (net.Conn, error) {
	select {
	case c := <-p.dialled:
		return c, nil
	case <-p.closed:
		return nil, net.ErrClosed
	}
}

func (p *pipes) Close() error {
	p.once.Do(func() { close(p.closed) })
	return nil
}

func (p *pipes) Addr() net.Addr { return &net.TCPAddr{IP: net.IPv4(127, 0, 0, 1), Port: 8017} }

func (p *pipes) dial(ctx context.Context, _, _ string) (net.Conn, error) {
	ours, theirs := net.Pipe()
	select {
	case p.dialled <- theirs:
		return ours, nil
	case <-p.closed:
		return nil, net.ErrClosed
	case <-ctx.Done():
		return nil, ctx.Err()
	}
}

func (p *pipes) client() *http.Client {
	return &http.Client{Transport: &http.Transport{DialContext: p.dial, DisableKeepAlives: true}}
}
