package api

import (
	"net/http"

	"fettle/routines"
	"fettle/routines/logbook"

	"github.com/labstack/echo/v4"
)

func (s *Server) printers(c echo.Context) error {
	printers, err := s.Runner.Printers(c.Request().Context())
	if err != nil {
		return err
	}
	return send(c, http.StatusOK, map[string]any{"printers": list(printers)})
}

func (s *Server) printer(c echo.Context) error {
	p, err := s.Runner.Printer(c.Request().Context(), c.Param("printer"))
	if err != nil {
		return err
	}
	return send(c, http.StatusOK, p)
}

// newPrinter is what POST /v1/printers reads.
type newPrinter struct {
	Name string `json:"name"`
	Port string `json:"port"`
	Baud int    `json:"baud"`
	DTR  *bool  `json:"dtr"` // not given: as the kernel raises it
	RTS  *bool  `json:"rts"`
}

// The slowest and fastest rate that is taken, bits/s: those that serialio/port opens.
const (
	minBaud = 1200
	maxBaud = 2_000_000
)

func (in newPrinter) faults() (gone []fieldFault) {
	if in.Name == "" {
		gone = append(gone, missing("name", "a name for the printer"))
	}
	if in.Port == "" {
		gone = append(gone, missing("port", "one of GET /v1/ports"))
	}
	switch {
	case in.Baud == 0:
		gone = append(gone, missing("baud", "the rate of its line, such as 115200 or 250000"))
	case in.Baud < minBaud || in.Baud > maxBaud:
		gone = append(gone, fieldFault{Pointer: "/baud", Detail: "is no rate of a serial line", Accept: "1200 to 2000000 bits/s, such as 115200 or 250000"})
	}
	return gone
}

func (s *Server) addPrinter(c echo.Context) error {
	var in newPrinter
	if err := decode(c, &in); err != nil {
		return err
	}
	if gone := in.faults(); gone != nil {
		return invalid(gone...)
	}
	ctx := c.Request().Context()
	p, err := s.Runner.AddPrinter(ctx, logbook.Printer{Name: in.Name, Port: s.stablePort(ctx, in.Port), Baud: in.Baud,
		DTRLow: in.DTR != nil && !*in.DTR, RTSLow: in.RTS != nil && !*in.RTS}, who(c))
	if err != nil {
		return err
	}
	c.Response().Header().Set("Location", "/v1/printers/"+p.ID)
	return send(c, http.StatusCreated, p)
}

// samePrinter is a person who says that the printer that answers is the one that is meant.
func (s *Server) samePrinter(c echo.Context) error {
	var in struct {
		Mark string `json:"mark"`
	}
	if err := decode(c, &in); err != nil {
		return err
	}
	if in.Mark == "" {
		return invalid(missing("mark", "that of another_printer, in GET /v1/printers/{printer}"))
	}
	p, err := s.Runner.SamePrinter(c.Request().Context(), c.Param("printer"), in.Mark, who(c))
	if err != nil {
		return err
	}
	return send(c, http.StatusOK, p)
}

// setSetup takes the version of the setup that was read, so that one can be sent back as it came, and gives the new one.
func (s *Server) setSetup(c echo.Context) error {
	var in routines.Setup
	if err := decode(c, &in); err != nil {
		return err
	}
	setup, err := s.Runner.SetSetup(c.Request().Context(), c.Param("printer"), in, who(c))
	if err != nil {
		return err
	}
	return send(c, http.StatusOK, setup)
}

// line sends one line that somebody typed, and answers with what the printer said.
func (s *Server) line(c echo.Context) error {
	var in struct {
		Line     string `json:"line"`
		Attended bool   `json:"attended"`
	}
	if err := decode(c, &in); err != nil {
		return err
	}
	if in.Line == "" {
		return invalid(missing("line", "one line of G-code, such as M105"))
	}
	replies, err := s.Runner.Line(c.Request().Context(), c.Param("printer"), in.Line, in.Attended, who(c))
	if err != nil {
		return s.deaf(c.Request().Context(), c.Param("printer"), err)
	}
	return send(c, http.StatusOK, map[string]any{"replies": list(replies)})
}
