package main

import (
	"net"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// agent cool at a folder without a logbook makes none, and says so; with nothing owed it does not stay silent.
func TestCoolSaysWhatItFound(t *testing.T) {
	folder := filepath.Join(t.TempDir(), "elsewhere")
	t.Setenv("FETTLE_DATA", folder)
	if _, errs, code := as("cool"); code != exitFailed || !strings.Contains(errs, "there is no logbook in "+folder) {
		t.Errorf("%d %s", code, errs)
	}
	if _, err := os.Stat(folder); !os.IsNotExist(err) {
		t.Errorf("the folder was made: %v", err)
	}
	serveIn(t, folder).end()
	out, errs, code := as("cool")
	if code != exitFine || !strings.Contains(out, "nothing is owed by this record") || !strings.Contains(out, "look at the machine") {
		t.Errorf("%d %q %s", code, out, errs)
	}
}

func TestATakenPortNamesTheLikelyCause(t *testing.T) {
	other, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer other.Close()
	t.Setenv("FETTLE_DATA", t.TempDir())
	t.Setenv("FETTLE_LISTEN", other.Addr().String())
	for _, args := range [][]string{nil, {"demo"}} {
		_, errs, code := as(args...)
		if code != exitFailed || !strings.Contains(errs, "another agent or demo") || !strings.Contains(errs, "FETTLE_LISTEN=") {
			t.Errorf("%q: %d %s", args, code, errs)
		}
	}
}

// The order of deference is one, wherever it is said.
func TestWhoComesFirstIsSaidAlike(t *testing.T) {
	const order = "Law and workplace rules come first, then the machine maker's manual, then the material maker's data sheet, then this program."
	for _, name := range []string{"../README.md", "../api/openapi.yaml", "../api/about.go"} {
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		if !strings.Contains(strings.Join(strings.Fields(strings.ReplaceAll(string(text), "**", "")), " "), order) {
			t.Errorf("%s does not say so", name)
		}
	}
	if !strings.Contains(strings.Join(strings.Fields(help()), " "), order) {
		t.Errorf("help does not say so: %s", help())
	}
}
