package api

import (
	"context"
	"net/http"

	"fettle/routines/docket"
	"fettle/routines/runner"

	"github.com/labstack/echo/v4"
)

// Dockets are what is known for each printer and material.
type Dockets interface {
	Docket(ctx context.Context, printer, material string) (docket.Docket, error)
	Dockets(ctx context.Context, printer, material string) ([]docket.Docket, error)
	RecordChange(ctx context.Context, printer string, c runner.Change, who string) (runner.Changed, error)
	SetValue(ctx context.Context, printer, material string, v runner.TypedValue, who string) (docket.Docket, error)
	Revert(ctx context.Context, printer, material string, entry int64, who string) (docket.Docket, error)
	Drift(ctx context.Context, printer string, q docket.DriftQuery) (docket.Drift, error)
	HandOver(ctx context.Context, printer, material string, h runner.HandOver, who string) (runner.HandedOver, error)
}

func (s *Server) dockets(c echo.Context) error {
	if err := known(c, "printer", "material"); err != nil {
		return err
	}
	dockets, err := s.Runner.Dockets(c.Request().Context(), c.QueryParam("printer"), c.QueryParam("material"))
	if err != nil {
		return err
	}
	return send(c, http.StatusOK, map[string]any{"dockets": list(dockets)})
}

// docket shows one docket in the form that is asked for.
func (s *Server) docket(c echo.Context) error {
	if err := known(c, "as"); err != nil {
		return err
	}
	form := c.QueryParam("as")
	switch form {
	case "", "json", "csv", "table", "gcode":
	default:
		return badQuery("as", "is no form of a docket", "json, csv, table, gcode")
	}
	d, err := s.Runner.Docket(c.Request().Context(), c.Param("printer"), c.Param("material"))
	if err != nil {
		return err
	}
	switch form {
	case "csv":
		table, err := d.CSV()
		if err != nil {
			return err
		}
		return sendFile(c, "text/csv; charset=utf-8", "docket.csv", table)
	case "gcode":
		return sendFile(c, "text/x-gcode; charset=us-ascii", "docket.gcode", []byte(d.Snippet()))
	case "table":
		return c.Blob(http.StatusOK, "text/plain; charset=utf-8", []byte(d.Table()))
	}
	return send(c, http.StatusOK, d)
}

func sendFile(c echo.Context, kind, name string, body []byte) error {
	c.Response().Header().Set("Content-Disposition", `attachment; filename="`+name+`"`)
	return c.Blob(http.StatusOK, kind, body)
}

// recordChange takes what a person changed on the machine.
func (s *Server) recordChange(c echo.Context) error {
	var in struct {
		What     string `json:"what"`
		Material string `json:"material"`
		Note     string `json:"note"`
	}
	if err := decode(c, &in); err != nil {
		return err
	}
	changed, err := s.Runner.RecordChange(c.Request().Context(), c.Param("printer"), runner.Change{What: in.What, Material: in.Material, Note: in.Note}, who(c))
	if err != nil {
		return inBody(err, nil, map[error]string{runner.ErrNoMaterial: "material"})
	}
	return send(c, http.StatusCreated, changed)
}

// setValue takes a value that a person typed.
func (s *Server) setValue(c echo.Context) error {
	var in struct {
		Kind  string   `json:"kind"`
		Value *float64 `json:"value"`
		Note  string   `json:"note"`
	}
	if err := decode(c, &in); err != nil {
		return err
	}
	if in.Value == nil {
		return invalid(missing("value", "a number, in the unit of the row"))
	}
	d, err := s.Runner.SetValue(c.Request().Context(), c.Param("printer"), c.Param("material"), runner.TypedValue{Kind: in.Kind, Value: *in.Value, Note: in.Note}, who(c))
	if err != nil {
		return err
	}
	return send(c, http.StatusCreated, d)
}
