package api

import (
	"errors"
	"net/http"

	"fettle/api/guard"

	"github.com/labstack/echo/v4"
)

// pair gives a phone its cookie for the code or key that the agent shows. It honours no Idempotency-Key: the answer
// would have to be kept, and it carries a key.
func (s *Server) pair(c echo.Context) error {
	var in struct {
		Code string `json:"code"`
		Key  string `json:"key"`
		Name string `json:"name"`
	}
	if err := decode(c, &in); err != nil {
		return err
	}
	if (in.Code == "") == (in.Key == "") {
		return invalid(missing("code", "the nine digits that the agent shows, or in its place the key of its picture"))
	}
	secret, given, err := s.Guard.Pair(c.Request().Context(), guard.Attempt{Code: in.Code, Key: in.Key, Name: in.Name})
	switch {
	case errors.Is(err, guard.ErrName):
		return invalid(fieldFault{Pointer: "/name", Detail: "is no name that can be shown", Accept: "1 to 40 visible characters, such as Ana's phone"})
	case errors.Is(err, guard.ErrCode):
		return invalid(fieldFault{Pointer: "/code", Detail: "is not nine digits", Accept: "such as 123 456 789"})
	case err != nil:
		return err
	}
	c.SetCookie(s.Guard.Cookie(c.Request(), secret))
	c.Response().Header().Set("Location", "/v1/access/"+given.ID)
	return send(c, http.StatusCreated, given)
}

func (s *Server) accesses(c echo.Context) error {
	all, err := s.Guard.Accesses(c.Request().Context())
	if err != nil {
		return err
	}
	return send(c, http.StatusOK, map[string]any{"access": list(all)})
}

// revoke takes a key away: one's own, or with the right to operate anybody's.
func (s *Server) revoke(c echo.Context) error {
	r, id := c.Request(), c.Param("access")
	if guard.From(r.Context()).ID != id {
		if err := s.Guard.Allow(r, guard.Operate); err != nil {
			return err
		}
	}
	ctx, cancel := s.lasting(r.Context()) // it may be the caller's own
	defer cancel()
	if err := s.Guard.Revoke(ctx, id, who(c)); err != nil {
		return err
	}
	return c.NoContent(http.StatusNoContent)
}
