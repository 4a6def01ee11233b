// Command agent is Fettle: it stands beside a filament printer, talks G-code to it over a serial line, and leads a
// person through the measurements that make its extrusion right.
//
// Owns: the settings, the wiring of the rooms, start and stop, the subcommands.
// Guarantees: everything it starts has ended when it returns; what is owed to a printer is given back before that, or
// said not to be.
// Does not do: any work of its own.
//
// The tour. A request comes in by api (one route table, strict JSON), which makes one call to routines/runner. The
// runner has one bench per printer, and a run holds it. The run's routine (routines/feed) is straight-line code that
// asks and acts; routines/run.go replays its own facts after a restart. An act reaches the printer through
// runner/hand.go, which writes down what is owed, serialio/machine, which holds limits, and serialio, which numbers the
// line, adds its checksum and waits for the printer's word. Each line from the printer is read once, by
// serialio/gcode, and becomes a typed reading or a reply. What a person must know is in routines/logbook before anyone
// is told.
//
// Read next: wiring.go, then routines/feed/steps.go.
package main
