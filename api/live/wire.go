package live

import (
	"encoding/json"
	"fmt"
	"net/http"

	"fettle/routines/runner"
)

// Wire serves the conversation with a printer behind number after, one line a message. A listener that is slow misses
// lines, which their numbers tell: the ring goes on without it.
func (h *Hub) Wire(w http.ResponseWriter, r *http.Request, wire runner.Wire, after int64) error {
	return h.serve(w, r, func(s *socket) error {
		for {
			news := wire.Changed() // taken before looking, so that nothing is missed
			lines := wire.Since(after)
			batch := make([][]byte, len(lines))
			for i, l := range lines {
				var err error
				if batch[i], err = json.Marshal(l); err != nil {
					return fmt.Errorf("print wire line %d: %w", l.N, err)
				}
				after = l.N
			}
			if err := s.write(batch...); err != nil {
				return err
			}
			if _, err := s.beat(); err != nil {
				return err
			}
			if err := s.wait(0, news, nil); err != nil {
				return err
			}
		}
	})
}
