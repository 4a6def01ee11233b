package live

import (
	"context"
	"errors"
	"net/http"
	"os"
	"time"

	"fettle/api/guard"

	"github.com/gorilla/websocket"
)

// Why a socket ends of its own.
var (
	errGone = errors.New("the listener went away")
	errSlow = errors.New("the listener is too slow")
)

// socket is one listener. Its goroutine is the handler's: it writes. One more reads, only to hear a close and the pongs.
type socket struct {
	conn   *websocket.Conn
	ctx    context.Context // its cause says why the socket ends
	end    context.CancelCauseFunc
	beaten time.Time // when the listener last heard a beat
}

// serve makes a request a websocket and lets talk write to it until it ends. An error is returned only where no
// response has been written.
func (h *Hub) serve(w http.ResponseWriter, r *http.Request, talk func(*socket) error) error {
	if !Asked(r) {
		return ErrNotAsked
	}
	s := &socket{beaten: time.Now()}
	s.ctx, s.end = context.WithCancelCause(context.WithoutCancel(r.Context()))
	defer s.end(nil)
	release := context.AfterFunc(r.Context(), func() { h.revoked(s, context.Cause(r.Context())) })
	defer release()
	conn, err := h.upgrade(w, r, s)
	if conn == nil {
		return err
	}
	defer h.leave(s)
	defer conn.Close()
	heard := make(chan struct{})
	go func() { defer close(heard); s.listen() }() // ends when the connection is closed, at the latest
	why := talk(s)
	if cause := context.Cause(s.ctx); cause != nil {
		why = cause
	}
	h.Log.Debug("listener ended", "path", r.URL.Path, "why", why)
	s.goodbye(why, heard)
	conn.Close()
	<-heard
	return nil
}

// upgrade takes a place and shakes hands. The Upgrader compares the Origin with the Host once more; its own refusals
// are kept silent, since the caller answers. It returns neither a connection nor an error where the connection broke
// after it was taken over, when nobody can be answered.
func (h *Hub) upgrade(w http.ResponseWriter, r *http.Request, s *socket) (*websocket.Conn, error) {
	if err := h.enter(s); err != nil {
		return nil, err
	}
	refused := false
	u := websocket.Upgrader{HandshakeTimeout: writeDeadline,
		Error: func(http.ResponseWriter, *http.Request, int, error) { refused = true }}
	conn, err := u.Upgrade(w, r, w.Header())
	if err == nil {
		h.mu.Lock()
		s.conn = conn
		late := h.closing
		h.mu.Unlock()
		if late {
			s.end(ErrClosing)
		}
		return conn, nil
	}
	h.leave(s)
	if refused {
		return nil, ErrHandshake
	}
	return nil, nil
}

// listen reads until the connection ends. What a listener says is not used.
func (s *socket) listen() {
	s.conn.SetReadLimit(readLimit)
	renew := func(string) error { return s.conn.SetReadDeadline(time.Now().Add(pongWithin)) }
	s.conn.SetPongHandler(renew)
	for err := renew(""); err == nil; {
		_, _, err = s.conn.NextReader()
	}
	s.end(errGone)
}

// hurry ends a socket and lets a write under way take no longer than a goodbye. The hub's lock is held.
func (s *socket) hurry(cause error) {
	s.end(cause)
	if s.conn != nil {
		_ = s.conn.NetConn().SetWriteDeadline(time.Now().Add(goodbyeWithin)) // a closed connection has none
	}
}

// revoked ends a socket when the key of its listener is taken away.
func (h *Hub) revoked(s *socket, cause error) {
	if !errors.Is(cause, guard.ErrRevoked) {
		return
	}
	h.mu.Lock()
	defer h.mu.Unlock()
	s.hurry(guard.ErrRevoked)
}

// cut closes the connection under a socket. The hub's lock is held.
func (s *socket) cut() {
	if s.conn != nil {
		s.conn.NetConn().Close()
	}
}

// write sends messages as one batch, which must be taken in within the deadline.
func (s *socket) write(messages ...[]byte) error {
	if err := context.Cause(s.ctx); err != nil {
		return err
	}
	_ = s.conn.SetWriteDeadline(time.Now().Add(writeDeadline)) // never fails
	for _, m := range messages {
		if err := s.conn.WriteMessage(websocket.TextMessage, m); errors.Is(err, os.ErrDeadlineExceeded) {
			return errSlow
		} else if err != nil {
			return errGone
		}
	}
	return nil
}

// beat sends a ping where one is due, and reports whether one was.
func (s *socket) beat() (bool, error) {
	if time.Since(s.beaten) < beatEvery {
		return false, nil
	}
	s.beaten = time.Now()
	if err := s.conn.WriteControl(websocket.PingMessage, nil, time.Now().Add(writeDeadline)); err != nil {
		return false, errGone
	}
	return true, nil
}

// wait returns when there is news, a beat is due, after at most the time given (0: no such limit), or with the cause
// when the socket ends.
func (s *socket) wait(atMost time.Duration, a, b <-chan struct{}) error {
	until := time.Until(s.beaten.Add(beatEvery))
	if atMost > 0 {
		until = min(until, atMost)
	}
	timer := time.NewTimer(until)
	defer timer.Stop()
	select {
	case <-s.ctx.Done():
		return context.Cause(s.ctx)
	case <-a:
	case <-b:
	case <-timer.C:
	}
	return nil
}

// goodbye tells a listener why, as far as it can still be told, and gives it a moment to take it in.
func (s *socket) goodbye(why error, heard <-chan struct{}) {
	code, reason, within := websocket.CloseInternalServerErr, "the agent made a mistake", goodbyeWithin
	switch {
	case errors.Is(why, errGone):
		return
	case errors.Is(why, ErrClosing):
		code, reason = websocket.CloseGoingAway, ErrClosing.Error()
	case errors.Is(why, guard.ErrRevoked):
		code, reason = websocket.ClosePolicyViolation, guard.ErrRevoked.Error()
	case errors.Is(why, errSlow):
		code, reason, within = websocket.CloseTryAgainLater, errSlow.Error(), writeDeadline
	}
	if s.conn.WriteControl(websocket.CloseMessage, websocket.FormatCloseMessage(code, reason), time.Now().Add(within)) != nil {
		return
	}
	timer := time.NewTimer(goodbyeWithin)
	defer timer.Stop()
	select {
	case <-heard:
	case <-timer.C:
	}
}
