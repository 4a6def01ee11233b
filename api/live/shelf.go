package live

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"sync"
	"time"

	"fettle/routines/runner"
)

// shelf keeps the newest views, made once for all listeners when one of them looks and something has changed.
type shelf struct {
	book  Book
	bench Bench

	mu     sync.Mutex
	kept   views
	made   time.Time
	stale  []<-chan struct{} // any of them closed: something has changed since
	runOf  map[string]string // the last run that held each printer, shown to its end and beyond
	filled bool
}

// views are what is shown of printers and runs, as values and as messages.
type views struct {
	printers []runner.PrinterView
	runs     []runner.RunView
	messages []message
}

type message struct{ key, text string }

// newest returns the newest views. Where they are held back because they were made just now, rest says for how long.
func (s *shelf) newest(ctx context.Context) (v views, rest time.Duration, err error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.filled && !s.changed() {
		return s.kept, 0, nil
	}
	if rest = viewsEvery - time.Since(s.made); s.filled && rest > 0 {
		return s.kept, rest, nil
	}
	stale := []<-chan struct{}{s.book.Changed(), s.bench.Changed()}
	if v, err = s.look(ctx); err != nil {
		return views{}, 0, err
	}
	s.kept, s.stale, s.made, s.filled = v, stale, time.Now(), true
	return v, 0, nil
}

func (s *shelf) changed() bool {
	for _, c := range s.stale {
		select {
		case <-c:
			return true
		default:
		}
	}
	return false
}

func (s *shelf) look(ctx context.Context) (views, error) {
	v := views{runs: []runner.RunView{}}
	var err error
	if v.printers, err = s.bench.Printers(ctx); err != nil {
		return v, fmt.Errorf("look at the printers: %w", err)
	}
	if s.runOf == nil {
		s.runOf = map[string]string{}
	}
	for _, p := range v.printers {
		if err := v.add("printer "+p.ID, printerMessage{"printer", p}); err != nil {
			return v, err
		}
		if p.Run != "" {
			s.runOf[p.ID] = p.Run
		}
		if s.runOf[p.ID] == "" {
			continue
		}
		run, err := s.bench.View(ctx, s.runOf[p.ID])
		if errors.Is(err, runner.ErrNoRun) {
			continue
		} else if err != nil {
			return v, fmt.Errorf("look at run %s: %w", s.runOf[p.ID], err)
		}
		v.runs = append(v.runs, run)
		if err := v.add("run "+run.ID, runMessage{"run", run}); err != nil {
			return v, err
		}
	}
	return v, nil
}

func (v *views) add(key string, m any) error {
	text, err := json.Marshal(m)
	if err != nil {
		return fmt.Errorf("print %s: %w", key, err)
	}
	v.messages = append(v.messages, message{key, string(text)})
	return nil
}
