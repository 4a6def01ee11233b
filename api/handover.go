package api

import (
	"net/http"

	"fettle/routines/runner"

	"github.com/labstack/echo/v4"
)

// revert lets an earlier value of a docket hold again.
func (s *Server) revert(c echo.Context) error {
	var in struct {
		Entry int64 `json:"entry"`
	}
	if err := decode(c, &in); err != nil {
		return err
	}
	if in.Entry < 1 {
		return invalid(missing("entry", "the number of an earlier entry of the docket, such as 17"))
	}
	d, err := s.Runner.Revert(c.Request().Context(), c.Param("printer"), c.Param("material"), in.Entry, who(c))
	if err != nil {
		return err
	}
	return send(c, http.StatusCreated, d)
}

// handOver gives the values of a docket to the one that retracts. To change the printer's settings takes a yes of its own.
func (s *Server) handOver(c echo.Context) error {
	var in struct {
		To  string `json:"to"`
		Yes bool   `json:"yes"`
	}
	if err := decode(c, &in); err != nil {
		return err
	}
	if in.To == "" {
		return invalid(missing("to", "firmware or slicing_program, whichever of the two retracts"))
	}
	done, err := s.Runner.HandOver(c.Request().Context(), c.Param("printer"), c.Param("material"), runner.HandOver{To: in.To, Yes: in.Yes}, who(c))
	if err != nil {
		return s.deaf(c.Request().Context(), c.Param("printer"), err)
	}
	return send(c, http.StatusCreated, done)
}
