package api

import (
	_ "embed"
	"errors"
	"net/http"

	"fettle/routines"
	"fettle/routines/logbook"
	"fettle/routines/runner"

	"github.com/labstack/echo/v4"
)

//go:embed openapi.yaml
var document []byte

// Document is openapi.yaml, to which the tests hold the server.
func Document() []byte { return document }

func openapi(c echo.Context) error { return c.Blob(http.StatusOK, "application/yaml", document) }

func (s *Server) routines(c echo.Context) error {
	type view struct {
		Name    string           `json:"name"`
		Title   string           `json:"title"`
		Program string           `json:"program"`
		Inputs  map[string]any   `json:"inputs"` // JSON Schema
		Fields  []routines.Field `json:"fields"` // the same, with units and labels, for a page to draw
	}
	views := []view{}
	for _, r := range s.Routines {
		views = append(views, view{r.Name, r.Title, r.Program, routines.Schema(r.Inputs), list(r.Inputs)})
	}
	// Whoever begins a run as attended says to have read the cautions, so here they are before any.
	return send(c, http.StatusOK, map[string]any{"routines": views, "cautions": runner.Cautions()})
}

func (s *Server) materials(c echo.Context) error {
	materials, err := s.Book.Materials(c.Request().Context())
	if err != nil {
		return err
	}
	return send(c, http.StatusOK, map[string]any{"materials": list(materials)})
}

func (s *Server) material(c echo.Context) error {
	m, err := s.Book.Material(c.Request().Context(), c.Param("material"))
	if errors.Is(err, logbook.ErrNotFound) {
		return runner.ErrNoMaterial
	} else if err != nil {
		return err
	}
	return send(c, http.StatusOK, m)
}

func (s *Server) addMaterial(c echo.Context) error {
	var in routines.Material
	if err := decode(c, &in); err != nil {
		return err
	}
	switch _, err := s.Book.Material(c.Request().Context(), in.ID); {
	case err == nil:
		return errMaterialExists
	case !errors.Is(err, logbook.ErrNotFound):
		return err
	}
	m, err := s.Runner.SetMaterial(c.Request().Context(), in, who(c))
	if err != nil {
		return err
	}
	c.Response().Header().Set("Location", "/v1/materials/"+m.ID)
	return send(c, http.StatusCreated, m)
}

func (s *Server) setMaterial(c echo.Context) error {
	var in routines.Material
	if err := decode(c, &in); err != nil {
		return err
	}
	id := c.Param("material")
	if in.ID != "" && in.ID != id {
		return invalid(fieldFault{Pointer: "/id", Detail: "is not the one of the address", Accept: "none, or " + clip(id)})
	}
	in.ID = id
	m, err := s.Runner.SetMaterial(c.Request().Context(), in, who(c))
	if err != nil {
		return err
	}
	return send(c, http.StatusOK, m)
}

// look is what a person would see at a stand-in printer, in the demo alone.
func (s *Server) look(c echo.Context) error {
	if err := known(c, "printer", "gauge", "truth"); err != nil {
		return err
	}
	truth := c.QueryParam("truth")
	if truth != "" && truth != "0" && truth != "1" {
		return badQuery("truth", "is "+clip(truth), "0, 1")
	}
	seen, err := s.Look(c.Request().Context(), Looking{Printer: c.QueryParam("printer"), Gauge: c.QueryParam("gauge"), Truth: truth == "1"})
	var field *routines.FieldError
	if errors.As(err, &field) {
		return badQuery(field.Field, field.Detail, field.Accept)
	} else if err != nil {
		return err
	}
	return send(c, http.StatusOK, seen)
}
