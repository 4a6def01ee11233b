package guard_test

import (
	"context"
	"errors"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"fettle/api/guard"
	"fettle/routines/logbook"
)

// life runs a guard until the function it returns is called.
func (b *bench) life() func() {
	ctx, stop := context.WithCancel(b.Context())
	ended := make(chan error)
	go func() { ended <- b.Run(ctx) }() // ends with stop
	return func() {
		stop()
		if err := <-ended; err != nil {
			b.Error(err)
		}
	}
}

func (b *bench) try(code string) error {
	b.Helper()
	_, _, err := b.Pair(b.Context(), guard.Attempt{Code: code, Name: "Ana's phone"})
	return err
}

// The window opens at the start where nobody is paired; the code is good once, for five tries, for ten minutes.
func TestThePairingWindow(t *testing.T) {
	wrongOf := func(code string) string {
		if code == "000 000 000" {
			return "000 000 001"
		}
		return "000 000 000"
	}
	t.Run("the sixth try", func(t *testing.T) {
		synctest.Test(t, func(t *testing.T) {
			b := newBench(t)
			defer b.life()()
			synctest.Wait()
			code := b.invited()[0].Code
			for left := 4; left >= 0; left-- {
				var wrong *guard.WrongCodeError
				if err := b.try(wrongOf(code)); !errors.As(err, &wrong) || wrong.TriesLeft != left {
					t.Errorf("%v, want %d tries left", err, left)
				}
			}
			b.want(b.try(code), guard.ErrShut, "the right code after five wrong ones")
			b.want(b.try(wrongOf(code)), guard.ErrShut)
		})
	})
	t.Run("the fifth try is good", func(t *testing.T) {
		b := newBench(t)
		if err := b.Open(t.Context(), guard.Watch); err != nil {
			t.Fatal(err)
		}
		code := b.invited()[0].Code
		for range 4 {
			b.try(wrongOf(code))
		}
		b.want(b.try(code), nil)
	})
	t.Run("the second use", func(t *testing.T) {
		b := newBench(t)
		b.phone("Ana's phone", guard.Operate)
		b.want(b.try(b.invited()[0].Code), guard.ErrShut)
		_, _, err := b.Pair(t.Context(), guard.Attempt{Key: b.invited()[0].Key, Name: "x"})
		b.want(err, guard.ErrShut)
	})
	for _, c := range []struct {
		after time.Duration
		want  error
	}{{9*time.Minute + 58*time.Second, nil}, {10*time.Minute + 2*time.Second, guard.ErrShut}, {11 * time.Minute, guard.ErrShut}} {
		t.Run("after "+c.after.String(), func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				b := newBench(t)
				defer b.life()()
				time.Sleep(c.after)
				b.want(b.try(b.invited()[0].Code), c.want)
			})
		})
		t.Run("opened by another process, after "+c.after.String(), func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				b := newBench(t)
				b.token("somebody is here", guard.Watch)
				defer b.life()()
				time.Sleep(time.Minute)
				in, err := guard.OpenWindow(t.Context(), b.book, guard.Operate)
				if err != nil {
					t.Fatal(err)
				}
				time.Sleep(c.after)
				b.want(b.try(in.Code), c.want)
			})
		})
	}
}

// A restart shuts what was open, and opens nothing where somebody is paired.
func TestARestartShutsTheWindow(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		b := newBench(t)
		end := b.life()
		time.Sleep(time.Minute)
		end()
		first := b.invited()[0]
		end = b.life()
		time.Sleep(time.Minute)
		if len(b.invited()) != 2 || b.invited()[1].Code == first.Code {
			t.Fatalf("invited %+v", b.invited())
		}
		var wrong *guard.WrongCodeError
		if err := b.try(first.Code); !errors.As(err, &wrong) {
			t.Errorf("the code of an earlier life: %v", err)
		}
		b.want(b.try(b.invited()[1].Code), nil)
		end()
		in, err := guard.OpenWindow(t.Context(), b.book, guard.Operate)
		if err != nil {
			t.Fatal(err)
		}
		defer b.life()()
		time.Sleep(time.Second)
		b.want(b.try(in.Code), guard.ErrShut)
		if len(b.invited()) != 2 {
			t.Error("a window was opened although somebody is paired")
		}
	})
}

func TestTheKeyOfThePictureAndTypedForms(t *testing.T) {
	b := newBench(t)
	for i, form := range []func(guard.Invitation) guard.Attempt{
		func(in guard.Invitation) guard.Attempt { return guard.Attempt{Key: in.Key} },
		func(in guard.Invitation) guard.Attempt { return guard.Attempt{Code: in.Code} },
		func(in guard.Invitation) guard.Attempt {
			return guard.Attempt{Code: strings.ReplaceAll(in.Code, " ", "")}
		},
		func(in guard.Invitation) guard.Attempt {
			return guard.Attempt{Code: strings.ReplaceAll(in.Code, " ", "-")}
		},
	} {
		if err := b.Open(t.Context(), guard.Operate); err != nil {
			t.Fatal(err)
		}
		a := form(b.invited()[i])
		a.Name = "phone"
		if secret, given, err := b.Pair(t.Context(), a); err != nil || len(secret) != 43 || given.Kind != logbook.Phone {
			t.Errorf("%+v: %v", a, err)
		}
	}
	if err := b.Open(t.Context(), guard.Operate); err != nil {
		t.Fatal(err)
	}
	for _, mistyped := range []string{"12 345 678", "1234567890", "12345678a", "１２３４５６７８９", "-"} {
		b.want(b.try(mistyped), guard.ErrCode, mistyped)
	}
	for _, name := range []string{"", " ", "a\nb", "a\x00", strings.Repeat("x", 41), "\xff", " a", "a ", "\u202ea", "a\u2028b"} {
		_, _, err := b.Pair(t.Context(), guard.Attempt{Code: "123456789", Name: name})
		b.want(err, guard.ErrName, name)
	}
	if p, err := b.book.Pairing(t.Context()); err != nil || p.TriesLeft != 5 {
		t.Errorf("what was mistyped cost tries: %+v, %v", p, err)
	}
}

// Eight phones use one code at the same moment: one of them is in.
func TestOneCodeOnePhone(t *testing.T) {
	b := newBench(t)
	for range 20 {
		if err := b.Open(t.Context(), guard.Operate); err != nil {
			t.Fatal(err)
		}
		code := b.invited()[len(b.invited())-1].Code
		var all sync.WaitGroup
		failed := make([]error, 5)
		for i := range failed {
			all.Go(func() { _, _, failed[i] = b.Pair(t.Context(), guard.Attempt{Code: code, Name: "racer"}) })
		}
		all.Wait()
		won := 0
		for _, err := range failed {
			if err == nil {
				won++
			} else {
				b.want(err, guard.ErrShut)
			}
		}
		if won != 1 {
			t.Fatalf("%d phones are paired by one code", won)
		}
	}
}

// windows forget at once.
type windows struct{ last logbook.Pairing }

func (w *windows) OpenPairing(_ context.Context, p logbook.Pairing) error { w.last = p; return nil }
func (w *windows) Pairing(context.Context) (logbook.Pairing, error)       { return w.last, nil }
func (w *windows) TryPairing(context.Context) (logbook.Pairing, error)    { return w.last, nil }
func (w *windows) Pair(_ context.Context, _ string, a logbook.Access) (logbook.Access, error) {
	return a, nil
}
func (w *windows) ShutPairing(context.Context, string) error { return nil }

// No two starts have a key in common, nor a hash in the store, and the digits are spread evenly.
func TestEveryStartHasKeysOfItsOwn(t *testing.T) {
	const boots = 10_000
	keys, hashes, first := map[string]bool{}, map[[32]byte]bool{}, map[byte]int{}
	var w windows
	for range boots {
		in, err := guard.OpenWindow(t.Context(), &w, guard.Operate)
		if err != nil {
			t.Fatal(err)
		}
		keys[in.Key], hashes[w.last.KeyHash], hashes[w.last.CodeHash] = true, true, true
		first[in.Code[0]]++
		if len(in.Code) != 11 || in.Code[3] != ' ' || in.Code[7] != ' ' {
			t.Fatalf("code %q", in.Code)
		}
	}
	if len(keys) != boots || len(hashes) != 2*boots {
		t.Errorf("%d keys and %d hashes of %d starts", len(keys), len(hashes), boots)
	}
	// Pearson's chi-squared with 9 degrees of freedom: 45 is exceeded once in a million times by chance.
	chi := 0.0
	for d := byte('0'); d <= '9'; d++ {
		chi += float64((first[d]-boots/10)*(first[d]-boots/10)) / (boots / 10)
	}
	if chi > 45 {
		t.Errorf("the first digits are spread unevenly: %v", first)
	}
	t.Logf("%d starts, %d distinct keys, chi-squared of the first digit %.1f", boots, len(keys), chi)
}
