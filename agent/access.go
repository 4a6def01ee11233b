package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"text/tabwriter"
	"time"

	"fettle/api/guard"
	"fettle/routines/logbook"
)

// atThisComputer is who does what these commands do. They write to the logbook that the agent has open at the same
// time, which follows within a second.
const atThisComputer = "this computer"

// keptIn is the path of the logbook of an agent that was started at least once.
func keptIn(folder string) (path string, err error) {
	path = filepath.Join(folder, "logbook.db")
	if _, err := os.Stat(path); errors.Is(err, fs.ErrNotExist) {
		return "", fmt.Errorf("there is no logbook in %s; start the agent once, or say which folder is its own: FETTLE_DATA", folder)
	}
	return path, nil
}

// openBook opens the logbook of an agent that was started at least once.
func openBook(ctx context.Context, s settings) (*logbook.Book, error) {
	path, err := keptIn(s.Data)
	if err != nil {
		return nil, err
	}
	book, err := logbook.Open(ctx, path, logbook.WithClock(logbook.SystemClock))
	if err != nil {
		return nil, errors.Join(fmt.Errorf("open the logbook: %w", err), closed(book))
	}
	return book, nil
}

// closed closes a book that may only be read, which is no use here.
func closed(book *logbook.Book) error {
	if book == nil {
		return nil
	}
	return book.Close()
}

// rightOf reads a right from a command line.
func rightOf(args []string, otherwise guard.Right) (guard.Right, error) {
	if len(args) == 0 {
		return otherwise, nil
	}
	if r := guard.Right(args[0]); r == guard.Watch || r == guard.Operate {
		return r, nil
	}
	return "", fmt.Errorf("%w: %q is no right; accepted: watch, operate", errUsage, args[0])
}

// makeToken makes a key for a script. It goes to stdout alone, so that a shell can take it.
func makeToken(ctx context.Context, s settings, args []string, stdout, stderr io.Writer) error {
	right, err := rightOf(args[1:], guard.Watch)
	if err != nil {
		return err
	}
	book, err := openBook(ctx, s)
	if err != nil {
		return err
	}
	defer book.Close()
	secret, a, err := guard.NewToken(ctx, book, args[0], right, atThisComputer)
	if errors.Is(err, guard.ErrName) {
		return fmt.Errorf("%w: %q is no name; accepted: 1 to 40 visible characters", errUsage, args[0])
	} else if err != nil {
		return err
	}
	fmt.Fprintf(stderr, "%s: %s, may %s. Send it as Authorization: Bearer. It is shown this once.\n", a.ID, a.Name, a.Right)
	_, err = fmt.Fprintln(stdout, secret)
	return err
}

// listAccess lists who may come in.
func listAccess(ctx context.Context, s settings, _ []string, stdout, _ io.Writer) error {
	book, err := openBook(ctx, s)
	if err != nil {
		return err
	}
	defer book.Close()
	all, err := book.Accesses(ctx)
	if err != nil {
		return err
	}
	table := tabwriter.NewWriter(stdout, 0, 0, 2, ' ', 0)
	fmt.Fprintln(table, "ID\tNAME\tKIND\tRIGHT\tMADE\tLAST USED")
	for _, a := range all {
		fmt.Fprintf(table, "%s\t%s\t%s\t%s\t%s\t%s\n", a.ID, a.Name, a.Kind, a.Right, day(a.MadeMS), day(a.UsedMS))
	}
	return table.Flush()
}

func day(ms int64) string {
	if ms == 0 {
		return "not known"
	}
	return time.UnixMilli(ms).Format("2006-01-02 15:04")
}

// revokeAccess takes a key away.
func revokeAccess(ctx context.Context, s settings, args []string, stdout, _ io.Writer) error {
	book, err := openBook(ctx, s)
	if err != nil {
		return err
	}
	defer book.Close()
	if err := book.RevokeAccess(ctx, args[0], atThisComputer); errors.Is(err, logbook.ErrNotFound) {
		return fmt.Errorf("%w: nobody has the id %q; agent access lists them", errUsage, args[0])
	} else if err != nil {
		return err
	}
	_, err = fmt.Fprintf(stdout, "%s is revoked; what it had open ends within a second\n", args[0])
	return err
}
