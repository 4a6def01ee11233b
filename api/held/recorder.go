package held

import (
	"bufio"
	"bytes"
	"net"
	"net/http"
)

// recorder passes an answer on as it is written and keeps a copy.
type recorder struct {
	http.ResponseWriter
	status   int
	body     bytes.Buffer
	hijacked bool
}

func (r *recorder) WriteHeader(status int) {
	if r.status == 0 {
		r.status = status
	}
	r.ResponseWriter.WriteHeader(status)
}

func (r *recorder) Write(b []byte) (int, error) {
	if r.status == 0 {
		r.status = http.StatusOK
	}
	r.body.Write(b)
	return r.ResponseWriter.Write(b)
}

// Unwrap lets http.ResponseController reach the deadlines and the flush.
func (r *recorder) Unwrap() http.ResponseWriter { return r.ResponseWriter }

// Hijack is what a websocket takes the connection over with.
func (r *recorder) Hijack() (net.Conn, *bufio.ReadWriter, error) {
	c, rw, err := http.NewResponseController(r.ResponseWriter).Hijack()
	r.hijacked = err == nil
	return c, rw, err
}
