// Package runner executes routines: one run per printer at a time, and it owns the line while it runs.
//
// Owns: the printers' benches, the live runs, presence and hands away, what is owed to a printer.
// Guarantees: what a person must know is stored before anyone is told; what moves, heats or writes is never repeated
// by itself; nothing heats or moves before somebody in this life of the process said to be there; a stop takes no lock,
// no store and no queue; what was set aside is given back, heat first; a printer that is not the one that was met on its
// port is asked who it is, and not driven.
// Does not do: know a procedure (routines/feed does), speak G-code (serialio/machine does), serve anyone (api does).
// Read next: begin.go, execute.go, host.go, ready.go, hand.go, stream.go, pause.go, owed.go, resume.go, stop.go, others.go,
// meet.go.
package runner
