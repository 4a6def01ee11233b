package logbook

import (
	"fmt"
	"path/filepath"
	"testing"
)

// Each insert is its own transaction that is synced to the disk. The baseline is the same on a store that does not sync,
// in the same run: what is between them is the price of the disk.
func BenchmarkInsert(b *testing.B) {
	for _, synced := range []string{"FULL", "OFF"} {
		b.Run(synced, func(b *testing.B) {
			book := newBook(b)
			if _, err := book.writer.Exec(`PRAGMA synchronous = ` + synced); err != nil {
				b.Fatal(err)
			}
			step := Step{Events: []Event{{Kind: "note", Name: "bench", Body: []byte(`{"leftover_mm":23.4}`)}}}
			for b.Loop() {
				commit(b, book, step)
			}
			b.ReportMetric(float64(b.N)/b.Elapsed().Seconds(), "inserts/s")
		})
	}
}

// A page of 50 from 100,000 events, against the same page from 1,000: an index keeps them alike.
func BenchmarkPage(b *testing.B) {
	for _, rows := range []int{1_000, 100_000} {
		b.Run(fmt.Sprint("of ", rows), func(b *testing.B) {
			book := openAt(b, filepath.Join(b.TempDir(), "logbook.db"))
			_, err := book.writer.Exec(`INSERT INTO printer (id, name, port, baud, added_ms) VALUES ('p1', 'Invented', '', 0, 0);
				INSERT INTO run (n, id, printer, routine, program, state, begun_ms) VALUES (1, 'r1', 'p1', 'feed_check', '1', 'finished', 0), (2, 'r2', 'p1', 'feed_check', '1', 'finished', 0)`)
			if err != nil {
				b.Fatal(err)
			}
			_, err = book.writer.Exec(`WITH RECURSIVE i (n) AS (SELECT 1 UNION ALL SELECT n + 1 FROM i WHERE n < ?)
				INSERT INTO event (run, printer, kind, name, boot, mono_ms, wall_ms, wall_trusted, body)
				SELECT CASE n % 2 WHEN 0 THEN 'r1' ELSE 'r2' END, 'p1', 'note', 'bench', ?, n, n, 0, '{"leftover_mm":23.4}' FROM i`, rows, book.boot)
			if err != nil {
				b.Fatal(err)
			}
			for i := int64(0); b.Loop(); i++ {
				after := i * 97 % int64(rows-101)
				page, err := book.Events(b.Context(), Filter{Run: "r1", After: after, Limit: 50})
				if err != nil || len(page) != 50 {
					b.Fatal(len(page), err)
				}
			}
		})
	}
}
