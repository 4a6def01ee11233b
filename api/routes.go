package api

import (
	"errors"
	"fmt"
	"net/http"
	"strings"

	"fettle/api/guard"

	"github.com/labstack/echo/v4"
)

// Route is one row of the route table, as openapi.yaml writes its path.
type Route struct {
	Method string
	Path   string
	Right  guard.Right
	once   bool // honours Idempotency-Key
	do     echo.HandlerFunc
}

// Routes is the route table.
func (s *Server) Routes() []Route { return s.routes() }

func (s *Server) routes() []Route {
	const get, post, put, remove = http.MethodGet, http.MethodPost, http.MethodPut, http.MethodDelete
	const watch, operate = guard.Watch, guard.Operate
	table := []Route{
		{get, "/v1/about", guard.Open, false, s.about},
		{post, "/v1/pair", guard.Open, false, s.pair},
		{get, "/v1/access", operate, false, s.accesses},
		{remove, "/v1/access/{access}", watch, false, s.revoke}, // its own; that of others needs operate
		{get, "/v1/openapi.yaml", watch, false, openapi},
		{get, problemPath + "{code}", watch, false, explain},
		{get, "/v1/ports", watch, false, s.ports},
		{get, "/v1/printers", watch, false, s.printers},
		{post, "/v1/printers", operate, true, s.addPrinter},
		{get, "/v1/printers/{printer}", watch, false, s.printer},
		{post, "/v1/printers/{printer}/same-printer", operate, true, s.samePrinter},
		{put, "/v1/printers/{printer}/setup", operate, false, s.setSetup},
		{post, "/v1/printers/{printer}/stop", guard.Stopping, false, s.stopPrinter},
		{post, "/v1/printers/{printer}/halt", watch, false, s.haltPrinter},
		{post, "/v1/printers/{printer}/pause", operate, false, s.pausePrinter},
		{post, "/v1/printers/{printer}/wake", operate, false, s.wakePrinter},
		{post, "/v1/printers/{printer}/lines", operate, true, s.line},
		{get, "/v1/printers/{printer}/wire", watch, false, s.wire},
		{post, "/v1/printers/{printer}/changes", operate, true, s.recordChange},
		{get, "/v1/printers/{printer}/drift", watch, false, s.drift},
		{get, "/v1/dockets", watch, false, s.dockets},
		{get, "/v1/printers/{printer}/dockets/{material}", watch, false, s.docket},
		{post, "/v1/printers/{printer}/dockets/{material}/values", operate, true, s.setValue},
		{post, "/v1/printers/{printer}/dockets/{material}/revert", operate, true, s.revert},
		{post, "/v1/printers/{printer}/dockets/{material}/handover", operate, true, s.handOver},
		{get, "/v1/materials", watch, false, s.materials},
		{post, "/v1/materials", operate, true, s.addMaterial},
		{get, "/v1/materials/{material}", watch, false, s.material},
		{put, "/v1/materials/{material}", operate, false, s.setMaterial},
		{get, "/v1/routines", watch, false, s.routines},
		{get, "/v1/runs", watch, false, s.runs},
		{post, "/v1/runs", operate, true, s.begin},
		{get, "/v1/runs/{run}", watch, false, s.run},
		{post, "/v1/runs/{run}/answers", operate, true, s.answer},
		{post, "/v1/runs/{run}/take-back", operate, true, s.takeBack},
		{get, "/v1/runs/{run}/events", watch, false, s.runEvents},
		{get, "/v1/runs/{run}/wire", watch, false, s.runWire},
		{get, "/v1/events", watch, false, s.events},
		{get, "/v1/live", watch, false, s.live},
		{get, "/v1/logbook", watch, false, s.logbook},
	}
	if s.Look != nil {
		table = append(table, Route{get, "/v1/demo/look", watch, false, s.look})
	}
	return table
}

// ErrNoRight refuses to serve a table in which a route names no right.
var ErrNoRight = errors.New("a route names no right")

func checkRights(table []Route) error {
	for _, r := range table {
		if !r.Right.Known() {
			return fmt.Errorf("%s %s: %w", r.Method, r.Path, ErrNoRight)
		}
	}
	return nil
}

// mount puts before a handler what its row says; its right stands outermost.
func (s *Server) mount(r Route) {
	h := r.do
	if r.once {
		h = s.once(h)
	}
	if r.reads() {
		h = s.whole(h)
	}
	path := strings.NewReplacer("{", ":", "}", "").Replace(r.Path)
	s.echo.Add(r.Method, path, func(c echo.Context) error {
		if err := s.Guard.Allow(c.Request(), r.Right); err != nil {
			return err
		}
		return h(c)
	})
}

// reads reports whether the body says anything. That of a stop does not, and a stop waits for no body.
func (r Route) reads() bool {
	return r.Method != http.MethodGet && r.Method != http.MethodDelete && !strings.HasSuffix(r.Path, "/stop") &&
		!strings.HasSuffix(r.Path, "/halt") && !strings.HasSuffix(r.Path, "/pause") && !strings.HasSuffix(r.Path, "/wake")
}
