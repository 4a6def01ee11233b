package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/signal"
	"runtime/debug"
	"syscall"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	context.AfterFunc(ctx, stop) // a second signal ends the process at once
	os.Exit(run(ctx, os.Args[1:], os.Stdout, os.Stderr))
}

// Exit codes: the order in which a person should look for the cause.
const (
	exitFine    = 0
	exitFailed  = 1
	exitSetting = 2 // a setting or the command line is wrong
)

// run is the whole program. It returns when everything it started has ended.
func run(ctx context.Context, args []string, stdout, stderr io.Writer) int {
	err := dispatch(ctx, args, stdout, stderr)
	switch {
	case err == nil:
		return exitFine
	case errors.Is(err, errSetting), errors.Is(err, errUsage):
		fmt.Fprintf(stderr, "fettle: %v\n", err)
		return exitSetting
	}
	fmt.Fprintf(stderr, "fettle: %v\n", err)
	return exitFailed
}

var errUsage = errors.New("command")

func dispatch(ctx context.Context, args []string, stdout, stderr io.Writer) error {
	name := ""
	if len(args) > 0 {
		name, args = args[0], args[1:]
	}
	if name == "help" || name == "-h" || name == "--help" {
		_, err := io.WriteString(stdout, help())
		return err
	}
	if name == "version" {
		_, err := fmt.Fprintln(stdout, version())
		return err
	}
	s, err := readSettings()
	if err != nil {
		return err
	}
	switch {
	case name == "" && len(args) == 0:
		return serve(ctx, s, 1, stdout, stderr)
	case name == "demo" && len(args) <= 1:
		return demo(ctx, s, demoProfile(), args, stdout, stderr)
	case name == "cool" && len(args) == 0:
		return cool(ctx, s, stdout, stderr)
	}
	return fmt.Errorf("%w: %q is not known; accepted: nothing, demo [FOLDER], cool, version, help", errUsage, name)
}

func help() string {
	return `fettle: guided extrusion checks for a filament printer, over a serial line.

  agent                 serve the printers in the logbook
  agent demo [FOLDER]   serve a stand-in printer, no hardware; FOLDER keeps its logbook
  agent cool            heaters off on every printer that we left something on, then end
  agent version         the version
  agent help            this page

Settings, from the environment:

` + described() + `
It is not a safety device. The maker's manual, local codes and licensed practice come first.
`
}

func version() string {
	info, ok := debug.ReadBuildInfo()
	if !ok {
		return "fettle (built without module information)"
	}
	for _, s := range info.Settings {
		if s.Key == "vcs.revision" {
			return "fettle " + s.Value + " " + info.GoVersion
		}
	}
	return "fettle " + info.Main.Version + " " + info.GoVersion
}
