package api

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"strings"

	"fettle/routines/logbook"

	"github.com/labstack/echo/v4"
)

// once honours Idempotency-Key (IETF draft "The Idempotency-Key HTTP Header Field"): the same request with the same key
// is answered from the record and not done again. A request without a key is simply done.
func (s *Server) once(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		r := c.Request()
		key, err := keyOf(r.Header)
		if err != nil || key == "" {
			if err == nil {
				err = next(c)
			}
			return err
		}
		print, err := fingerprint(r)
		if err != nil {
			return err
		}
		claim, err := s.Book.Claim(r.Context(), key, print)
		if err != nil {
			return fmt.Errorf("claim the key: %w", err)
		}
		if !claim.Fresh {
			return replay(c, claim)
		}
		return s.spend(c, key, next)
	}
}

// spend does the request and keeps its answer under the key before the client has it. It is seen through although the
// client may have gone, which is what a key is for. A request that failed inside gives its key back.
func (s *Server) spend(c echo.Context, key string, next echo.HandlerFunc) error {
	ctx, cancel := s.lasting(c.Request().Context())
	defer cancel()
	out, paper := c.Response().Writer, &paper{header: http.Header{}}
	settled := false
	defer func() {
		if settled {
			return
		}
		if err := s.Book.Release(ctx, key); err != nil {
			s.Log.Error("give a key back", "err", err)
		}
	}()

	c.SetRequest(c.Request().WithContext(ctx))
	c.SetResponse(echo.NewResponse(paper, c.Echo()))
	if err := next(c); err != nil {
		c.Error(err)
	}
	c.SetResponse(echo.NewResponse(out, c.Echo()))
	if paper.status < http.StatusInternalServerError {
		body, err := json.Marshal(kept{Location: paper.header.Get("Location"), Body: paper.body.Bytes()})
		if err == nil {
			err = s.Book.Settle(ctx, key, paper.status, paper.header.Get("Content-Type"), body)
		}
		if err != nil {
			s.Log.Error("keep an answer under its key", "err", err)
		}
		settled = true // even so: what was done must not be done again
	}
	for name, values := range paper.header {
		out.Header()[name] = values
	}
	return c.Blob(paper.status, paper.header.Get("Content-Type"), paper.body.Bytes())
}

// kept is an answer as it is stored.
type kept struct {
	Location string `json:"location,omitempty"`
	Body     []byte `json:"body"`
}

func replay(c echo.Context, claim logbook.Claim) error {
	var k kept
	if err := json.Unmarshal(claim.Body, &k); err != nil {
		return fmt.Errorf("read a kept answer: %w", err)
	}
	h := c.Response().Header()
	h.Set("Idempotency-Replayed", "true")
	if k.Location != "" {
		h.Set("Location", k.Location)
	}
	return c.Blob(claim.Status, claim.Type, k.Body)
}

// keyOf reads the header: a structured-field string (RFC 9651) without parameters, or the same characters bare.
func keyOf(h http.Header) (string, error) {
	values := h.Values("Idempotency-Key")
	if len(values) == 0 {
		return "", nil
	}
	key := strings.Trim(values[0], " \t")
	if quoted, ok := strings.CutPrefix(key, `"`); ok {
		if key, ok = strings.CutSuffix(quoted, `"`); !ok {
			return "", errBadKey
		}
	}
	if len(values) > 1 || key == "" || len(key) > 128 {
		return "", errBadKey
	}
	for _, b := range []byte(key) {
		if b <= ' ' || b > '~' || b == '"' || b == '\\' {
			return "", errBadKey
		}
	}
	return key, nil
}

// fingerprint is what makes two requests the same: method, path and body.
func fingerprint(r *http.Request) (string, error) {
	body, err := io.ReadAll(r.Body)
	if err != nil {
		return "", errMalformed
	}
	r.Body = io.NopCloser(bytes.NewReader(body))
	h := sha256.New()
	fmt.Fprintf(h, "%s %s\n%s", r.Method, r.URL.EscapedPath(), body)
	return hex.EncodeToString(h.Sum(nil)), nil
}

// paper is a response that is written down before it is sent.
type paper struct {
	header http.Header
	status int
	body   bytes.Buffer
}

func (p *paper) Header() http.Header { return p.header }

func (p *paper) WriteHeader(status int) {
	if p.status == 0 {
		p.status = status
	}
}

func (p *paper) Write(b []byte) (int, error) {
	p.WriteHeader(http.StatusOK)
	return p.body.Write(b)
}
