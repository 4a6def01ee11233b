package live_test

import (
	"errors"
	"io"
	"math/rand/v2"
	"net/http"
	"net/http/httptest"
	"testing"
	"testing/synctest"
	"time"

	"fettle/api/live"
	"fettle/routines/runner"

	"github.com/gorilla/websocket"
)

// TestSleepingPhonesMissNothing: 40 phones sleep and come back at random, with the last number they had, while 1,000
// events happen. Each has every event once and in order at the end.
func TestSleepingPhonesMissNothing(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := newStage(t)
		s.book.add(1)
		const phones, events = 40, 1000
		done := make(chan int)
		for n := range phones {
			go func() {
				random := rand.New(rand.NewPCG(uint64(n), 7))
				last, sleeps := int64(0), 0
				for last < events {
					c := s.listen("/live?store=s1&after=" + itoa(last))
					awake := time.Now().Add(time.Duration(1+random.IntN(60)) * time.Second)
					for last < events && time.Now().Before(awake) {
						var m told
						c.SetReadDeadline(awake)
						if c.ReadJSON(&m) != nil {
							break
						}
						if m.Type == "event" {
							if m.Event.Seq != last+1 {
								t.Errorf("phone %d had %d and is told %d", n, last, m.Event.Seq)
							}
							last = m.Event.Seq
						}
					}
					c.Close()
					sleeps++
					time.Sleep(time.Duration(1+random.IntN(3600)) * time.Second)
				}
				done <- sleeps
			}()
		}
		go func() {
			random := rand.New(rand.NewPCG(1, 1))
			for s.book.Last() < events {
				s.book.add(1 + random.IntN(int(min(3, events-s.book.Last()))))
				time.Sleep(time.Duration(random.IntN(60)) * time.Second)
			}
		}()
		sleeps := 0
		for range phones {
			sleeps += <-done
		}
		t.Logf("%d sleeps, %d events told to %d phones", sleeps, phones*events, phones)
		if err := s.close(10 * time.Second); err != nil {
			t.Error(err)
		}
	})
}

func itoa(n int64) string {
	if n < 10 {
		return string(rune('0' + n))
	}
	return itoa(n/10) + itoa(n%10)
}

// TestADeadListenerIsCutOff: of 20 listeners 10 never read. The publisher takes no time at all, the dead are cut within
// the write deadline, the living have everything.
func TestADeadListenerIsCutOff(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := newStage(t)
		var living []func() ([]told, error)
		var dead []*websocket.Conn
		for range 10 {
			living = append(living, hear(s.listen("/live")))
			dead = append(dead, s.listen("/live"))
		}
		synctest.Wait()
		begun := time.Now()
		for range 100 {
			s.book.add(1)
		}
		if held := time.Since(begun); held != 0 {
			t.Errorf("the publisher was held %s", held)
		}
		time.Sleep(4 * time.Second)
		synctest.Wait()
		for _, c := range dead {
			c.SetReadDeadline(time.Now().Add(time.Second))
			for n := 0; ; n++ {
				if _, _, err := c.ReadMessage(); err == nil {
					if n > 1 {
						t.Fatal("a dead listener is still told something")
					}
				} else if ne := interface{ Timeout() bool }(nil); errors.As(err, &ne) && ne.Timeout() {
					t.Fatal("a dead listener is not cut off")
				} else {
					break
				}
			}
			c.Close()
		}
		if err := s.close(10 * time.Second); err != nil {
			t.Error(err)
		}
		for _, l := range living {
			all, err := l()
			events := 0
			for _, m := range all {
				if m.Type == "event" {
					events++
				}
			}
			if events != 100 || !websocket.IsCloseError(err, websocket.CloseGoingAway) {
				t.Errorf("a living listener had %d events and ended with %v", events, err)
			}
		}
	})
}

// TestALateListenerIsToldWhy: one that takes 2.9 s for a batch, while more comes than it takes in, is told to come back.
func TestALateListenerIsToldWhy(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := newStage(t)
		c := s.listen("/live")
		if _, _, err := c.ReadMessage(); err != nil { // the snapshot: nothing is behind it, so it has caught up
			t.Fatal(err)
		}
		synctest.Wait()
		s.book.add(4000)
		heard := 0
		for {
			if heard%32 == 0 {
				time.Sleep(1400 * time.Millisecond)
			}
			_, _, err := c.ReadMessage()
			if err == nil && heard < 4000 {
				heard++
				continue
			}
			if !websocket.IsCloseError(err, websocket.CloseTryAgainLater) {
				t.Errorf("after %d messages it ended with %v", heard, err)
			}
			break
		}
		c.Close()
		if err := s.close(10 * time.Second); err != nil {
			t.Error(err)
		}
	})
}

// TestViewsAndBeats: views come when they change, at most each 100 ms; a run is shown to its end; quiet is broken each 5 s.
func TestViewsAndBeats(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := newStage(t)
		s.benches.set("r1", runner.Underway)
		l := hear(s.listen("/live"))
		synctest.Wait()
		for range 1000 { // a reading each 10 ms for 10 s
			time.Sleep(10 * time.Millisecond)
			s.benches.Beat()
		}
		s.benches.set("", runner.Finished)
		time.Sleep(21 * time.Second)
		if err := s.close(10 * time.Second); err != nil {
			t.Error(err)
		}
		all, _ := l()
		count, newest, state := map[string]int{}, 0.0, ""
		for _, m := range all {
			count[m.Type]++
			if m.Type == "printer" {
				if m.Printer.Nozzle.C <= newest {
					t.Errorf("view %g came after %g", m.Printer.Nozzle.C, newest)
				}
				newest = m.Printer.Nozzle.C
			}
			if m.Type == "run" {
				state = m.Run.State
			}
		}
		if count["printer"] < 90 || count["printer"] > 105 || count["beat"] < 5 || state != runner.Finished || count["run"] != 1 {
			t.Errorf("%v, the run last %q", count, state)
		}
		if len(all[0].Runs) != 1 || all[0].Type != "snapshot" {
			t.Errorf("first came %+v", all[0])
		}
	})
}

// TestAFailingStoreIsSaid: once when it fails, once when it is back, unnumbered, and no event is lost.
func TestAFailingStoreIsSaid(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := newStage(t)
		l := hear(s.listen("/live"))
		synctest.Wait()
		s.book.set(errors.New("disk"))
		s.book.add(3)
		time.Sleep(10 * time.Second)
		s.book.set(nil)
		time.Sleep(2 * time.Second)
		if err := s.close(10 * time.Second); err != nil {
			t.Error(err)
		}
		all, _ := l()
		var said []bool
		events := 0
		for _, m := range all {
			switch m.Type {
			case "store":
				said = append(said, m.OK)
			case "event":
				events++
			}
		}
		if len(said) != 2 || said[0] || !said[1] || events != 3 {
			t.Errorf("said %v, %d events", said, events)
		}
	})
}

// TestTheSnapshotsNumberCounts: another store, a greater number or none at all start afresh.
func TestTheSnapshotsNumberCounts(t *testing.T) {
	for query, first := range map[string]int64{"?after=4&store=s1": 5, "?after=4": 5, "?after=0": 1,
		"?after=4&store=s0": 11, "?after=12&store=s1": 11, "": 11} {
		synctest.Test(t, func(t *testing.T) {
			s := newStage(t)
			s.book.add(10)
			c := s.listen("/live" + query)
			var m told
			if err := c.ReadJSON(&m); err != nil || m.Type != "snapshot" || m.LastSeq != 10 || m.StoreID != "s1" {
				t.Errorf("%s: %+v %v", query, m, err)
			}
			s.book.add(1)
			for m.Type != "event" {
				if err := c.ReadJSON(&m); err != nil {
					t.Fatal(err)
				}
			}
			if m.Event.Seq != first {
				t.Errorf("%s: first event %d, want %d", query, m.Event.Seq, first)
			}
			c.Close()
			if err := s.close(10 * time.Second); err != nil {
				t.Error(err)
			}
		})
	}
}

// TestCloseDoesNotWaitForTheDead: listeners in the middle of a write that nobody takes in are cut off in time.
func TestCloseDoesNotWaitForTheDead(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := newStage(t)
		var all []*websocket.Conn
		for range 5 {
			all = append(all, s.listen("/wire"))
		}
		s.wire.say(500)
		synctest.Wait()
		begun := time.Now()
		if err := s.close(10 * time.Second); err != nil {
			t.Error(err)
		}
		if took := time.Since(begun); took > 2500*time.Millisecond {
			t.Errorf("it took %s", took)
		}
		r := httptest.NewRequest("GET", "/wire", nil)
		r.Header = http.Header{"Connection": {"Upgrade"}, "Upgrade": {"websocket"}}
		if err := s.hub.Wire(httptest.NewRecorder(), r, s.wire, 0); !errors.Is(err, live.ErrClosing) {
			t.Errorf("a closed hub took a listener in: %v", err)
		}
		for _, c := range all {
			c.Close()
		}
	})
}

// TestAGoneListenerIsForgotten: one that answers no ping is cut off, and leaves its place to another.
func TestAGoneListenerIsForgotten(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := newStage(t)
		var all []*websocket.Conn
		for range 256 {
			all = append(all, s.listen("/wire"))
		}
		if _, res, err := s.dial("/wire"); err == nil || res.StatusCode != http.StatusTeapot {
			t.Fatalf("a socket too many was let in: %v", err)
		}
		time.Sleep(40 * time.Second) // nobody reads, so nobody answers
		c := s.listen("/wire")
		s.wire.say(1)
		var m told
		if err := c.ReadJSON(&m); err != nil || m.N != 1 {
			t.Errorf("%+v %v", m, err)
		}
		for _, c := range append(all, c) {
			c.Close()
		}
		if err := s.close(10 * time.Second); err != nil {
			t.Error(err)
		}
	})
}

// TestASilentListenerIsForgotten: one that takes everything in and answers no ping is cut off all the same.
func TestASilentListenerIsForgotten(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		s := newStage(t)
		c := s.listen("/live")
		begun := time.Now()
		io.Copy(io.Discard, c.NetConn()) // until the server ends it; a client's library would answer pings
		if took := time.Since(begun); took < 29*time.Second || took > 31*time.Second {
			t.Errorf("it was cut off after %s", took)
		}
		if err := s.close(10 * time.Second); err != nil {
			t.Error(err)
		}
	})
}
