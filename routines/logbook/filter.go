package logbook

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"strings"
)

// A Filter says which records are wanted. Its zero value wants all; each method says which of its fields it heeds.
type Filter struct {
	After    int64  // records numbered above it: Seq of events, ID of entries
	Run      string // that belong to this run
	Printer  string
	Kind     string
	Material string
	State    string // of runs; "open" stands for underway and asking
	Limit    int    // at most so many; 0 for all
}

// where collects the terms of a WHERE clause.
type where struct {
	terms []string
	args  []any
}

func (w *where) text(term, value string) {
	if value != "" {
		w.terms, w.args = append(w.terms, term), append(w.args, value)
	}
}

func (w *where) number(term string, value int64) {
	if value != 0 {
		w.terms, w.args = append(w.terms, term), append(w.args, value)
	}
}

func (w *where) sql(order string, limit int) string {
	var s strings.Builder
	if len(w.terms) > 0 {
		s.WriteString(" WHERE " + strings.Join(w.terms, " AND "))
	}
	s.WriteString(" ORDER BY " + order)
	if limit > 0 {
		fmt.Fprintf(&s, " LIMIT %d", limit)
	}
	return s.String()
}

// scanner is a row, alone or one of many.
type scanner interface{ Scan(...any) error }

// list reads all rows of a query; none is an empty list.
func list[T any](ctx context.Context, b *Book, doing string, scan func(scanner) (T, error), query string, args ...any) (all []T, err error) {
	rows, err := b.reader.QueryContext(ctx, query, args...)
	if err != nil {
		return nil, failed(ctx, doing, err)
	}
	defer func() { err = failed(ctx, doing, errors.Join(err, rows.Close())) }()
	all = []T{}
	for rows.Next() {
		one, err := scan(rows)
		if err != nil {
			return nil, err
		}
		all = append(all, one)
	}
	return all, rows.Err()
}

// one reads the only row of a query; ErrNotFound where there is none.
func one[T any](ctx context.Context, b *Book, doing string, scan func(scanner) (T, error), query string, args ...any) (T, error) {
	found, err := scan(b.reader.QueryRowContext(ctx, query, args...))
	return found, failed(ctx, doing, err)
}

func rawJSON(s *string) json.RawMessage {
	if s == nil {
		return nil
	}
	return json.RawMessage(*s)
}
