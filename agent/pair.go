package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"time"

	"fettle/api/guard"
	"fettle/routines/logbook"
)

// lookEvery is how often pairPhone looks whether somebody has come.
const lookEvery = 500 * time.Millisecond

// pairPhone opens the window of an agent that runs and waits beside it until it is shut, and shuts it when it is left.
func pairPhone(ctx context.Context, s settings, args []string, stdout, _ io.Writer) error {
	right, err := rightOf(args, guard.Operate)
	if err != nil {
		return err
	}
	where, err := listening(s.Data)
	if err != nil {
		return err
	}
	book, err := openBook(ctx, s)
	if err != nil {
		return err
	}
	defer book.Close()
	before, err := book.Accesses(ctx)
	if err != nil {
		return err
	}
	in, err := guard.OpenWindow(ctx, book, right)
	if err != nil {
		return err
	}
	invite(stdout, in, where)
	fmt.Fprintln(stdout, "This waits until a phone is paired; Ctrl-C shuts the window.")
	if err := awaitShut(ctx, book, in.Window); err != nil {
		return errors.Join(err, book.ShutPairing(context.WithoutCancel(ctx), in.Window))
	}
	return outcome(ctx, book, before, stdout)
}

var errNobodyCame = errors.New("nobody was paired; the window is shut")

// awaitShut waits until a window is shut, by a phone that was paired or by a fifth wrong try.
func awaitShut(ctx context.Context, book *logbook.Book, window string) error {
	limit, look := time.NewTimer(guard.WindowTime), time.NewTicker(lookEvery)
	defer limit.Stop()
	defer look.Stop()
	for {
		select {
		case <-ctx.Done():
			return errNobodyCame
		case <-limit.C:
			return errNobodyCame
		case <-look.C:
		}
		p, err := book.Pairing(ctx)
		if errors.Is(err, logbook.ErrNotFound) || err == nil && p.ID != window {
			return nil
		} else if err != nil && ctx.Err() == nil {
			return err
		}
	}
}

// outcome says who has come since before.
func outcome(ctx context.Context, book *logbook.Book, before []logbook.Access, stdout io.Writer) error {
	now, err := book.Accesses(ctx)
	if err != nil {
		return err
	}
	known := map[string]bool{}
	for _, a := range before {
		known[a.ID] = true
	}
	for _, a := range now {
		if !known[a.ID] && a.Kind == logbook.Phone {
			_, err := fmt.Fprintf(stdout, "Paired: %s (%s, may %s)\n", a.Name, a.ID, a.Right)
			return err
		}
	}
	return errNobodyCame
}
