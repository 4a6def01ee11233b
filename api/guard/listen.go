package guard

import (
	"net"
	"net/netip"
	"sync"
)

// The limits on connections. The last places are for addresses that have none yet, so that one crowd does not keep
// everybody else from the Stop.
const (
	mostConns    = 256
	mostPerPeer  = 32
	keptForOther = 32
)

// Neighbour reports whether an address is one that is answered: of this computer or of a network that no router leads
// to from outside (RFC 1918, RFC 3927, RFC 4193, RFC 4291).
func Neighbour(a netip.Addr) bool {
	a = a.Unmap()
	return a.IsLoopback() || a.IsPrivate() || a.IsLinkLocalUnicast()
}

// Listen puts the limits before a listener: who is no neighbour, or one too many, is hung up on.
func Listen(l net.Listener) net.Listener {
	return &limited{Listener: l, open: map[netip.Addr]int{}}
}

type limited struct {
	net.Listener
	mu    sync.Mutex
	open  map[netip.Addr]int
	total int
}

func (l *limited) Accept() (net.Conn, error) {
	for {
		c, err := l.Listener.Accept()
		if err != nil {
			return nil, err
		}
		from := addressOf(c.RemoteAddr())
		if Neighbour(from) && l.enter(from) {
			return &counted{Conn: c, leave: sync.OnceFunc(func() { l.leave(from) })}, nil
		}
		c.Close()
	}
}

func (l *limited) enter(from netip.Addr) bool {
	l.mu.Lock()
	defer l.mu.Unlock()
	held := l.open[from]
	if held >= mostPerPeer || l.total >= mostConns || held > 0 && l.total >= mostConns-keptForOther {
		return false
	}
	l.open[from]++
	l.total++
	return true
}

func (l *limited) leave(from netip.Addr) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.total--
	if l.open[from]--; l.open[from] == 0 {
		delete(l.open, from)
	}
}

// counted is a connection that gives its place back when it is closed.
type counted struct {
	net.Conn
	leave func()
}

func (c *counted) Close() error {
	c.leave()
	return c.Conn.Close()
}
