package api

import (
	"encoding/json"
	"errors"
	"fmt"

	"fettle/routines/logbook"
	"fettle/routines/runner"

	"github.com/labstack/echo/v4"
)

// wire shows the conversation with a printer, as JSON lines or by websocket.
func (s *Server) wire(c echo.Context) error {
	if err := known(c, "after", "boot", "follow"); err != nil {
		return err
	}
	after, err := number(c, "after", 0, maxSeq)
	if err != nil {
		return err
	}
	wire, err := s.Runner.Wire(c.Param("printer"))
	if err != nil {
		return err
	}
	// Numbers count within one life of the agent: those of another life say nothing here.
	if first := wire.Since(0); c.QueryParam("boot") != "" && len(first) > 0 && first[0].Boot != c.QueryParam("boot") {
		after = 0
	}
	if asked(c) {
		return s.hub.Wire(c.Response(), c.Request(), wire, after)
	}
	return s.lines(c, wire.Changed, func() ([]any, error) {
		lines := wire.Since(after)
		if len(lines) > 0 {
			after = lines[len(lines)-1].N
		}
		return anys(lines), nil
	})
}

// runWire shows the last lines of the wire that were kept with a run, as JSON lines.
func (s *Server) runWire(c echo.Context) error {
	if err := known(c); err != nil {
		return err
	}
	run := c.Param("run")
	tail, err := s.Book.WireTail(c.Request().Context(), run)
	switch {
	case errors.Is(err, logbook.ErrNotFound):
		return runner.ErrNoRun
	case err != nil:
		return err
	case tail == nil:
		return errNoWire
	}
	var lines []runner.WireLine
	if err := json.Unmarshal(tail, &lines); err != nil {
		return fmt.Errorf("read the wire kept with run %s: %w", run, err)
	}
	return writeLines(c, anys(lines))
}
