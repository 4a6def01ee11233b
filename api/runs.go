package api

import (
	"context"
	"encoding/json"
	"net/http"
	"reflect"
	"slices"
	"strings"
	"time"

	"fettle/routines/runner"

	"github.com/labstack/echo/v4"
)

func (s *Server) runs(c echo.Context) error {
	if err := known(c, "printer"); err != nil {
		return err
	}
	views, err := s.Runner.Views(c.Request().Context(), c.QueryParam("printer"))
	if err != nil {
		return err
	}
	return send(c, http.StatusOK, map[string]any{"runs": list(views)})
}

// order is what POST /v1/runs reads.
type order struct {
	Printer  string          `json:"printer"`
	Routine  string          `json:"routine"`
	Material string          `json:"material"`
	Inputs   json.RawMessage `json:"inputs"`
	Attended bool            `json:"attended"`
	TakeOver string          `json:"take_over"`
}

func (s *Server) begin(c echo.Context) error {
	var o order
	if err := decode(c, &o); err != nil {
		return err
	}
	var gone []fieldFault
	if o.Printer == "" {
		gone = append(gone, missing("printer", "one of GET /v1/printers"))
	}
	if o.Routine == "" {
		gone = append(gone, missing("routine", "one of GET /v1/routines"))
	}
	if o.Material == "" && o.TakeOver == "" {
		gone = append(gone, missing("material", "one of GET /v1/materials"))
	}
	if gone != nil {
		return invalid(gone...)
	}
	v, err := s.Runner.Begin(c.Request().Context(), runner.Order{Printer: o.Printer, Routine: o.Routine, Material: o.Material,
		Inputs: o.Inputs, Attended: o.Attended, TakeOver: o.TakeOver, Who: who(c)})
	if err != nil {
		err = s.deaf(c.Request().Context(), o.Printer, err)
		return inBody(err, placeInOrder, map[error]string{runner.ErrNoPrinter: "printer", runner.ErrNoRoutine: "routine",
			runner.ErrNoMaterial: "material", runner.ErrNoRun: "take_over"})
	}
	c.Response().Header().Set("Location", "/v1/runs/"+v.ID)
	return send(c, http.StatusCreated, v)
}

// placeInOrder says where in the body a field of an order is: what is not its own is one of the inputs.
func placeInOrder(field string) string {
	if slices.Contains(namesOf(reflect.TypeFor[order]()), field) {
		return "/" + field
	}
	return "/inputs/" + escapePointer(field)
}

// longestWait is how long a long-poll may wait.
const longestWait = 120 * time.Second

// run shows a run, at once or when it has come to one of the states of until.
func (s *Server) run(c echo.Context) error {
	if err := known(c, "until", "within"); err != nil {
		return err
	}
	until, within, err := patience(c)
	if err != nil {
		return err
	}
	ctx, id := c.Request().Context(), c.Param("run")
	var v runner.RunView
	if len(until) == 0 || within == 0 {
		v, err = s.Runner.View(ctx, id)
	} else {
		v, err = s.await(ctx, id, until, within)
	}
	if err != nil {
		return err
	}
	return send(c, http.StatusOK, v)
}

func (s *Server) await(ctx context.Context, id string, until []string, within time.Duration) (runner.RunView, error) {
	ctx, cancel := s.patient(ctx)
	defer cancel()
	ctx, cancel = context.WithTimeout(ctx, within)
	defer cancel()
	return s.Runner.Await(ctx, id, until)
}

// patience reads what a long-poll waits for and how long.
func patience(c echo.Context) (until []string, within time.Duration, err error) {
	if q := c.QueryParam("until"); q != "" {
		until = strings.Split(q, ",")
		within = time.Minute
	}
	for _, u := range until {
		if !slices.Contains([]string{"asking", "ended", "changed"}, u) {
			return nil, 0, badQuery("until", "holds what is not known", "asking, ended, changed; several with commas between")
		}
	}
	within, err = waits(c, within)
	return until, within, err
}

// waits reads how long a long-poll may wait.
func waits(c echo.Context, otherwise time.Duration) (time.Duration, error) {
	q := c.QueryParam("within")
	if q == "" {
		return otherwise, nil
	}
	within, err := time.ParseDuration(q)
	if err != nil || within < 0 || within > longestWait {
		return 0, badQuery("within", "is no time that can be waited", "0s to 120s, such as 60s")
	}
	return within, nil
}

// answer reads {"question":3, ...}: every other field is the answer's.
func (s *Server) answer(c echo.Context) error {
	var fields map[string]json.RawMessage
	if err := decode(c, &fields); err != nil {
		return err
	}
	var question int64
	if raw, ok := fields["question"]; !ok {
		return invalid(missing("question", "the number of the open question"))
	} else if json.Unmarshal(raw, &question) != nil || question < 1 {
		return invalid(fieldFault{Pointer: "/question", Detail: "is not the number of a question", Accept: "a whole number from 1"})
	}
	delete(fields, "question")
	given, err := json.Marshal(fields)
	if err != nil {
		return err
	}
	v, err := s.Runner.Answer(c.Request().Context(), c.Param("run"), question, given, who(c))
	if err != nil {
		return err
	}
	return send(c, http.StatusOK, v)
}

func (s *Server) takeBack(c echo.Context) error {
	if err := nothing(c); err != nil {
		return err
	}
	v, err := s.Runner.TakeBack(c.Request().Context(), c.Param("run"), who(c))
	if err != nil {
		return err
	}
	return send(c, http.StatusOK, v)
}
