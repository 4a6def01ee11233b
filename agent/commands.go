package main

import (
	"context"
	"fmt"
	"io"
	"strings"
)

// A command is one word behind the program's name.
type command struct {
	name  string
	usage string // what may follow, as help shows it
	most  int    // words that may follow
	least int
	says  string
	do    func(ctx context.Context, s settings, args []string, stdout, stderr io.Writer) error
}

// commands are all there are. The first is what happens without a word.
func commands() []command {
	return []command{
		{"", "", 0, 0, "serve the printers in the logbook", func(ctx context.Context, s settings, _ []string, stdout, stderr io.Writer) error {
			return serve(ctx, s, 1, stdout, stderr)
		}},
		{"demo", "[FOLDER]", 1, 0, "serve two stand-in printers, no hardware; FOLDER keeps their logbook",
			func(ctx context.Context, s settings, args []string, stdout, stderr io.Writer) error {
				return demo(ctx, s, demoPrinters(), args, stdout, stderr)
			}},
		{"pair", "[watch|operate]", 1, 0, "show a code for one more phone, for 10 minutes", pairPhone},
		{"token", "NAME [watch|operate]", 2, 1, "make a token for a script, with the right to watch unless more is said; shown once", makeToken},
		{"access", "", 0, 0, "list the phones and scripts that may come in", listAccess},
		{"revoke", "ID", 1, 1, "take the key of one of them away", revokeAccess},
		{"cool", "", 0, 0, "heaters off on every printer that we left something on, then end",
			func(ctx context.Context, s settings, _ []string, stdout, stderr io.Writer) error {
				return cool(ctx, s, stdout, stderr)
			}},
		{"version", "", 0, 0, "the version", func(_ context.Context, _ settings, _ []string, stdout, _ io.Writer) error {
			_, err := fmt.Fprintln(stdout, version())
			return err
		}},
		{"help", "", 0, 0, "this page", func(_ context.Context, _ settings, _ []string, stdout, _ io.Writer) error {
			_, err := io.WriteString(stdout, help())
			return err
		}},
	}
}

// commandOf finds the command of a command line.
func commandOf(args []string) (command, []string, error) {
	name := ""
	if len(args) > 0 {
		name, args = args[0], args[1:]
	}
	if name == "-h" || name == "--help" {
		name = "help"
	}
	for _, c := range commands() {
		if c.name != name {
			continue
		}
		if len(args) < c.least || len(args) > c.most {
			return c, nil, fmt.Errorf("%w: %q is followed by %d words; accepted: %s", errUsage, name, len(args), c.line())
		}
		return c, args, nil
	}
	return command{}, nil, fmt.Errorf("%w: %q is not known; accepted: %s", errUsage, name, accepted())
}

func accepted() string {
	var all []string
	for _, c := range commands()[1:] {
		all = append(all, strings.TrimPrefix(c.line(), "agent "))
	}
	return "nothing, " + strings.Join(all, ", ")
}

func (c command) line() string {
	return strings.Join(strings.Fields("agent "+c.name+" "+c.usage), " ")
}

func help() string {
	var lines strings.Builder
	for _, c := range commands() {
		fmt.Fprintf(&lines, "  %-34s %s\n", c.line(), c.says)
	}
	return `fettle: guided extrusion checks for a filament printer, over a serial line.

` + lines.String() + `
Settings, from the environment:

` + described() + `
It is not a safety device. Law and workplace rules come first, then the machine maker's manual, then the material maker's
data sheet, then this program.
`
}
