package api

import (
	"encoding/json"
	"math"
	"net/http"
	"time"

	"fettle/api/live"
	"fettle/routines/logbook"

	"github.com/labstack/echo/v4"
)

// maxSeq is the largest number of an event.
const maxSeq = math.MaxInt64

// batchSize is how many events are read from the store at once.
const batchSize = 256

func (s *Server) events(c echo.Context) error { return s.eventsOf(c, "") }

func (s *Server) runEvents(c echo.Context) error {
	run := c.Param("run")
	if _, err := s.Runner.View(c.Request().Context(), run); err != nil {
		return err
	}
	return s.eventsOf(c, run)
}

// eventsOf streams the events behind a number. Those of one run have gaps in their numbers, which is normal.
func (s *Server) eventsOf(c echo.Context, run string) error {
	if err := known(c, "after", "follow"); err != nil {
		return err
	}
	after, err := number(c, "after", 0, maxSeq)
	if err != nil {
		return err
	}
	return s.lines(c, s.Book.Changed, func() ([]any, error) {
		events, err := s.Book.Events(c.Request().Context(), logbook.Filter{After: after, Run: run, Limit: batchSize})
		if len(events) > 0 {
			after = events[len(events)-1].Seq
		}
		return anys(events), err
	})
}

// lines writes what next returns as JSON lines, until it returns nothing; with follow=1 it then waits for news and goes
// on, until the client goes away or the server stops. A client that takes a batch in too slowly is cut off.
func (s *Server) lines(c echo.Context, changed func() <-chan struct{}, next func() ([]any, error)) error {
	follow, err := follows(c)
	if err != nil {
		return err
	}
	ctx, cancel := s.patient(c.Request().Context())
	defer cancel()
	for ctx.Err() == nil {
		news := changed() // taken before looking, so that nothing is missed
		batch, err := next()
		if err != nil {
			return err // before the first line it becomes a problem; later the stream just ends
		}
		if err := writeLines(c, batch); err != nil {
			return err
		}
		if len(batch) > 0 {
			continue
		}
		if !follow {
			return nil
		}
		select {
		case <-ctx.Done():
			return nil
		case <-news:
		}
	}
	return nil
}

func writeLines(c echo.Context, batch []any) error {
	w := c.Response()
	control := http.NewResponseController(w)
	_ = control.SetWriteDeadline(time.Now().Add(streamDeadline)) // not every writer has one
	if !w.Committed {
		w.Header().Set("Content-Type", "application/jsonl")
		w.WriteHeader(http.StatusOK)
	}
	encoder := json.NewEncoder(w)
	for _, v := range batch {
		if err := encoder.Encode(v); err != nil {
			return err
		}
	}
	return control.Flush()
}

func anys[T any](s []T) []any {
	out := make([]any, len(s))
	for i, v := range s {
		out[i] = v
	}
	return out
}

func asked(c echo.Context) bool { return live.Asked(c.Request()) }

// live is the websocket of the page: a snapshot, then everything that changes.
func (s *Server) live(c echo.Context) error {
	if err := known(c, "after", "store"); err != nil {
		return err
	}
	after, err := number(c, "after", -1, maxSeq)
	if err != nil {
		return err
	}
	return s.hub.Events(c.Response(), c.Request(), after, c.QueryParam("store"))
}
