package guard_test

import (
	"bytes"
	"context"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/tls"
	"crypto/x509"
	"io"
	"log"
	"net"
	"net/http"
	"net/netip"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"

	"fettle/api/guard"
)

func ownCertificate(t *testing.T, folder string) tls.Certificate {
	t.Helper()
	c, err := guard.OwnCertificate(folder, []string{"board.local"}, []netip.Addr{netip.MustParseAddr("192.168.1.7"), netip.IPv6Loopback()})
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func TestTheOwnCertificateIsMadeOnce(t *testing.T) {
	folder := t.TempDir()
	first, second := ownCertificate(t, folder), ownCertificate(t, folder)
	if guard.Fingerprint(first) != guard.Fingerprint(second) || guard.Fingerprint(first) == guard.Fingerprint(ownCertificate(t, t.TempDir())) {
		t.Error("it is not made once for each folder")
	}
	leaf, err := x509.ParseCertificate(first.Certificate[0])
	if err != nil {
		t.Fatal(err)
	}
	key, ok := leaf.PublicKey.(*ecdsa.PublicKey)
	if !ok || key.Curve != elliptic.P256() || leaf.IsCA {
		t.Errorf("the key is %T, an authority: %t", leaf.PublicKey, leaf.IsCA)
	}
	roots := x509.NewCertPool()
	roots.AddCert(leaf)
	for _, name := range []string{"board.local", "192.168.1.7", "::1"} {
		if _, err := leaf.Verify(x509.VerifyOptions{DNSName: name, Roots: roots}); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
	for _, file := range []string{"own-certificate.pem", "own-key.pem"} {
		if info, err := os.Stat(filepath.Join(folder, file)); err != nil || info.Mode().Perm() != 0o600 {
			t.Errorf("%s: %v, %v", file, info.Mode(), err)
		}
	}
	// Cut off between the two files: the next start makes both anew.
	if err := os.Remove(filepath.Join(folder, "own-certificate.pem")); err != nil {
		t.Fatal(err)
	}
	ownCertificate(t, folder)
	if err := os.WriteFile(filepath.Join(folder, "own-key.pem"), []byte("no key"), 0o600); err != nil {
		t.Fatal(err)
	}
	if _, err := guard.OwnCertificate(folder, nil, nil); err == nil {
		t.Error("a broken key is taken")
	}
}

// tape keeps what goes over a connection, both ways.
type tape struct {
	net.Conn
	mu   *sync.Mutex
	kept *bytes.Buffer
}

func (t tape) Read(p []byte) (int, error)  { n, err := t.Conn.Read(p); t.keep(p[:n]); return n, err }
func (t tape) Write(p []byte) (int, error) { t.keep(p); return t.Conn.Write(p) }
func (t tape) keep(p []byte)               { t.mu.Lock(); t.kept.Write(p); t.mu.Unlock() }

// A whole session by TLS is recorded on the wire: pairing, a page, the cookie back. No byte of a secret is in
// it. By plain HTTP the same recording holds them, which is why a sentence says so. Nothing older than TLS 1.2 is spoken.
func TestAListenerLearnsNothingUnderTLS(t *testing.T) {
	for _, under := range []string{"TLS", "plain HTTP"} {
		b := newBench(t)
		l, err := net.Listen("tcp", "127.0.0.1:0")
		if err != nil {
			t.Fatal(err)
		}
		config := guard.TLS(ownCertificate(t, t.TempDir()))
		server := &http.Server{ErrorLog: log.New(io.Discard, "", 0), Handler: http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
			if c, err := r.Cookie(b.CookieName(r)); err == nil {
				io.WriteString(w, c.Value)
				return
			}
			http.SetCookie(w, b.Cookie(r, "the-secret-of-a-phone"))
		})}
		scheme, serving := "http", l
		if under == "TLS" {
			scheme, serving = "https", tls.NewListener(l, config)
		}
		go server.Serve(serving) // ends with Close
		defer server.Close()
		recorded := tape{mu: &sync.Mutex{}, kept: &bytes.Buffer{}}
		dial := func(ctx context.Context, network, addr string) (net.Conn, error) {
			c, err := (&net.Dialer{}).DialContext(ctx, network, addr)
			return tape{c, recorded.mu, recorded.kept}, err
		}
		client := &http.Client{Transport: &http.Transport{DialContext: dial, TLSClientConfig: &tls.Config{InsecureSkipVerify: true}}}
		res, err := client.Get(scheme + "://" + l.Addr().String())
		if err != nil {
			t.Fatal(err)
		}
		res.Body.Close()
		if len(res.Cookies()) != 1 {
			t.Fatalf("cookies %v", res.Cookies())
		}
		r, _ := http.NewRequest("GET", scheme+"://"+l.Addr().String(), nil)
		r.AddCookie(res.Cookies()[0])
		if res, err = client.Do(r); err != nil {
			t.Fatal(err)
		}
		back, _ := io.ReadAll(res.Body)
		res.Body.Close()
		client.CloseIdleConnections()
		recorded.mu.Lock()
		finds := strings.Count(recorded.kept.String(), "the-secret-of-a-phone")
		size := recorded.kept.Len()
		recorded.mu.Unlock()
		if string(back) != "the-secret-of-a-phone" || (finds > 0) != (under == "plain HTTP") {
			t.Errorf("%s: %d finds, the cookie came back as %q", under, finds, back)
		}
		t.Logf("%s: %d bytes recorded, the secret is in them %d times", under, size, finds)
		if under != "TLS" {
			continue
		}
		for version, want := range map[uint16]bool{tls.VersionTLS10: false, tls.VersionTLS11: false, tls.VersionTLS12: true, tls.VersionTLS13: true} {
			c, err := tls.Dial("tcp", l.Addr().String(), &tls.Config{InsecureSkipVerify: true, MinVersion: tls.VersionTLS10, MaxVersion: version})
			if (err == nil) != want {
				t.Errorf("%s is spoken: %t", tls.VersionName(version), err == nil)
			}
			if err == nil {
				c.Close()
			}
		}
	}
}
