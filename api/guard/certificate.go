package guard

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/sha256"
	"crypto/tls"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/pem"
	"errors"
	"fmt"
	"io/fs"
	"math/big"
	"net"
	"net/netip"
	"os"
	"path/filepath"
	"strings"
	"time"
)

// The files of the agent's own certificate, in its data folder.
const (
	ownCertificate = "own-certificate.pem"
	ownKey         = "own-key.pem"
)

// When the own certificate is for. The clock of a board may be wrong when it is made, so it begins early and ends late;
// the person compares its fingerprint, not its dates. Neither changes.
var (
	ownBegins = time.Date(2020, 1, 1, 0, 0, 0, 0, time.UTC)
	ownEnds   = time.Date(2049, 12, 31, 0, 0, 0, 0, time.UTC)
)

// OwnCertificate reads the agent's own certificate, or makes it the first time: ECDSA on P-256, for the names and
// addresses given, signed by itself. To have another one made, remove both files.
func OwnCertificate(folder string, names []string, addrs []netip.Addr) (tls.Certificate, error) {
	certFile, keyFile := filepath.Join(folder, ownCertificate), filepath.Join(folder, ownKey)
	_, err := os.Stat(certFile)
	if errors.Is(err, fs.ErrNotExist) {
		err = makeOwn(certFile, keyFile, names, addrs)
	}
	if err != nil {
		return tls.Certificate{}, fmt.Errorf("make a certificate of our own: %w", err)
	}
	return LoadCertificate(certFile, keyFile)
}

// LoadCertificate reads a certificate and its key from PEM files.
func LoadCertificate(certFile, keyFile string) (tls.Certificate, error) {
	c, err := tls.LoadX509KeyPair(certFile, keyFile)
	if err != nil {
		return c, fmt.Errorf("read the certificate: %w", err)
	}
	return c, nil
}

// makeOwn writes the key first: a certificate that is there has its key.
func makeOwn(certFile, keyFile string, names []string, addrs []netip.Addr) error {
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		return err
	}
	serial, err := rand.Int(rand.Reader, new(big.Int).Lsh(big.NewInt(1), 127))
	if err != nil {
		return err
	}
	template := &x509.Certificate{SerialNumber: serial, Subject: pkix.Name{CommonName: "Fettle"}, NotBefore: ownBegins, NotAfter: ownEnds,
		KeyUsage: x509.KeyUsageDigitalSignature, ExtKeyUsage: []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth}, BasicConstraintsValid: true,
		DNSNames: names}
	for _, a := range addrs {
		template.IPAddresses = append(template.IPAddresses, net.IP(a.AsSlice()))
	}
	cert, err := x509.CreateCertificate(rand.Reader, template, template, &key.PublicKey, key)
	if err != nil {
		return err
	}
	private, err := x509.MarshalPKCS8PrivateKey(key)
	if err != nil {
		return err
	}
	if err := writePEM(keyFile, "PRIVATE KEY", private); err != nil {
		return err
	}
	return writePEM(certFile, "CERTIFICATE", cert)
}

// writePEM puts a file in place whole, for its owner alone.
func writePEM(path, kind string, der []byte) error {
	part := path + ".part"
	if err := os.WriteFile(part, pem.EncodeToMemory(&pem.Block{Type: kind, Bytes: der}), 0o600); err != nil {
		return err
	}
	return os.Rename(part, path)
}

// TLS is the configuration for a certificate. Nothing older than TLS 1.2 is spoken, and HTTP/1.1 alone, since a
// websocket needs it and the limits count its connections.
func TLS(c tls.Certificate) *tls.Config {
	return &tls.Config{Certificates: []tls.Certificate{c}, MinVersion: tls.VersionTLS12, NextProtos: []string{"http/1.1"}}
}

// Fingerprint is what a person compares: SHA-256 of the certificate, in pairs.
func Fingerprint(c tls.Certificate) string {
	sum := sha256.Sum256(c.Certificate[0])
	pairs := make([]string, len(sum))
	for i, b := range sum {
		pairs[i] = fmt.Sprintf("%02X", b)
	}
	return strings.Join(pairs, ":")
}
