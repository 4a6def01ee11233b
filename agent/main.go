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
	c, args, err := commandOf(args)
	if err != nil {
		return err
	}
	if c.name == "help" || c.name == "version" {
		return c.do(ctx, settings{}, args, stdout, stderr) // also where a setting is wrong
	}
	s, err := readSettings()
	if err != nil {
		return err
	}
	return c.do(ctx, s, args, stdout, stderr)
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
