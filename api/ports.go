package api

import (
	"context"
	"net/http"
	"time"

	"github.com/labstack/echo/v4"
)

// Plugged is what is plugged in.
type Plugged struct {
	Changes int64  `json:"changes"` // how often that has changed in this life of the agent
	Ports   []Port `json:"ports"`
}

// Port is a serial port that could be a printer. Vendor, Product and Serial are the device's own words.
type Port struct {
	Name      string `json:"name"`   // stable, to make a printer with
	Device    string `json:"device"` // as the system calls it now
	ByID      string `json:"by_id,omitempty"`
	ByPath    string `json:"by_path,omitempty"`
	VendorID  string `json:"vendor_id,omitempty"` // four hex digits
	ProductID string `json:"product_id,omitempty"`
	Vendor    string `json:"vendor,omitempty"`
	Product   string `json:"product,omitempty"`
	Serial    string `json:"serial,omitempty"`
}

// goesBy reports whether a port has this name.
func (p Port) goesBy(name string) bool {
	return name == p.Name || name == p.Device || name == p.ByID || name == p.ByPath
}

// ports shows what is plugged in, at once or when it is no longer as it was at the number of changes that the caller
// knows. A number from an earlier life of the agent is most likely another one, and answered at once.
func (s *Server) ports(c echo.Context) error {
	if err := known(c, "after", "within"); err != nil {
		return err
	}
	after, err := number(c, "after", -1, maxSeq)
	if err != nil {
		return err
	}
	otherwise := time.Minute
	if after < 0 {
		otherwise = 0
	}
	within, err := waits(c, otherwise)
	if err != nil {
		return err
	}
	now, err := s.plugged(c.Request().Context(), after, within)
	if err != nil {
		return err
	}
	now.Ports = list(now.Ports)
	return send(c, http.StatusOK, now)
}

// plugged waits until what is plugged in has changed since after, but no longer than within.
func (s *Server) plugged(ctx context.Context, after int64, within time.Duration) (Plugged, error) {
	waiting, cancel := s.patient(ctx)
	defer cancel()
	waiting, cancel = context.WithTimeout(waiting, within)
	defer cancel()
	for {
		news := s.Ports.Changed()
		now, err := s.Ports.List(ctx)
		if err != nil || now.Changes != after || waiting.Err() != nil {
			return now, err
		}
		select {
		case <-news:
		case <-waiting.Done():
		}
	}
}

// stablePort is the name by which a port is found again, whichever of its names it was given. Without a serial number
// the name by id means a make and not a piece: then it is the one by path. What is not plugged in keeps its name.
func (s *Server) stablePort(ctx context.Context, name string) string {
	now, err := s.Ports.List(ctx)
	if err != nil {
		return name
	}
	for _, p := range now.Ports {
		if p.goesBy(name) {
			return p.Name
		}
	}
	return name
}
