package main

import (
	"bytes"
	"context"
	"crypto/tls"
	"crypto/x509"
	"encoding/json"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"rsc.io/qr"
)

// served is the agent itself, listening for itself, with a logbook that other commands write to as well.
type served struct {
	testing.TB
	url    string
	said   *told
	client *http.Client
	end    func()
}

func serveIn(t *testing.T, folder string) *served {
	t.Helper()
	t.Setenv("FETTLE_DATA", folder)
	t.Setenv("FETTLE_LISTEN", "127.0.0.1:0")
	s, err := readSettings()
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	a := &served{TB: t, said: &told{}, client: &http.Client{}}
	go func() { ended <- serve(ctx, s, 1, a.said, io.Discard) }() // ends with stop
	a.end = func() {
		stop()
		if err := <-ended; err != nil {
			t.Error(err)
		}
	}
	a.url = a.said.address(t)
	return a
}

// as runs the program as another process would, and returns what it prints and its exit code.
func as(args ...string) (out, errs string, code int) {
	var stdout, stderr bytes.Buffer
	code = run(context.Background(), args, &stdout, &stderr)
	return stdout.String(), stderr.String(), code
}

func (a *served) ask(method, path, body string, header ...string) (status int, said map[string]any, res *http.Response) {
	a.Helper()
	r, err := http.NewRequest(method, a.url+path, strings.NewReader(body))
	if err != nil {
		a.Fatal(err)
	}
	if body != "" {
		r.Header.Set("Content-Type", "application/json")
	}
	for _, line := range header {
		name, value, _ := strings.Cut(line, ": ")
		r.Header.Set(name, value)
	}
	if res, err = a.client.Do(r); err != nil {
		a.Fatal(err)
	}
	defer res.Body.Close()
	raw, _ := io.ReadAll(res.Body)
	_ = json.Unmarshal(raw, &said) // a stop of nothing says nothing
	return res.StatusCode, said, res
}

var threes = regexp.MustCompile(`(?m)^    (\d{3} \d{3} \d{3})$`)

// code waits until an invitation stands in a text.
func (o *told) code(t testing.TB, shown int) string {
	t.Helper()
	ctx, cancel := context.WithCancel(t.Context())
	defer cancel()
	for {
		o.mu.Lock()
		found := threes.FindAllSubmatch(o.buf.Bytes(), -1)
		if o.more == nil {
			o.more = make(chan struct{})
		}
		more := o.more
		o.mu.Unlock()
		if len(found) >= shown {
			return string(found[shown-1][1])
		}
		select {
		case <-more:
		case <-ctx.Done():
			t.Fatalf("no code: %s", o.String())
		}
	}
}

// The way of a person: start, pair a phone with the code of the terminal, pair a second one by agent pair, make a token,
// list, revoke. Each command writes to the logbook that the agent has open.
func TestPairTokenListRevoke(t *testing.T) {
	folder := t.TempDir()
	a := serveIn(t, folder)
	defer func() { a.end() }()
	if status, said, _ := a.ask("GET", "/v1/printers", ""); status != http.StatusUnauthorized || said["code"] != "unpaired" {
		t.Errorf("a stranger is answered %d %v", status, said)
	}
	code := a.said.code(t, 1)
	status, said, res := a.ask("POST", "/v1/pair", `{"code":"`+code+`","name":"Ana's phone"}`, "Origin: "+a.url)
	if status != http.StatusCreated || said["right"] != "operate" || len(res.Cookies()) != 1 {
		t.Fatalf("paired: %d %v", status, said)
	}
	phone := "Cookie: " + res.Cookies()[0].Name + "=" + res.Cookies()[0].Value
	if status, said, _ := a.ask("GET", "/v1/about", "", phone); status != 200 || said["name"] != "Ana's phone" {
		t.Errorf("to the phone: %d %v", status, said)
	}

	var second told
	paired := make(chan int)
	go func() { paired <- run(context.Background(), []string{"pair", "watch"}, &second, io.Discard) }() // ends when somebody came
	if status, said, _ := a.ask("POST", "/v1/pair", `{"code":"`+second.code(t, 1)+`","name":"Bo's phone"}`); status != 201 || said["right"] != "watch" {
		t.Errorf("paired by the command: %d %v", status, said)
	}
	if code := <-paired; code != exitFine || !strings.Contains(second.String(), "Paired: Bo's phone (a2, may watch)") {
		t.Errorf("pair ended with %d: %s", code, second.String())
	}

	out, errs, _ := as("token", "lab script")
	token := strings.TrimSpace(out)
	if len(token) != 43 || strings.Contains(errs, token) {
		t.Fatalf("token printed %q and %q", out, errs)
	}
	bearer := "Authorization: Bearer " + token
	if status, said, _ := a.ask("GET", "/v1/about", "", bearer); status != 200 || said["right"] != "watch" || said["name"] != "lab script" {
		t.Errorf("to the script: %d %v", status, said)
	}
	if status, _, _ := a.ask("POST", "/v1/materials", "{}", bearer); status != http.StatusForbidden {
		t.Errorf("a watching script may change things: %d", status)
	}
	list, _, _ := as("access")
	for _, want := range []string{"a1", "Ana's phone", "operate", "Bo's phone", "phone", "lab script", "token"} {
		if !strings.Contains(list, want) {
			t.Errorf("the list lacks %q:\n%s", want, list)
		}
	}
	if out, errs, code := as("revoke", "a3"); code != exitFine || !strings.Contains(out, "a3 is revoked") {
		t.Errorf("revoke: %d %s %s", code, out, errs)
	}
	for known := true; known; { // the agent follows within a second
		status, said, _ = a.ask("GET", "/v1/about", "", bearer)
		known = said["paired"] == true || status == http.StatusTooManyRequests // this asks as fast as it can
	}

	// The next life has a phone already, so that it opens nothing; the phone is known still.
	a.end()
	a = serveIn(t, folder)
	if status, said, _ := a.ask("GET", "/v1/about", "", phone); status != 200 || said["name"] != "Ana's phone" {
		t.Errorf("after a restart: %d %v", status, said)
	}
	if threes.MatchString(a.said.String()) {
		t.Error("a window was opened although a phone is paired")
	}
}

func TestWrongCommandLinesAreExplained(t *testing.T) {
	t.Setenv("FETTLE_DATA", filepath.Join(t.TempDir(), "nowhere"))
	for _, c := range []struct {
		args []string
		code int
		says string
	}{
		{[]string{"pair"}, exitFailed, "no agent runs on the data folder"},
		{[]string{"pair", "own"}, exitSetting, "accepted: watch, operate"},
		{[]string{"token"}, exitSetting, "agent token NAME [watch|operate]"},
		{[]string{"token", "x"}, exitFailed, "there is no logbook in"},
		{[]string{"token", "x", "own"}, exitSetting, "accepted: watch, operate"},
		{[]string{"revoke"}, exitSetting, "agent revoke ID"},
		{[]string{"access", "x"}, exitSetting, "accepted: agent access"},
	} {
		if out, errs, code := as(c.args...); code != c.code || !strings.Contains(errs, c.says) {
			t.Errorf("%q: %d %q %q, want %d and %q", c.args, code, out, errs, c.code, c.says)
		}
	}
	if _, err := os.Stat(os.Getenv("FETTLE_DATA")); err == nil {
		t.Error("a mistyped folder was made")
	}
	a := serveIn(t, t.TempDir())
	defer a.end()
	for _, args := range [][]string{{"token", "a\nb"}, {"revoke", "a9"}} {
		if _, errs, code := as(args...); code != exitSetting {
			t.Errorf("%q: %d %s", args, code, errs)
		}
	}
}

// FETTLE_TLS=own: what is shown in the terminal is what a phone sees, and what about says, over every start.
func TestTheOwnCertificateIsShown(t *testing.T) {
	t.Setenv("FETTLE_TLS", "own")
	t.Setenv("FETTLE_NAMES", "printers.lan")
	folder, shown := t.TempDir(), ""
	for range 2 {
		a := serveIn(t, folder)
		_, rest, _ := strings.Cut(a.said.String(), "certificate: ")
		print, _, _ := strings.Cut(rest, "\n")
		if len(print) != 95 || shown != "" && shown != print || !strings.HasPrefix(a.url, "https://") {
			t.Errorf("at %s the fingerprint is %q, was %q", a.url, print, shown)
		}
		shown = print
		pem, err := os.ReadFile(filepath.Join(folder, "own-certificate.pem"))
		if err != nil {
			t.Fatal(err)
		}
		roots := x509.NewCertPool()
		roots.AppendCertsFromPEM(pem)
		a.client.Transport = &http.Transport{TLSClientConfig: &tls.Config{RootCAs: roots}} // the name must fit, too
		if status, said, res := a.ask("GET", "/v1/about", ""); status != 200 || said["certificate_sha256"] != print || said["network"] != nil || res.Header.Get("Strict-Transport-Security") != "" {
			t.Errorf("%d %v", status, said)
		}
		status, _, res := a.ask("POST", "/v1/pair", `{"code":"`+a.said.code(t, 1)+`","name":"Ana's phone"}`, "Origin: "+a.url)
		if status != http.StatusCreated || !strings.HasPrefix(res.Cookies()[0].Name, "__Host-") || !res.Cookies()[0].Secure {
			t.Errorf("paired: %d %v", status, res.Cookies())
		}
		if out, errs, code := as("revoke", strings.TrimPrefix(res.Header.Get("Location"), "/v1/access/")); code != exitFine {
			t.Errorf("%s %s", out, errs)
		}
		a.client.CloseIdleConnections()
		a.end()
	}
}

// The picture: two modules in a character, as the library has them, with a light border of four (ISO/IEC 18004).
func TestThePictureIsTheCode(t *testing.T) {
	for _, text := range []string{"http://192.168.178.123:7340/#pair=" + strings.Repeat("A", 43), "https://[fd12:3456:789a:1::1234]:7340/#pair=" + strings.Repeat("z", 43)} {
		code, err := qr.Encode(text, qr.L)
		if err != nil {
			t.Fatal(err)
		}
		lines := strings.Split(strings.TrimSuffix(halfBlocks(code), "\n"), "\n")
		light := func(x, y int) bool {
			c := []rune(lines[y/2])[x]
			return c == '█' || c == '▀' && y%2 == 0 || c == '▄' && y%2 == 1
		}
		for y := range 2 * len(lines) {
			for x := range []rune(lines[0]) {
				inside := x >= 4 && y >= 4 && x < code.Size+4 && y < code.Size+4
				if want := !inside || !code.Black(x-4, y-4); light(x, y) != want {
					t.Fatalf("module %d,%d is light: %t", x-4, y-4, !want)
				}
			}
		}
		if len([]rune(lines[0])) != code.Size+8 || 2*len(lines) < code.Size+8 || len(lines[0]) > 80*3 {
			t.Errorf("%d modules are %d by %d characters", code.Size, len([]rune(lines[0])), len(lines))
		}
	}
}
