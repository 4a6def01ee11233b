package main

import (
	"fmt"
	"math"
	"os"
	"os/exec"
	"strings"
	"testing"

	"fettle/routines/runner"
)

// The README's curl sessions are run as they stand there, but for the address, against the demo. They need curl and sh,
// which the gate installs; without them the same requests are made by the other tests of this package.
func TestSessionOfTheREADME(t *testing.T) {
	d := startDemo(t, 50)
	out := d.session("session")

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
	// 93 steps/mm and 96.98 mm of 100 fed: 93 x 100 / 96.98 (the proportion of trade arithmetic).
	if len(log.Entries) != 1 || log.Entries[0].Standing != "verified" || fmt.Sprintf("%.2f", log.Entries[0].Value) != "95.90" {
		t.Errorf("the logbook holds %+v, want 95.90 steps/mm, verified", log.Entries)
	}
}

// From a checked feed to a docket that the firmware has, as the README's second session stands there.
func TestTuningOfTheREADME(t *testing.T) {
	if testing.Short() {
		t.Skip("three pieces take longer than -short allows")
	}
	t.Parallel() // it mostly waits for its printer
	d := startPrinters(t, demoPrinters(), hurry, patient)
	if v := d.finish(d.begin(map[string]any{"gauge": "caliper"}), nil); v.State != runner.Finished {
		t.Fatalf("the feed check: %s %s", v.State, v.Cause)
	}
	out := d.session("tuning")
	var docket docketSeen
	d.get(plumDocket, &docket)
	length := docket.Rows[0]
	if docket.Active != "firmware" || length.Value == nil || !length.Fresh || length.From.Source != "measured" {
		t.Fatalf("the docket is in use by %q and holds %+v\n%s", docket.Active, length, out)
	}
	if got, want := d.retraction(), fmt.Sprintf("M207 S%.2f ", *length.Value); !strings.HasPrefix(got, want) {
		t.Errorf("the printer says %q, want %s", got, want)
	}
	if !strings.Contains(out, "Retraction length") {
		t.Errorf("no docket was printed:\n%s", out)
	}
}

// Width, feed by two flags, flow limit and drift, as the README's third session stands there. What is found is held to the
// stand-in's own truth.
func TestMeasuringOfTheREADME(t *testing.T) {
	if testing.Short() {
		t.Skip("a climb takes longer than -short allows")
	}
	t.Parallel() // it mostly waits for its printer
	d := startPrinters(t, demoPrinters(), hurry, patient)
	out := d.session("measuring")
	for i, want := range []string{"diameter", "change", "found"} {
		var v runner.RunView
		if d.get(fmt.Sprintf("/v1/runs/r%d", i+1), &v); v.Finding == nil || v.Finding.Kind != want {
			t.Fatalf("run %d: %s %s, finding %+v; want %s\n%s", i+1, v.State, v.Cause, v.Finding, want, out)
		}
	}
	var drift struct {
		Checks []struct{ Value, U95 float64 }
	}
	d.get("/v1/printers/window/drift", &drift)
	truth := demoPrinters()[0].profile.TrueStepsPerMM
	if len(drift.Checks) != 1 || math.Abs(drift.Checks[0].Value-truth) > drift.Checks[0].U95 {
		t.Errorf("the chart holds %+v, truly it is %g", drift.Checks, truth)
	}
}

// session runs the README's session of that mark.
func (c client) session(mark string) (out string) {
	c.Helper()
	for _, tool := range []string{"sh", "curl"} {
		if _, err := exec.LookPath(tool); err != nil {
			if os.Getenv("CI") != "" {
				c.Fatalf("%s is missing, and in CI nothing is skipped", tool)
			}
			c.Skipf("%s is not on this machine", tool)
		}
	}
	script := strings.Replace(sessionOf(c, "../README.md", mark), "http://127.0.0.1:7340", c.url, 1)
	cmd := exec.Command("sh", "-e", "-c", script)
	cmd.Env = append(os.Environ(), "no_proxy=127.0.0.1")
	said, err := cmd.CombinedOutput()
	if err != nil {
		c.Fatalf("the session failed: %v\n%s", err, said)
	}
	return string(said)
}

// sessionOf is the shell block that follows a mark.
func sessionOf(t testing.TB, path, mark string) string {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	_, rest, ok := strings.Cut(string(text), "<!-- "+mark+":")
	if !ok {
		t.Fatalf("%s has no %s", path, mark)
	}
	_, rest, _ = strings.Cut(rest, "```sh\n")
	script, _, ok := strings.Cut(rest, "```")
	if !ok {
		t.Fatalf("the %s of %s does not end", mark, path)
	}
	return script
}
