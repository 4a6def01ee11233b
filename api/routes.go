package api

import (
	"net/http"
	"strings"

	"github.com/labstack/echo/v4"
)

// Right is what somebody must be allowed to do.
type Right string

// The rights. Whoever can open the page may stop a printer.
const (
	Watch   Right = "watch"
	Operate Right = "operate"
	Halting Right = "stop"
)

// Route is one row of the route table, as openapi.yaml writes its path.
type Route struct {
	Method string
	Path   string
	Right  Right
	once   bool // honours Idempotency-Key
	do     echo.HandlerFunc
}

// Routes is the route table.
func (s *Server) Routes() []Route { return s.routes() }

func (s *Server) routes() []Route {
	const get, post, put = http.MethodGet, http.MethodPost, http.MethodPut
	table := []Route{
		{get, "/v1/about", Watch, false, s.about},
		{get, "/v1/openapi.yaml", Watch, false, openapi},
		{get, problemPath + "{code}", Watch, false, explain},
		{get, "/v1/ports", Watch, false, s.ports},
		{get, "/v1/printers", Watch, false, s.printers},
		{post, "/v1/printers", Operate, true, s.addPrinter},
		{get, "/v1/printers/{printer}", Watch, false, s.printer},
		{put, "/v1/printers/{printer}/setup", Operate, false, s.setSetup},
		{post, "/v1/printers/{printer}/stop", Halting, false, s.stopPrinter},
		{post, "/v1/printers/{printer}/halt", Halting, false, s.haltPrinter},
		{post, "/v1/printers/{printer}/wake", Operate, false, s.wakePrinter},
		{post, "/v1/printers/{printer}/lines", Operate, true, s.line},
		{get, "/v1/printers/{printer}/wire", Watch, false, s.wire},
		{get, "/v1/materials", Watch, false, s.materials},
		{post, "/v1/materials", Operate, true, s.addMaterial},
		{get, "/v1/materials/{material}", Watch, false, s.material},
		{put, "/v1/materials/{material}", Operate, false, s.setMaterial},
		{get, "/v1/routines", Watch, false, s.routines},
		{get, "/v1/runs", Watch, false, s.runs},
		{post, "/v1/runs", Operate, true, s.begin},
		{get, "/v1/runs/{run}", Watch, false, s.run},
		{post, "/v1/runs/{run}/answers", Operate, true, s.answer},
		{post, "/v1/runs/{run}/take-back", Operate, true, s.takeBack},
		{get, "/v1/runs/{run}/events", Watch, false, s.runEvents},
		{get, "/v1/events", Watch, false, s.events},
		{get, "/v1/live", Watch, false, s.live},
		{get, "/v1/logbook", Watch, false, s.logbook},
	}
	if s.Look != nil {
		table = append(table, Route{get, "/v1/demo/look", Watch, false, s.look})
	}
	return table
}

// mount puts before a handler what its row says. A guard that asks for the row's right belongs here, outermost.
func (s *Server) mount(r Route) {
	h := r.do
	if r.once {
		h = s.once(h)
	}
	if r.reads() {
		h = s.whole(h)
	}
	path := strings.NewReplacer("{", ":", "}", "").Replace(r.Path)
	s.echo.Add(r.Method, path, h)
}

// reads reports whether the body says anything. That of a stop does not, and a stop waits for no body.
func (r Route) reads() bool {
	return r.Method != http.MethodGet && !strings.HasSuffix(r.Path, "/stop") &&
		!strings.HasSuffix(r.Path, "/halt") && !strings.HasSuffix(r.Path, "/wake")
}
