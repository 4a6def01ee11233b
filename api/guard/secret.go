package guard

import (
	"crypto/rand"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"fmt"
	"math/big"
	"net/http"
	"strings"
)

// secretLength is that of a key as it is written: 256 bits in the alphabet of RFC 4648 section 5.
const secretLength = 43

// newSecret makes a key. The reader of the standard library does not fail.
func newSecret() string {
	var b [32]byte
	rand.Read(b[:])
	return base64.RawURLEncoding.EncodeToString(b[:])
}

// newCode makes nine digits that a person can type.
func newCode() (string, error) {
	n, err := rand.Int(rand.Reader, big.NewInt(1e9))
	if err != nil {
		return "", fmt.Errorf("draw a code: %w", err)
	}
	return fmt.Sprintf("%09d", n), nil
}

// inThrees writes nine digits as they are shown.
func inThrees(code string) string { return code[:3] + " " + code[3:6] + " " + code[6:] }

// digits leaves out what a person puts between digits.
func digits(code string) string {
	return strings.Map(func(c rune) rune {
		if c == ' ' || c == '-' || c == '.' || c == '\u00a0' || c == '\u202f' {
			return -1
		}
		return c
	}, code)
}

func nineDigits(s string) bool {
	return len(s) == 9 && strings.Trim(s, "0123456789") == ""
}

// hashIn is what is stored of a code or a key of a pairing window.
func hashIn(window, secret string) [32]byte { return sha256.Sum256([]byte(window + " " + secret)) }

// cookieName is that of one store's agent, so that two agents on one computer do not take each other's cookie: cookies
// know no port (RFC 6265 section 8.5).
func cookieName(storeID string) string {
	sum := sha256.Sum256([]byte(storeID))
	return "fettle-" + hex.EncodeToString(sum[:4])
}

// CookieName is the name of the cookie for a request. Under TLS its prefix keeps other services of this computer from
// planting it (RFC 6265bis section 4.1.3.2).
func (g *Guard) CookieName(r *http.Request) string {
	if r.TLS != nil {
		return "__Host-" + g.cookie
	}
	return g.cookie
}

// cookieAge is how long a browser keeps the cookie at most: what RFC 6265bis allows. The guard ends it after 30 days
// without use.
const cookieAge = 400 * 24 * 3600 // seconds

// Cookie carries a key to the phone that was paired by r.
func (g *Guard) Cookie(r *http.Request, secret string) *http.Cookie {
	return &http.Cookie{Name: g.CookieName(r), Value: secret, Path: "/", MaxAge: cookieAge, HttpOnly: true, Secure: r.TLS != nil,
		SameSite: http.SameSiteStrictMode}
}
