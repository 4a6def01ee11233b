package logbook

import (
	"encoding/json"
	"fmt"
)

// A Fingerprint is what a printer says of itself when it is asked (M115). It is no proof: two machines of one make may
// say the same, and a machine says something else after an update of its firmware.
type Fingerprint struct {
	Firmware string `json:"firmware"`
	Machine  string `json:"machine"` // its type
	UUID     string `json:"uuid"`
}

// FingerprintOf is the fingerprint by which a printer is to be known from now on.
type FingerprintOf struct {
	Printer string
	Fingerprint
}

func (w *writing) putFingerprint(s *Step) error {
	f := s.Fingerprint
	if f == nil {
		return nil
	}
	said, err := json.Marshal(f.Fingerprint)
	if err != nil {
		return fmt.Errorf("print the fingerprint of %s: %w", f.Printer, err)
	}
	if err := w.exec(`UPDATE printer SET fingerprint = ? WHERE id = ?`, string(said), f.Printer); err != nil {
		return fmt.Errorf("store the fingerprint of %s: %w", f.Printer, err)
	}
	return nil
}

func fingerprintIn(text string) (*Fingerprint, error) {
	f := &Fingerprint{}
	if err := json.Unmarshal([]byte(text), f); err != nil {
		return nil, fmt.Errorf("read a fingerprint: %w", err)
	}
	return f, nil
}
