package main

import (
	"crypto/tls"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"net"
	"net/netip"
	"os"
	"path/filepath"
	"strings"

	"fettle/api/guard"
)

// doorway is what stands between a listener and the API. That of the demo names no guard:
// the API then makes one without a store.
type doorway struct {
	guard       *guard.Guard
	tls         *tls.Config // nil: plain HTTP
	fingerprint string
	listening   string // the file that says where, for the other commands
}

// doorway makes the door of the agent and tells the person at this computer where it is.
func (h *house) doorway(at net.Addr, stdout io.Writer) (*doorway, error) {
	d, err := h.settings.doorway()
	if err != nil {
		return nil, err
	}
	where := urls(d.scheme(), at)
	d.guard = guard.New(guard.Config{Store: h.book, Names: h.settings.names(), StopOpen: h.settings.StopOpen, Strict: h.settings.TLS == "files",
		Invite: func(in guard.Invitation) { invite(stdout, in, where) }, Log: h.log})
	for _, url := range where {
		fmt.Fprintf(stdout, "Fettle at %s\n", url)
	}
	if d.fingerprint != "" {
		fmt.Fprintf(stdout, "The SHA-256 fingerprint of its certificate: %s\n", d.fingerprint)
	}
	d.listening = filepath.Join(h.settings.Data, listeningFile)
	if err := os.WriteFile(d.listening, []byte(strings.Join(where, "\n")+"\n"), 0o600); err != nil {
		return nil, fmt.Errorf("say where we listen: %w", err)
	}
	return d, nil
}

// doorway is one that names no guard.
func (s settings) doorway() (*doorway, error) {
	if s.TLS == "off" {
		return &doorway{}, nil
	}
	cert, err := s.certificate()
	if err != nil {
		return nil, err
	}
	return &doorway{tls: guard.TLS(cert), fingerprint: guard.Fingerprint(cert)}, nil
}

func (d *doorway) scheme() string {
	if d.tls == nil {
		return "http"
	}
	return "https"
}

// listeningFile is in the data folder while the agent lives. Its lines are the addresses to call it by.
const listeningFile = "listening"

func (d *doorway) forget() { _ = os.Remove(d.listening) } // the next life writes it anew

// listening reads where the agent of a data folder listens.
func listening(folder string) ([]string, error) {
	text, err := os.ReadFile(filepath.Join(folder, listeningFile))
	if errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("no agent runs on the data folder %s; start it, or say which folder is its own: FETTLE_DATA", folder)
	} else if err != nil {
		return nil, fmt.Errorf("read where the agent listens: %w", err)
	}
	return strings.Fields(string(text)), nil
}

// certificate is that of the owner's files, or the agent's own.
func (s settings) certificate() (tls.Certificate, error) {
	if s.TLS == "files" {
		return guard.LoadCertificate(s.TLSCert, s.TLSKey)
	}
	addrs := append(ownAddresses(), netip.MustParseAddr("127.0.0.1"), netip.IPv6Loopback())
	names := []string{"localhost"}
	for _, name := range s.names() {
		if a, err := netip.ParseAddr(name); err == nil {
			addrs = append(addrs, a)
		} else {
			names = append(names, name)
		}
	}
	return guard.OwnCertificate(s.Data, names, addrs)
}
