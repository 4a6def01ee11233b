package guard_test

import (
	"fmt"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"net/netip"
	"runtime"
	"sync"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"

	"fettle/api/guard"
)

// 200 addresses. Sources: the special-purpose registries of IANA (RFC 6890), RFC 1918, RFC 3927, RFC 4193, RFC 4291.
func TestOnlyNeighboursAreAnswered(t *testing.T) {
	own := []string{"127.0.0.1", "127.255.255.254", "10.0.0.0", "10.255.255.255", "172.16.0.1", "172.31.255.255", "192.168.0.1", "192.168.255.255",
		"169.254.0.1", "169.254.255.255", "::1", "fe80::1", "febf:ffff::1", "fc00::1", "fd12:3456::1", "fdff:ffff::1"}
	foreign := []string{"0.0.0.0", "9.255.255.255", "11.0.0.0", "172.15.255.255", "172.32.0.0", "192.167.255.255", "192.169.0.0", "169.253.255.255",
		"169.255.0.0", "126.255.255.255", "128.0.0.1", "100.64.0.1", "100.127.255.255", "192.0.0.1", "192.0.2.1", "192.88.99.1", "198.18.0.1", "198.51.100.1",
		"203.0.113.1", "224.0.0.1", "239.255.255.255", "240.0.0.1", "255.255.255.255", "8.8.8.8", "1.1.1.1", "::", "fec0::1", "fe00::1", "fbff::1", "fe7f::1",
		"2000::1", "2001:db8::1", "2002:c0a8:101::1", "64:ff9b::10.0.0.1", "3fff::1", "ff02::1", "ff05::1", "100::1", "5f00::1", "::10.0.0.1"}
	table := map[netip.Addr]bool{}
	add := func(list []string, neighbour bool) {
		for _, s := range list {
			a := netip.MustParseAddr(s)
			table[a] = neighbour
			if a.Is4() {
				table[netip.AddrFrom16(a.As16())] = neighbour // ::ffff:a.b.c.d
			}
		}
	}
	add(own, true)
	add(foreign, false)
	for n := byte(1); len(table) < 200; n++ {
		add([]string{fmt.Sprintf("%d.0.113.%d", 193+n%30, n), fmt.Sprintf("2a0%d:%x::1", n%10, n)}, false)
	}
	let := 0
	for a, want := range table {
		if got := guard.Neighbour(a); got != want {
			t.Errorf("%s is a neighbour: %t", a, got)
		} else if got {
			let++
		}
	}
	t.Logf("%d addresses, %d answered, 0 public among them", len(table), let)
}

// crowd is a listener to which connections come from any address.
type crowd chan net.Conn

func (c crowd) Accept() (net.Conn, error) {
	conn, ok := <-c
	if !ok {
		return nil, net.ErrClosed
	}
	return conn, nil
}
func (c crowd) Close() error   { return nil }
func (c crowd) Addr() net.Addr { return &net.TCPAddr{} }

type from struct {
	net.Conn
	addr net.TCPAddr
}

func (f *from) RemoteAddr() net.Addr { return &f.addr }

// 10,000 connections from 400 addresses. So many are open at once as the limits say, a newcomer still finds a
// place, and every place comes back.
func TestAFloodOfConnections(t *testing.T) { synctest.Test(t, floodOfConnections) }

func floodOfConnections(t *testing.T) {
	comers := make(crowd)
	l := guard.Listen(comers)
	open := make(chan net.Conn, 10_000)
	ended := make(chan bool)
	go func() { // ends when comers is closed
		defer close(ended)
		for {
			c, err := l.Accept()
			if err != nil {
				return
			}
			open <- c
		}
	}()
	refused := 0
	come := func(ip net.IP) bool {
		here, there := net.Pipe()
		comers <- &from{there, net.TCPAddr{IP: ip, Port: 1}}
		// Nobody writes to it: it is either closed, or held open and waits, in false time.
		here.SetReadDeadline(time.Now().Add(time.Millisecond))
		if _, err := here.Read(make([]byte, 1)); err == io.EOF {
			refused++
			return false
		}
		return true
	}
	same := 0
	for range 1000 {
		if come(net.IPv4(10, 0, 0, 1)) {
			same++
		}
	}
	for i := range 9000 {
		come(net.IPv4(10, 0, byte(1+i%200), 1))
	}
	public := come(net.IPv4(8, 8, 8, 8))
	if same != 32 || len(open) != 232 || public {
		t.Errorf("%d from one address, %d in all, a public one: %t", same, len(open), public)
	}
	held := len(open)
	for range held {
		c := <-open
		c.Close()
		c.Close() // twice gives one place back
	}
	again := 0
	for i := range 300 {
		if come(net.IPv4(10, 1, byte(i>>8), byte(i))) {
			again++
		}
	}
	if again != 256 {
		t.Errorf("%d places after all were given back", again)
	}
	t.Logf("10,000 connections: %d open at most, %d of one address, %d hung up on", held, same, refused)
	close(comers)
	<-ended
}

// 100,000 requests of one address in ten seconds of false time: 50 in each second and what was saved up. Stops are
// let through, each of them, and other addresses do not notice. Memory stays where it was.
func TestAFloodOfRequests(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBench(t)
		b.need = guard.Stopping
		before := heap()
		var passed, stops, others, refused atomic.Int64
		var all sync.WaitGroup
		ask := func(method, path, from string, count *atomic.Int64) {
			r := httptest.NewRequest(method, path, nil)
			r.Host, r.RemoteAddr = "board.local", from+":5000"
			all.Go(func() { // ends when it is answered
				began, w := time.Now(), httptest.NewRecorder()
				b.door.ServeHTTP(w, r)
				if w.Code == http.StatusOK {
					count.Add(1)
				} else if refused.Add(1); time.Since(began) != 250*time.Millisecond {
					t.Errorf("refused after %s", time.Since(began))
				}
			})
		}
		for i := range 100_000 {
			if i%10 == 9 {
				ask("POST", "/v1/printers/p/stop", "10.0.0.1", &stops)
			} else {
				ask("GET", "/v1/x", "10.0.0.1", &passed)
			}
			if i%1000 == 0 {
				ask("GET", "/v1/x", "10.0.1."+fmt.Sprint(i/1000), &others)
			}
			time.Sleep(100 * time.Microsecond)
		}
		all.Wait()
		if want := int64(150 + 10*50); passed.Load() < want-1 || passed.Load() > want+1 || stops.Load() != 10_000 || others.Load() != 100 {
			t.Errorf("%d requests passed, want %d; %d of 10,000 stops; %d of 100 others", passed.Load(), want, stops.Load(), others.Load())
		}
		more := 100_000 // addresses
		if testing.Short() {
			more = 10_000
		}
		for i := range more {
			ask("GET", "/v1/x", fmt.Sprintf("10.%d.%d.%d", 1+i>>16, i>>8&255, i&255), &others)
			all.Wait()
		}
		grown := float64(heap()-before) / (1 << 20)
		if grown > 16 {
			t.Errorf("the heap has grown by %.1f MiB", grown)
		}
		t.Logf("100,000 requests in 10 s: %d passed, %d of 10,000 stops, %d refused; %d addresses more; heap %+.2f MiB",
			passed.Load(), stops.Load(), refused.Load(), more, grown)
	})
}

func heap() int64 {
	var m runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&m)
	return int64(m.HeapAlloc)
}
