package api

import (
	"bytes"
	"encoding/csv"
	"mime"
	"net/http"
	"strconv"
	"strings"
	"time"

	"fettle/routines/logbook"

	"github.com/labstack/echo/v4"
)

// mostEntries is how many entries one answer holds; the next ones are behind the last id.
const mostEntries = 1000

// logbook shows entries, oldest first, as JSON or as a table.
func (s *Server) logbook(c echo.Context) error {
	if err := known(c, "after", "printer", "kind", "material", "limit"); err != nil {
		return err
	}
	after, err := number(c, "after", 0, maxSeq)
	if err != nil {
		return err
	}
	limit, err := number(c, "limit", mostEntries, mostEntries)
	if err != nil {
		return err
	}
	if limit == 0 {
		return badQuery("limit", "is 0", "a whole number from 1 to "+strconv.Itoa(mostEntries))
	}
	entries, err := s.Book.Entries(c.Request().Context(), logbook.Filter{After: after, Printer: c.QueryParam("printer"),
		Kind: c.QueryParam("kind"), Material: c.QueryParam("material"), Limit: int(limit)})
	if err != nil {
		return err
	}
	c.Response().Header().Set("Vary", "Accept")
	if wantsTable(c.Request().Header.Get("Accept")) {
		return sendTable(c, entries)
	}
	return send(c, http.StatusOK, map[string]any{"entries": list(entries)})
}

// wantsTable reports whether text/csv is named, and JSON is not.
func wantsTable(accept string) bool {
	table := false
	for part := range strings.SplitSeq(accept, ",") {
		kind, _, err := mime.ParseMediaType(part)
		if err != nil {
			continue
		}
		table = table || kind == "text/csv"
		if kind == "application/json" {
			return false
		}
	}
	return table
}

// sendTable writes CSV as RFC 4180 has it, with a header row.
func sendTable(c echo.Context, entries []logbook.Entry) error {
	var out bytes.Buffer
	w := csv.NewWriter(&out)
	w.UseCRLF = true
	rows := [][]string{{"id", "seq", "time", "printer", "material", "setup_version", "run", "kind", "value", "unit", "u95", "standing", "who", "supersedes"}}
	for _, e := range entries {
		rows = append(rows, []string{whole(e.ID), whole(e.Seq), time.UnixMilli(e.WallMS).UTC().Format(time.RFC3339), cell(e.Printer),
			cell(e.Material), whole(e.SetupVersion), cell(e.Run), cell(e.Kind), decimal(e.Value), cell(e.Unit), decimal(e.U95),
			cell(e.Standing), cell(e.Who), whole(e.Supersedes)})
	}
	if err := w.WriteAll(rows); err != nil {
		return err
	}
	c.Response().Header().Set("Content-Disposition", `attachment; filename="logbook.csv"`)
	return c.Blob(http.StatusOK, "text/csv; charset=utf-8", out.Bytes())
}

// cell keeps a spreadsheet from taking a text for a formula (OWASP, "CSV Injection").
func cell(s string) string {
	if s != "" && strings.ContainsRune("=+-@\t\r", rune(s[0])) {
		return "'" + s
	}
	return s
}

func whole(n int64) string {
	if n == 0 {
		return ""
	}
	return strconv.FormatInt(n, 10)
}

func decimal(x *float64) string {
	if x == nil {
		return ""
	}
	return strconv.FormatFloat(*x, 'f', -1, 64)
}
