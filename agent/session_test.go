package main

import (
	"fmt"
	"os"
	"os/exec"
	"strings"
	"testing"
)

// The README's curl session is run as it stands there, but for the address, against the demo. It needs curl and sh,
// which the gate installs; without them the same requests are made by the other tests of this package.
func TestSessionOfTheREADME(t *testing.T) {
	for _, tool := range []string{"sh", "curl"} {
		if _, err := exec.LookPath(tool); err != nil {
			if os.Getenv("CI") != "" {
				t.Fatalf("%s is missing, and in CI nothing is skipped", tool)
			}
			t.Skipf("%s is not on this machine", tool)
		}
	}
	d := startDemo(t, 50)
	script := strings.Replace(sessionOf(t, "../README.md"), "http://127.0.0.1:7340", d.url, 1)
	cmd := exec.Command("sh", "-e", "-c", script)
	cmd.Env = append(os.Environ(), "no_proxy=127.0.0.1")
	out, err := cmd.CombinedOutput()
	if err != nil {
		t.Fatalf("the session failed: %v\n%s", err, out)
	}

	var view struct {
		State   string
		Finding struct{ Kind string }
	}
	d.get("/v1/runs/r1", &view)
	if view.State != "finished" || view.Finding.Kind != "change" {
		t.Errorf("the run is %s with finding %q\n%s", view.State, view.Finding.Kind, out)
	}
	var log struct {
		Entries []struct {
			Kind, Standing string
			Value          float64
		}
	}
	d.get("/v1/logbook?kind=steps_per_mm", &log)
	// 93 steps/mm and 96.96 mm of 100 fed: 93 x 100 / 96.96 (the proportion of trade arithmetic).
	if len(log.Entries) != 1 || log.Entries[0].Standing != "verified" || fmt.Sprintf("%.2f", log.Entries[0].Value) != "95.92" {
		t.Errorf("the logbook holds %+v, want 95.92 steps/mm, verified", log.Entries)
	}
}

// sessionOf is the shell block that follows the session mark.
func sessionOf(t *testing.T, path string) string {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	_, rest, ok := strings.Cut(string(text), "<!-- session")
	if !ok {
		t.Fatalf("%s has no session", path)
	}
	_, rest, _ = strings.Cut(rest, "```sh\n")
	script, _, ok := strings.Cut(rest, "```")
	if !ok {
		t.Fatalf("the session of %s does not end", path)
	}
	return script
}
