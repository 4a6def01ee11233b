package main

import (
	"net"
	"net/netip"
	"os"
	"slices"
	"strconv"
	"strings"

	"fettle/api/guard"
)

// validateListen holds FETTLE_LISTEN to an address of a kind that is answered at, or to none, which is all of them.
func (s settings) validateListen() error {
	host, port, err := net.SplitHostPort(s.Listen)
	_, bad := strconv.ParseUint(port, 10, 16)
	address, _ := netip.ParseAddr(host) // the zero address is no neighbour
	known := host == "" || host == "localhost" || guard.Neighbour(address) || address == netip.IPv4Unspecified() || address == netip.IPv6Unspecified()
	if err != nil || bad != nil || !known {
		return refuse("FETTLE_LISTEN", s.Listen, "a loopback or private address and a port, such as 127.0.0.1:7340 or 192.168.1.7:7340, or a port alone: :7340")
	}
	return nil
}

// onLoopback reports whether only this computer can reach what listens there.
func onLoopback(listen string) bool {
	host, _, err := net.SplitHostPort(listen)
	address, bad := netip.ParseAddr(host)
	return err == nil && (host == "localhost" || bad == nil && address.IsLoopback())
}

func (s settings) validateNames() error {
	for _, name := range s.Names {
		if _, err := netip.ParseAddr(name); err != nil && !isName(name) {
			return refuse("FETTLE_NAMES", name, "names of computers or addresses, without a port, with commas between: printers.lan,192.168.1.7")
		}
	}
	return nil
}

// isName holds a name to letters, digits and - between points (RFC 1123 section 2.1).
func isName(name string) bool {
	for part := range strings.SplitSeq(name, ".") {
		outside := func(c rune) bool {
			return (c < 'a' || c > 'z') && (c < 'A' || c > 'Z') && (c < '0' || c > '9') && c != '-'
		}
		if part == "" || len(part) > 63 || strings.ContainsFunc(part, outside) || part[0] == '-' || part[len(part)-1] == '-' {
			return false
		}
	}
	return len(name) <= 253
}

func (s settings) validateTLS() error {
	files := s.TLSCert != "" && s.TLSKey != ""
	none := s.TLSCert == "" && s.TLSKey == ""
	if (s.TLS == "off" || s.TLS == "own") && none || s.TLS == "files" && files {
		return nil
	}
	return refuse("FETTLE_TLS", s.TLS, "off, own, or files together with FETTLE_TLS_CERT and FETTLE_TLS_KEY")
}

// names are those by which the agent may be called, beside localhost and its addresses.
func (s settings) names() []string {
	names := slices.Clone(s.Names)
	if host, err := os.Hostname(); err == nil && isName(host) && host != "localhost" {
		short, _, _ := strings.Cut(host, ".")
		names = append(names, short+".local")
	}
	return names
}

// ownAddresses are those at which neighbours can reach this computer: IPv4 first, which is short to type. None where
// the system does not tell.
func ownAddresses() []netip.Addr {
	all, err := net.InterfaceAddrs()
	if err != nil {
		return nil
	}
	var addrs []netip.Addr
	for _, a := range all {
		p, err := netip.ParsePrefix(a.String())
		if err == nil && guard.Neighbour(p.Addr()) && !p.Addr().IsLoopback() && !(p.Addr().Is6() && p.Addr().IsLinkLocalUnicast()) {
			addrs = append(addrs, p.Addr().Unmap())
		}
	}
	slices.SortStableFunc(addrs, func(a, b netip.Addr) int { return a.BitLen() - b.BitLen() })
	return addrs
}

// urls are the addresses at which a listener can be called.
func urls(scheme string, at net.Addr) []string {
	tcp, err := netip.ParseAddrPort(at.String())
	if err != nil {
		return []string{scheme + "://" + at.String()}
	}
	addrs := []netip.Addr{tcp.Addr()}
	if tcp.Addr().IsUnspecified() {
		addrs = append(ownAddresses(), netip.AddrFrom4([4]byte{127, 0, 0, 1}))
	}
	var all []string
	for _, a := range addrs {
		all = append(all, scheme+"://"+netip.AddrPortFrom(a, tcp.Port()).String())
	}
	return all
}
