package api_test

import (
	"bufio"
	"encoding/binary"
	"fmt"
	"io"
	"net"
	"net/http"
	"testing"
)

// socket is the listening half of a websocket client, written after RFC 6455 and independent of the server's library.
type socket struct {
	testing.TB
	in *bufio.Reader
}

// shake asks for an upgrade as a page of ours would. The key and its answer are the example of RFC 6455 section 1.3.
func shake(t testing.TB, conn net.Conn, host, path string) *socket {
	t.Helper()
	return shakeWith(t, conn, host, path, "X-Nothing: 1")
}

// shakeWith has one header line more.
func shakeWith(t testing.TB, conn net.Conn, host, path, header string) *socket {
	t.Helper()
	go fmt.Fprintf(conn, "GET %s HTTP/1.1\r\nHost: %s\r\nOrigin: http://%[2]s\r\nConnection: Upgrade\r\nUpgrade: websocket\r\n"+
		"Sec-WebSocket-Version: 13\r\nSec-WebSocket-Key: dGhlIHNhbXBsZSBub25jZQ==\r\n%[3]s\r\n\r\n", path, host, header) // ends when it is taken in
	s := &socket{t, bufio.NewReader(conn)}
	res, err := http.ReadResponse(s.in, nil)
	if err != nil || res.StatusCode != http.StatusSwitchingProtocols || res.Header.Get("Sec-WebSocket-Accept") != "s3pPLMBiTxaQ9kYGzzhZRbK+xOo=" {
		t.Fatalf("no upgrade: %v %v", res, err)
	}
	if res.Header.Get("X-Content-Type-Options") != "nosniff" {
		t.Error("an upgrade without the headers of every answer")
	}
	return s
}

// read returns the next text message, or the code of the close frame (RFC 6455 section 5.2 and 7.4; 1006: none came).
func (s *socket) read() (message []byte, code int) {
	for {
		var head [2]byte
		if _, err := io.ReadFull(s.in, head[:]); err != nil {
			return nil, 1006
		}
		length := uint64(head[1])
		var long [8]byte
		switch length {
		case 126:
			io.ReadFull(s.in, long[6:])
			length = binary.BigEndian.Uint64(long[:])
		case 127:
			io.ReadFull(s.in, long[:])
			length = binary.BigEndian.Uint64(long[:])
		}
		payload := make([]byte, length)
		if _, err := io.ReadFull(s.in, payload); err != nil {
			return nil, 1006
		}
		switch head[0] {
		case 0x81: // one whole text
			return payload, 0
		case 0x88: // close
			return nil, int(binary.BigEndian.Uint16(payload))
		}
	}
}
