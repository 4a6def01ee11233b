package api

import (
	"net/http"

	"fettle/api/guard"

	"github.com/labstack/echo/v4"
)

const (
	notice = "This program helps you adjust the printer. It is not a safety device. Law and workplace rules come first, then the machine maker's manual, then the material maker's data sheet, then this program."
	// overheard is for plain HTTP. An active attacker there is not kept out either, and nothing here says so.
	overheard = "This is plain HTTP: people on the same network can listen, and could take this connection over."
)

// about is what the program says of itself. Somebody who is not paired learns whether that is so, what stands between
// him and a listener, and how to press Stop.
func (s *Server) about(c echo.Context) error {
	r := c.Request()
	caller := guard.From(r.Context())
	said := map[string]any{"program": "fettle", "notice": notice, "paired": caller.Right != ""}
	if guard.Overheard(r) {
		said["network"] = overheard
	}
	if s.Fingerprint != "" {
		said["certificate_sha256"] = s.Fingerprint
	}
	if caller.Right == "" {
		said["stops"] = s.stopsOpen(c)
		return send(c, http.StatusOK, said)
	}
	said["version"], said["build"] = s.Version, s.Build
	said["store_id"], said["boot"], said["last_seq"] = s.Book.StoreID(), s.Book.Boot(), s.Book.Last()
	said["demo"] = s.Look != nil
	said["name"], said["right"] = caller.Name, caller.Right
	if caller.ID != "" {
		said["access"] = caller.ID
	}
	return send(c, http.StatusOK, said)
}

// stopsOpen are the addresses to which anybody may post a stop.
func (s *Server) stopsOpen(c echo.Context) []string {
	open := []string{}
	if s.Guard.Allow(c.Request(), guard.Stopping) != nil {
		return open
	}
	printers, err := s.Runner.Printers(c.Request().Context())
	if err != nil {
		s.Log.Error("list the printers that anybody may stop", "err", err)
	}
	for _, p := range printers {
		open = append(open, "/v1/printers/"+p.ID+"/stop")
	}
	return open
}
