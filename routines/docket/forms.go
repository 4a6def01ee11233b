package docket

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"math"
	"strconv"
	"strings"
	"text/tabwriter"
	"time"
	"unicode/utf8"

	"fettle/routines/gauge"
)

// plain prints a number with as many digits as it has.
func plain(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }

func quantity(x float64, unit string) string {
	switch unit {
	case "", "1":
		return plain(x)
	case "%":
		return plain(x) + " %"
	}
	return plain(x) + " " + unit
}

// measured prints a value with its expanded uncertainty, both to the second digit of that (JCGM 100:2008, 7.2.6); what has
// none is printed as it is.
func measured(value float64, u95 *float64, unit string) string {
	if u95 == nil || !(*u95 > 0) || math.IsInf(*u95, 1) {
		return quantity(value, unit)
	}
	digits := gauge.Decimals(*u95)
	text := strconv.FormatFloat(value, 'f', digits, 64) + " ± " + strconv.FormatFloat(*u95, 'f', digits, 64)
	if unit == "" || unit == "1" {
		return text
	}
	return text + " " + unit
}

func number(x *float64) string {
	if x == nil {
		return ""
	}
	return plain(*x)
}

// reasons is why a row is stale, in one text.
func (r Row) reasons() string {
	texts := make([]string, len(r.Stale))
	for i, why := range r.Stale {
		texts[i] = why.Text
	}
	return strings.Join(texts, "; ")
}

// CSV is the docket as RFC 4180 has it, with a header row.
func (d Docket) CSV() ([]byte, error) {
	rows := [][]string{{"printer", "setup_version", "material", "kind", "value", "unit", "u95", "fresh", "stale", "run_again", "source", "how", "entry", "run", "who", "time", "again_by"}}
	for _, r := range d.Rows {
		at, entry, by := "", "", ""
		if r.AgainBy != nil {
			by = r.AgainBy.UTC().Format(time.RFC3339)
		}
		if r.From.At != nil {
			at = r.From.At.UTC().Format(time.RFC3339)
		}
		if r.From.Entry != 0 {
			entry = strconv.FormatInt(r.From.Entry, 10)
		}
		rows = append(rows, []string{cell(d.Printer), strconv.FormatInt(d.SetupVersion, 10), cell(d.Material), r.Kind, number(r.Value), r.Unit, number(r.U95),
			strconv.FormatBool(r.Fresh), cell(r.reasons()), r.Again, r.From.Source, cell(r.From.How), entry, r.From.Run, cell(r.From.Who), at, by})
	}
	var out bytes.Buffer
	w := csv.NewWriter(&out)
	w.UseCRLF = true
	if err := w.WriteAll(rows); err != nil {
		return nil, fmt.Errorf("print the docket of %s as CSV: %w", d.Material, err)
	}
	return out.Bytes(), nil
}

// cell keeps a spreadsheet from taking a text for a formula (OWASP, "CSV Injection").
func cell(s string) string {
	if s != "" && strings.ContainsRune("=+-@\t\r", rune(s[0])) {
		return "'" + s
	}
	return s
}

// Table is the docket as plain text, for a person who types the values into a slicing program.
func (d Docket) Table() string {
	var out bytes.Buffer
	fmt.Fprintf(&out, "Docket of %s for %s, setup %d\n", oneLine(d.MaterialName), oneLine(d.Printer), d.SetupVersion)
	fmt.Fprintf(&out, "%s\n\n", oneLine(d.whoHas()))
	w := tabwriter.NewWriter(&out, 0, 0, 2, ' ', 0)
	for _, r := range d.Rows {
		value := "-"
		if r.Value != nil {
			value = measured(*r.Value, r.U95, r.Unit)
		}
		fmt.Fprintf(w, "%s\t%s\t%s\n", r.Label, value, oneLine(r.note()))
	}
	w.Flush() // into memory: it cannot fail
	return out.String()
}

// note is where a row's value is from, and what speaks against it.
func (r Row) note() string {
	switch {
	case len(r.Stale) > 0:
		return r.From.How + "; STALE: " + r.reasons()
	case r.AgainBy != nil:
		return r.From.How + "; " + r.byDay()
	}
	return r.From.How
}

// oneLine keeps a text that somebody typed within its line.
func oneLine(s string) string {
	return strings.Map(func(c rune) rune {
		if c < ' ' || c == 0x7f || c == utf8.RuneError {
			return ' '
		}
		return c
	}, s)
}
