package api

import (
	"io"
	"maps"
	"slices"
	"strconv"
	"strings"

	"github.com/labstack/echo/v4"
)

// known refuses parameters of the address that a route has no use for, and any given twice: a misspelt one would
// otherwise be a silent "no".
func known(c echo.Context, names ...string) error {
	query := c.QueryParams()
	for _, name := range slices.Sorted(maps.Keys(query)) {
		if !slices.Contains(names, name) {
			return badQuery(clip(name), "is not known here", accepted(names))
		}
		if len(query[name]) > 1 {
			return badQuery(name, "is given twice", "each name once")
		}
	}
	return nil
}

func accepted(names []string) string {
	if len(names) == 0 {
		return "no parameters"
	}
	return strings.Join(names, ", ")
}

func badQuery(field, detail, accept string) error {
	return &fault{code: "bad_query", fields: []fieldFault{{Field: field, Detail: detail, Accept: accept}}}
}

// number reads a whole number of at least 0 from the address.
func number(c echo.Context, name string, otherwise, most int64) (int64, error) {
	q := c.QueryParam(name)
	if q == "" {
		return otherwise, nil
	}
	n, err := strconv.ParseInt(q, 10, 64)
	if err != nil || n < 0 || n > most {
		return 0, badQuery(name, "is no number that can be used", "a whole number from 0 to "+strconv.FormatInt(most, 10))
	}
	return n, nil
}

// follows reads whether a stream goes on after what is there already.
func follows(c echo.Context) (bool, error) {
	switch c.QueryParam("follow") {
	case "", "0":
		return false, nil
	case "1":
		return true, nil
	}
	return false, badQuery("follow", "is neither on nor off", "0 or 1")
}

// nothing holds a body to being empty or {}.
func nothing(c echo.Context) error {
	body, err := io.ReadAll(c.Request().Body)
	if err != nil {
		return errMalformed
	}
	if len(body) == 0 {
		return nil
	}
	c.Request().Body = io.NopCloser(strings.NewReader(string(body)))
	return decode(c, &struct{}{})
}

// list is a slice that prints as [] where it is empty.
func list[T any](s []T) []T {
	if s == nil {
		return []T{}
	}
	return s
}
