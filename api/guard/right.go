package guard

// Right is what somebody must be allowed to do. Each route names one.
type Right string

// The rights. A key has Watch or Operate, and Operate includes Watch.
const (
	Watch   Right = "watch"
	Operate Right = "operate"
	// Stopping is everybody's who can open the page, unless the owner has switched that off: then Watch is enough.
	Stopping Right = "stop"
	// Open is everybody's: to see whether one is paired, and to be.
	Open Right = "open"
)

// allows reports whether a caller may do what needs a right. A right that is none is nobody's.
func (g *Guard) allows(c Caller, need Right) bool {
	switch need {
	case Open:
		return true
	case Stopping:
		return g.StopOpen || c.Right != ""
	case Watch:
		return c.Right != ""
	case Operate:
		return c.Right == Operate
	}
	return false
}

// Known reports whether a right is one that a route may name.
func (r Right) Known() bool {
	return r == Watch || r == Operate || r == Stopping || r == Open
}
