package logbook

import (
	"errors"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"fettle/routines"
)

var writeSchema = flag.Bool("write-schema", false, "write the golden file of the newest schema where there is none yet")

// schemaOf prints the schema of a store as SQLite keeps it, comments and all.
func schemaOf(t *testing.T, b *Book) string {
	rows, err := b.reader.Query(`SELECT sql FROM sqlite_schema WHERE sql IS NOT NULL AND name NOT LIKE 'sqlite_%' ORDER BY rowid`)
	if err != nil {
		t.Fatal(err)
	}
	defer rows.Close()
	var s strings.Builder
	for rows.Next() {
		var one string
		if err := rows.Scan(&one); err != nil {
			t.Fatal(err)
		}
		s.WriteString(one + ";\n")
	}
	return s.String()
}

// rowsOf prints the rows of all tables as statements that make them again.
func rowsOf(t *testing.T, b *Book) string {
	var s strings.Builder
	for _, table := range []string{"store", "boot", "printer", "setup", "material", "run", "event", "entry", "owed", "idempotency", "access", "pairing"} {
		rows, err := b.reader.Query(`SELECT * FROM ` + table + ` ORDER BY rowid`)
		if err != nil {
			t.Fatal(err)
		}
		columns, err := rows.Columns()
		if err != nil {
			t.Fatal(err)
		}
		quoted := "quote(" + strings.Join(columns, ") || ', ' || quote(") + ")"
		rows.Close()
		values, err := list(t.Context(), b, "dump", func(row scanner) (v string, err error) { err = row.Scan(&v); return v, err },
			`SELECT `+quoted+` FROM `+table+` ORDER BY rowid`)
		if err != nil {
			t.Fatal(err)
		}
		for _, v := range values {
			fmt.Fprintf(&s, "INSERT INTO %s (%s) VALUES (%s);\n", table, strings.Join(columns, ", "), v)
		}
	}
	return s.String()
}

func golden(version int) string { return fmt.Sprintf("testdata/schema-%d.sql", version) }

const rowsFollow = "-- rows\n"

// A released schema is never edited: a change is a new numbered file with a golden file of its own.
func TestTheSchemaIsTheGoldenOne(t *testing.T) {
	b := newBook(t)
	newest := golden(len(openSettings(t).migrations))
	if _, err := os.Stat(newest); errors.Is(err, os.ErrNotExist) && *writeSchema {
		fill(t, b)
		if err := os.WriteFile(newest, []byte(schemaOf(t, b)+rowsFollow+rowsOf(t, b)), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(newest)
	if err != nil {
		t.Fatal(err)
	}
	schema, _, _ := strings.Cut(string(want), rowsFollow)
	if got := schemaOf(t, b); got != schema {
		t.Errorf("the schema is not that of %s:\n%s", newest, got)
	}
}

var invented = Fingerprint{Firmware: "Invented 1.0", Machine: "Invented", UUID: "0-1"} // does not change

// fill puts one of everything into a book. All names and numbers are invented.
func fill(t *testing.T, b *Book) {
	run := benchRun(t, b)
	commit(t, b, Step{Fingerprint: &FingerprintOf{"p1", invented}})
	value := 95.88
	commit(t, b, Step{Material: &routines.Material{Name: "Invented material", NozzleC: 210, Invented: true}})
	commit(t, b, Step{Events: []Event{{Run: run.ID, Printer: "p1", Kind: "asked", Name: "leftover 1", Question: 1, Body: []byte(`{"name":"leftover 1"}`)}},
		Owe: []Owed{{Printer: "p1", What: "heat", Restore: []string{"M104 S0"}, Run: run.ID}}})
	if _, _, err := b.Answer(t.Context(), Event{Kind: answered, Run: run.ID, Question: 1, Name: "leftover 1", Who: "Ada", Body: []byte(`{"leftover_mm":23.4}`)}); err != nil {
		t.Fatal(err)
	}
	for range 2 {
		commit(t, b, Step{Run: &RunRecord{ID: run.ID, State: "finished", Finding: []byte(`{"kind":"change"}`)}, WireTail: []byte("> M503\n"),
			Events:  []Event{{Kind: "run_ended"}},
			Entries: []Entry{{SetupVersion: 1, Material: "m1", Who: "Ada", Entry: routines.Entry{Kind: "steps_per_mm", Value: &value, Unit: "steps/mm"}}}})
	}
	claim(t, b, "k", "POST a", nil)
	if err := b.Settle(t.Context(), "k", 201, "application/json", []byte(`{"id":"r1"}`)); err != nil {
		t.Fatal(err)
	}
	if _, err := b.GiveAccess(t.Context(), Access{Name: "Ada's phone", Kind: Phone, Right: "operate", Hash: [32]byte{1}}, ""); err != nil {
		t.Fatal(err)
	}
	if err := b.OpenPairing(t.Context(), Pairing{ID: "w1", CodeHash: [32]byte{2}, KeyHash: [32]byte{3}, Right: "watch", TriesLeft: 5}); err != nil {
		t.Fatal(err)
	}
}

func TestEverySchemaEverWrittenIsRead(t *testing.T) {
	for version := 1; version <= len(openSettings(t).migrations); version++ {
		t.Run(fmt.Sprint(version), func(t *testing.T) {
			dump, err := os.ReadFile(golden(version))
			if err != nil {
				t.Fatal(err)
			}
			path := filepath.Join(t.TempDir(), "logbook.db")
			raw(t, path, string(dump))
			b := openAt(t, path)
			run, err := b.Run(t.Context(), "r1")
			if err != nil || run.State != "finished" || run.Who != "Ada" {
				t.Errorf("the run is %+v, %v", run, err)
			}
			facts, err := b.Facts(t.Context(), "r1")
			if err != nil || wordsOf(facts) != "asked:leftover 1 answered:leftover 1" || string(facts[1].Body) != `{"leftover_mm":23.4}` {
				t.Errorf("the facts are %+v, %v", facts, err)
			}
			entries := holding(t, b, "")
			if len(entries) != 1 || *entries[0].Value != 95.88 || entries[0].Supersedes != 1 {
				t.Errorf("what holds is %+v", entries)
			}
			setup, err := b.Setup(t.Context(), "p1")
			if err != nil || setup.FilamentDiameterMM != 1.75 {
				t.Errorf("the setup is %+v, %v", setup, err)
			}
			owed, err := b.Owed(t.Context(), "p1")
			if err != nil || len(owed) != 1 || owed[0].Restore[0] != "M104 S0" {
				t.Errorf("owed is %+v, %v", owed, err)
			}
			if c := claim(t, b, "k", "POST a", nil); string(c.Body) != `{"id":"r1"}` {
				t.Errorf("the key was settled as %s", c.Body)
			}
			commit(t, b, Step{Events: []Event{{Kind: "note"}}})
			if version >= 2 {
				wantAccess(t, b)
			}
			p, err := b.Printer(t.Context(), "p1")
			if err != nil || p.DTRLow || p.RTSLow || (p.Fingerprint != nil) != (version >= 3) || p.Fingerprint != nil && *p.Fingerprint != invented {
				t.Errorf("the printer is %+v, %v", p, err)
			}
		})
	}
}

// wantAccess reads who may come in as fill has left it.
func wantAccess(t *testing.T, b *Book) {
	who, err := b.Accesses(t.Context())
	if err != nil || len(who) != 1 || who[0].Name != "Ada's phone" || who[0].Hash != [32]byte{1} || who[0].Right != "operate" {
		t.Errorf("who may come in is %+v, %v", who, err)
	}
	if p, err := b.Pairing(t.Context()); err != nil || p.ID != "w1" || p.KeyHash != [32]byte{3} || p.TriesLeft != 5 {
		t.Errorf("the window is %+v, %v", p, err)
	}
}

// The word of another program than ours: the sqlite3 shell of https://sqlite.org reads the store, and cannot edit it.
func TestTheShellReadsAndCannotEdit(t *testing.T) {
	shell, err := exec.LookPath("sqlite3")
	if err != nil {
		t.Skip("no sqlite3 shell here")
	}
	path := filepath.Join(t.TempDir(), "logbook.db")
	fill(t, openAt(t, path))
	say := func(sql string) (string, error) {
		out, err := exec.CommandContext(t.Context(), shell, path, sql).CombinedOutput()
		return strings.TrimSpace(string(out)), err
	}
	if out, err := say(`SELECT who, body ->> '$.leftover_mm' FROM event WHERE kind = 'answered'`); err != nil || out != "Ada|23.4" {
		t.Errorf("the shell read %q, %v", out, err)
	}
	if out, err := say(`SELECT kind, value FROM docket; PRAGMA integrity_check; PRAGMA foreign_key_check`); err != nil || out != "steps_per_mm|95.88\nok" {
		t.Errorf("the shell read %q, %v", out, err)
	}
	for _, edit := range []string{
		`UPDATE event SET who = 'Bo'`, `DELETE FROM event`, `INSERT OR REPLACE INTO event SELECT * FROM event`,
		`UPDATE entry SET value = 93`, `DELETE FROM entry`, `INSERT OR REPLACE INTO entry SELECT * FROM entry`,
		`UPDATE setup SET body = '{}'`, `DELETE FROM setup`,
		`INSERT INTO event (kind, name, boot, mono_ms, wall_ms, wall_trusted) VALUES ('note', '', 'b', 'late', 0, 0)`,
	} {
		if out, err := say(edit); err == nil {
			t.Errorf("%s was done: %s", edit, out)
		}
	}
}
