package live

import (
	"encoding/json"
	"fmt"
	"net/http"
	"time"

	"fettle/routines/logbook"
	"fettle/routines/runner"
)

// The messages of GET /v1/live. The first is a snapshot; then come events in the order of their numbers, and views of
// printers and runs, of which only the newest counts. A beat is said where nothing else was for a while.
type (
	snapshot struct {
		Type     string               `json:"type"` // "snapshot"
		StoreID  string               `json:"store_id"`
		LastSeq  int64                `json:"last_seq"` // what is shown holds at least the events up to here
		Printers []runner.PrinterView `json:"printers"`
		Runs     []runner.RunView     `json:"runs"` // those that hold a printer
	}
	eventMessage struct {
		Type  string        `json:"type"` // "event"
		Event logbook.Event `json:"event"`
	}
	printerMessage struct {
		Type    string             `json:"type"` // "printer"
		Printer runner.PrinterView `json:"printer"`
	}
	runMessage struct {
		Type string         `json:"type"` // "run"
		Run  runner.RunView `json:"run"`
	}
)

var (
	beatMessage = []byte(`{"type":"beat"}`)
	storeFailed = []byte(`{"type":"store","ok":false,"detail":"The record cannot be read. What is shown may be old."}`)
	storeBack   = []byte(`{"type":"store","ok":true,"detail":"The record can be read again."}`)
)

// Events serves GET /v1/live. A listener that says which store it saw and the last number it has is sent the events
// behind that number; one that does not, or saw another store or a greater number, those behind the snapshot's. After
// is -1 where none was said.
func (h *Hub) Events(w http.ResponseWriter, r *http.Request, after int64, store string) error {
	return h.serve(w, r, func(s *socket) error {
		t := telling{hub: h, socket: s, sent: map[string]string{}}
		if err := t.begin(after, store); err != nil {
			return err
		}
		for {
			if err := t.tell(); err != nil {
				return err
			}
		}
	})
}

// telling is what one listener has been told.
type telling struct {
	hub      *Hub
	socket   *socket
	seq      int64             // of the last event sent
	sent     map[string]string // the view of each thing as it was sent
	caughtUp bool
	trouble  bool // said that the store fails, and not yet that it is back
}

// begin sends the snapshot. Its number is taken before the views, so that an event may be in both and never in neither.
func (t *telling) begin(after int64, store string) error {
	last := t.hub.Book.Last()
	first := snapshot{Type: "snapshot", StoreID: t.hub.Book.StoreID(), LastSeq: last, Printers: []runner.PrinterView{}, Runs: []runner.RunView{}}
	views, _, err := t.hub.shelf.newest(t.socket.ctx)
	if err == nil {
		first.Printers, first.Runs = views.printers, views.runs
	}
	t.remember(views)
	t.seq = last
	if after >= 0 && after <= last && (store == "" || store == first.StoreID) {
		t.seq = after
	}
	message, printing := json.Marshal(first)
	if printing != nil {
		return fmt.Errorf("print the snapshot: %w", printing)
	}
	if err := t.socket.write(message); err != nil {
		return err
	}
	return t.say(err)
}

// tell sends what is new and waits for more.
func (t *telling) tell() error {
	news, other := t.hub.Book.Changed(), t.hub.Bench.Changed() // taken before looking, so that nothing is missed
	more, err := t.events()
	if err == errSlow || t.gone(err) {
		return err
	}
	rest, viewing := t.views()
	if t.gone(viewing) {
		return viewing
	}
	if err == nil {
		err = viewing
	}
	if err := t.say(err); err != nil {
		return err
	}
	if beaten, err := t.socket.beat(); err != nil {
		return err
	} else if beaten {
		if err := t.socket.write(beatMessage); err != nil {
			return err
		}
	}
	switch {
	case t.trouble:
		// The pulse of a failing store may never come, and that of the bench comes all the time.
		return t.socket.wait(storeRetry, nil, nil)
	case more:
		return nil
	}
	return t.socket.wait(rest, news, other)
}

// gone reports whether an error is the socket's own and not the store's.
func (t *telling) gone(err error) bool {
	return err != nil && (err == errGone || t.socket.ctx.Err() != nil)
}

// say tells the listener that the store fails, and that it is back, once each.
func (t *telling) say(err error) error {
	was := t.trouble
	t.trouble = err != nil
	switch {
	case t.trouble && !was:
		t.hub.Log.Error("live", "err", err)
		return t.socket.write(storeFailed)
	case was && !t.trouble:
		return t.socket.write(storeBack)
	}
	return nil
}

// events sends the next ones, and reports whether there may be more.
func (t *telling) events() (more bool, err error) {
	events, err := t.hub.Book.Events(t.socket.ctx, logbook.Filter{After: t.seq, Limit: batchSize})
	if err != nil || len(events) == 0 {
		t.caughtUp = t.caughtUp || err == nil
		return false, err
	}
	batch := make([][]byte, len(events))
	for i, e := range events {
		if batch[i], err = json.Marshal(eventMessage{"event", e}); err != nil {
			return false, fmt.Errorf("print event %d: %w", e.Seq, err)
		}
	}
	if err := t.socket.write(batch...); err != nil {
		return false, err
	}
	t.seq = events[len(events)-1].Seq
	if t.caughtUp && t.hub.Book.Last()-t.seq > mostBehind {
		return false, errSlow
	}
	return len(events) == batchSize, nil
}

// views sends those that changed, and says how long to wait before there can be newer ones, where they are held back.
func (t *telling) views() (time.Duration, error) {
	views, rest, err := t.hub.shelf.newest(t.socket.ctx)
	if err != nil {
		return 0, err
	}
	return rest, t.socket.write(t.remember(views)...)
}

// remember returns the messages that the listener has not had yet.
func (t *telling) remember(views views) [][]byte {
	var fresh [][]byte
	for _, v := range views.messages {
		if t.sent[v.key] != v.text {
			t.sent[v.key] = v.text
			fresh = append(fresh, []byte(v.text))
		}
	}
	return fresh
}
