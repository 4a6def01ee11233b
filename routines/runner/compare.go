package runner

import (
	"context"
	"fmt"
	"time"

	"fettle/routines"
	"fettle/routines/docket"
	"fettle/routines/logbook"
	"fettle/serialio/gcode"
)

// reported is what a printer said of its settings at a contact. Without rows it said nothing, and is not asked again.
type reported struct {
	contact  int64
	settings gcode.Settings
}

// compareSettings asks for the settings once at each contact, and once more after something was written: what is
// another than the docket has it is shown, and never set right by itself.
func (b *bench) compareSettings(ctx context.Context, contact int64) {
	if r := b.reported.Load(); r != nil && r.contact == contact {
		return
	}
	settings, err := b.machine.Settings(ctx)
	if err != nil {
		if ctx.Err() != nil {
			return
		}
		b.runner.Log.Warn("settings not compared", "printer", b.printer.ID, "err", err)
		settings = gcode.Settings{}
	}
	if err := b.takeForGood(ctx, settings); err != nil {
		b.runner.Log.Error("not kept in the logbook", "printer", b.printer.ID, "what", docket.KindSettings, "err", err)
	}
	b.reported.Store(&reported{contact, settings})
	b.tell()
}

// forgetSettings has them asked for once more when nobody holds the printer.
func (b *bench) forgetSettings() { b.reported.Store(nil) }

// takeForGood keeps the settings to compare later ones with, where there are none yet or a person has changed them.
func (b *bench) takeForGood(ctx context.Context, settings gcode.Settings) error {
	numbers := docket.Compared(settings)
	if len(numbers) == 0 {
		return nil
	}
	entries, err := b.entries(ctx)
	if err != nil || docket.Seen(entries) {
		return err
	}
	body := mustJSON(docket.SettingsBody{Numbers: numbers})
	_, err = b.runner.Book.Commit(ctx, logbook.Step{
		Events:  []logbook.Event{{Printer: b.printer.ID, Kind: "settings read", Body: body}},
		Entries: []logbook.Entry{{Printer: b.printer.ID, Entry: routines.Entry{Kind: docket.KindSettings, Body: body}}}})
	if err != nil {
		return fmt.Errorf("store the printer's settings: %w", err)
	}
	return nil
}

// records is what follows from the entries for the printer's view. It is worked out anew when there is another event or
// another report, since a view is drawn with every reading.
type records struct {
	last     int64 // of the logbook's events
	reported *reported
	setup    int64
	differs  []docket.Difference
	worked   *docket.Docket // of the material that was worked with last; nil: of none yet
}

// viewDocket adds what differs from the docket and what is due next.
func (b *bench) viewDocket(ctx context.Context, setup routines.Setup, v *PrinterView) error {
	said, last := b.reported.Load(), b.runner.Book.Last()
	known := b.records.Load()
	if known == nil || known.last != last || known.reported != said || known.setup != setup.Version {
		var err error
		if known, err = b.record(ctx, setup, said); err != nil {
			return err
		}
		known.last = last
		b.records.Store(known)
	}
	v.Differs = known.differs
	if due := known.dueNext(time.Now()); due != "" {
		v.Due = append(v.Due, due)
	}
	return nil
}

func (b *bench) record(ctx context.Context, setup routines.Setup, said *reported) (*records, error) {
	entries, err := b.entries(ctx)
	if err != nil {
		return nil, err
	}
	out := &records{reported: said, setup: setup.Version}
	if said != nil {
		out.differs = docket.Compare(docket.Wants(entries), said.settings)
	}
	out.worked, err = b.workedWith(ctx, entries, setup)
	return out, err
}

// dueNext is what a person should see to next, "" where there is nothing.
func (k *records) dueNext(now time.Time) string {
	if k.worked == nil {
		return docket.DoFeed + ": never checked"
	}
	if due := k.worked.By(now).Due; len(due) > 0 {
		return due[0].Do + ": " + due[0].Text
	}
	return ""
}

// workedWith is the docket of the material that was worked with last; nil where none was.
func (b *bench) workedWith(ctx context.Context, entries []routines.Record, setup routines.Setup) (*docket.Docket, error) {
	last := ""
	for _, e := range entries {
		if e.Material != "" {
			last = e.Material
		}
	}
	if last == "" {
		return nil, nil
	}
	material, err := b.runner.Book.Material(ctx, last)
	if err != nil {
		return nil, fmt.Errorf("read material %s: %w", last, err)
	}
	d := docket.Of(b.printer.ID, entries, setup, material)
	return &d, nil
}
