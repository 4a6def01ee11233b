package api

import (
	"net/http"

	"fettle/api/guard"

	"github.com/labstack/echo/v4"
)

// The stops read no body, keep no key, take no context: nothing is between the request and the line but the runner's
// own word. They can be asked twice, and say that they were asked and not that they were obeyed.

func (s *Server) stopPrinter(c echo.Context) error {
	return stopped(c, "stop", func(printer, who string) error {
		if guard.From(c.Request().Context()).Right != "" {
			return s.Runner.Stop(printer, who)
		}
		return s.presses.press(printer, func() error { return s.Runner.Stop(printer, who) })
	})
}

func (s *Server) haltPrinter(c echo.Context) error  { return stopped(c, "halt", s.Runner.Halt) }
func (s *Server) pausePrinter(c echo.Context) error { return stopped(c, "pause", s.Runner.Pause) }
func (s *Server) wakePrinter(c echo.Context) error  { return stopped(c, "wake", s.Runner.Wake) }

func stopped(c echo.Context, what string, do func(printer, who string) error) error {
	id := c.Param("printer")
	if err := do(id, who(c)); err != nil {
		return err
	}
	return send(c, http.StatusAccepted, map[string]string{"printer": id, "asked": what})
}
