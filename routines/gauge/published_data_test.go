package gauge_test

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"

	"fettle/routines/gauge"
)

// A published table, retyped in testdata by the names of its columns. Its source stands in its first line.
type published map[string][]float64

func readPublished(t *testing.T, name string) published {
	t.Helper()
	file, err := os.Open("testdata/" + name + ".csv")
	if err != nil {
		t.Fatalf("open a published table: %v", err)
	}
	defer file.Close()
	reader := csv.NewReader(file)
	reader.Comment = '#'
	rows, err := reader.ReadAll()
	if err != nil || len(rows) < 2 {
		t.Fatalf("read a published table: %d rows, %v", len(rows), err)
	}
	table := published{}
	for _, row := range rows[1:] {
		for i, cell := range row {
			number, err := strconv.ParseFloat(cell, 64)
			if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			table[rows[0][i]] = append(table[rows[0][i]], number)
		}
	}
	return table
}

// points pairs two columns.
func (p published) points(x, y string) []gauge.Point {
	points := make([]gauge.Point, len(p[x]))
	for i := range points {
		points[i] = gauge.Point{X: p[x][i], Y: p[y][i]}
	}
	return points
}

// digits holds a result to a published one, to a part of it.
func digits(t *testing.T, what string, got, want, part float64) {
	t.Helper()
	off := math.Abs(got/want - 1)
	if !(off <= part) {
		t.Errorf("%s = %.15g, published %.15g: %.1e of it off, allowed %.0e", what, got, want, off, part)
		return
	}
	t.Logf("%-28s %.15g: %.1e of it off", what, got, off)
}

func fitted(t *testing.T, points []gauge.Point) gauge.Line {
	t.Helper()
	l, err := gauge.FitLine(points)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func through0(t *testing.T, points []gauge.Point) gauge.Line {
	t.Helper()
	l, err := gauge.FitThrough0(points)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func parabola(t *testing.T, points []gauge.Point) gauge.Parabola {
	t.Helper()
	p, err := gauge.FitParabola(points)
	if err != nil {
		t.Fatal(err)
	}
	return p
}
