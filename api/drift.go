package api

import (
	"errors"
	"math"
	"net/http"
	"strconv"

	"fettle/routines"
	"fettle/routines/docket"
	"fettle/routines/runner"

	"github.com/labstack/echo/v4"
)

// drift charts the feed checks of a printer.
func (s *Server) drift(c echo.Context) error {
	if err := known(c, "setup", "material", "tolerance_percent"); err != nil {
		return err
	}
	q, err := driftQuery(c)
	if err != nil {
		return err
	}
	d, err := s.Runner.Drift(c.Request().Context(), c.Param("printer"), q)
	var field *routines.FieldError
	switch {
	case errors.As(err, &field):
		return badQuery(field.Field, field.Detail, field.Accept)
	case errors.Is(err, runner.ErrNoMaterial):
		return badQuery("material", "is not known here", "one of GET /v1/materials")
	case err != nil:
		return err
	}
	return send(c, http.StatusOK, d)
}

// driftQuery reads what is given; what is not stays as the docket has it.
func driftQuery(c echo.Context) (q docket.DriftQuery, err error) {
	q.Material = c.QueryParam("material")
	if version := c.QueryParam("setup"); version != "" {
		q.Setup, err = strconv.ParseInt(version, 10, 64)
		if err != nil || q.Setup < 1 {
			return q, badQuery("setup", "is no version of a setup", "a whole number from 1, or none for the one in force")
		}
	}
	if tolerance := c.QueryParam("tolerance_percent"); tolerance != "" {
		q.TolerancePercent, err = strconv.ParseFloat(tolerance, 64)
		if err != nil || math.IsNaN(q.TolerancePercent) || q.TolerancePercent <= 0 {
			return q, badQuery("tolerance_percent", "is no number that can be used", "per cent, such as 1 or 0.5")
		}
	}
	return q, nil
}
