package main

import (
	"bufio"
	"fmt"
	"io"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"
)

// BenchmarkStart prints how long the demo takes from its start to its first answer and what it then holds in memory,
// beside the smallest HTTP server of the standard library in the same run. Goals: under 200 ms, under 40 MB.
//
//	go test -run xxx -bench Start -benchtime 5x ./agent
func BenchmarkStart(b *testing.B) {
	bare := filepath.Join(b.TempDir(), "bare.go")
	if err := os.WriteFile(bare, []byte(bareServer), 0o600); err != nil {
		b.Fatal(err)
	}
	for name, source := range map[string]string{"demo": ".", "bare": bare} {
		program := filepath.Join(b.TempDir(), name)
		if out, err := exec.Command("go", "build", "-o", program, source).CombinedOutput(); err != nil {
			b.Fatalf("build: %v\n%s", err, out)
		}
		b.Run(name, func(b *testing.B) {
			var took time.Duration
			var residentMB float64
			for b.Loop() {
				t, mb := startOnce(b, program)
				took, residentMB = took+t, residentMB+mb
			}
			b.ReportMetric(float64(took.Milliseconds())/float64(b.N), "ms/start")
			b.ReportMetric(residentMB/float64(b.N), "MB-resident")
		})
	}
}

// bareServer says where it listens and answers 404.
const bareServer = `package main

import (
	"fmt"
	"net"
	"net/http"
)

func main() {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		panic(err)
	}
	fmt.Printf("bare at http://%s\n", l.Addr())
	http.Serve(l, http.NotFoundHandler())
}
`

// startOnce starts a program, waits for its first answer, and ends it.
func startOnce(b *testing.B, program string) (took time.Duration, residentMB float64) {
	cmd := exec.Command(program, "demo")
	cmd.Env = append(os.Environ(), "FETTLE_LISTEN=127.0.0.1:0", "TMPDIR="+b.TempDir())
	out, err := cmd.StdoutPipe()
	if err != nil {
		b.Fatal(err)
	}
	began := time.Now()
	if err := cmd.Start(); err != nil {
		b.Fatal(err)
	}
	defer func() {
		cmd.Process.Signal(syscall.SIGTERM)
		cmd.Wait()
	}()
	line, err := bufio.NewReader(out).ReadString('\n')
	if err != nil {
		b.Fatal(err)
	}
	resp, err := http.Get(strings.TrimSpace(line[strings.Index(line, "http://"):]) + "/v1/about")
	if err != nil {
		b.Fatal(err)
	}
	io.Copy(io.Discard, resp.Body)
	resp.Body.Close()
	took = time.Since(began)
	return took, resident(b, cmd.Process.Pid)
}

// resident is a process's memory in MB (VmRSS of the kernel's status file).
func resident(b *testing.B, pid int) float64 {
	status, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", pid))
	if err != nil {
		b.Fatal(err)
	}
	_, rest, _ := strings.Cut(string(status), "VmRSS:")
	kB, err := strconv.ParseFloat(strings.Fields(rest)[0], 64)
	if err != nil {
		b.Fatal(err)
	}
	return kB / 1024
}
