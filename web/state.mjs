// All that the pages know, as one value, and one pure reducer that makes the next from a message. No document, no clock:
// the time at which a message was heard comes with it.

/** @typedef {import('./shapes/types.mjs').Event} Event */

/**
 * @typedef {object} State
 * @property {string} store                      id of the store that all of this is from
 * @property {number} seq                        of the newest event heard
 * @property {boolean} linked                    the socket is open and has said something
 * @property {number} heard                      ms, when the agent last said anything; 0 never
 * @property {Readonly<Record<string, Printer>>} printers
 * @property {Readonly<Record<string, number>>} readAt  ms, when each printer's view was heard
 * @property {Readonly<Record<string, Run>>} runs
 * @property {Readonly<Record<string, true>>} gone  runs that the record does not have
 * @property {Readonly<Record<string, Event[]>>} events  by run, in order, each once
 * @property {string} trouble                    the record fails: what the agent says about it
 * @property {Readonly<Record<string, Material>>} materials
 * @property {Routine[]} routines
 * @property {Readonly<Record<string, Entry[]>>} entries  by printer, oldest first
 * @property {Readonly<Record<string, Docket>>} dockets  by "printer/material"
 * @property {Readonly<Record<string, Drift>>} drifts    by the path that they were asked for by
 * @property {About|null} about
 * @property {boolean} unpaired
 * @property {number} changes                    counts events that change records, so that lists are read again
 */

/**
 * What is told: the agent's messages, and what was fetched, in the same form.
 * @typedef {{type: 'snapshot', store_id: string, last_seq: number, printers: Printer[], runs: Run[]}
 *  | {type: 'event', event: Event} | {type: 'printer', printer: Printer} | {type: 'run', run: Run, fetched?: boolean}
 *  | {type: 'store', ok: boolean, detail: string} | {type: 'beat'}
 *  | {type: 'link', up: boolean} | {type: 'paired', paired: boolean}
 *  | {type: 'materials', materials: Material[]}
 *  | {type: 'routines', routines: Routine[]}
 *  | {type: 'gone', run: string}
 *  | {type: 'entries', printer: string, entries: Entry[]}
 *  | {type: 'docket', docket: Docket}
 *  | {type: 'drift', key: string, drift: Drift}
 *  | {type: 'about', about: About}} Message
 */

/** @type {Readonly<State>} */
export const nothing = Object.freeze({store: '', seq: 0, linked: false, heard: 0, printers: {}, readAt: {}, runs: {}, gone: {}, events: {},
  trouble: '', materials: {}, routines: [], entries: {}, dockets: {}, drifts: {}, about: null, unpaired: false, changes: 0});

/** Messages that come over the socket: each says that the agent is there. */
const SAID = new Set(['snapshot', 'event', 'printer', 'run', 'store', 'beat']);

/** @param {State} s @param {Message} m @param {number} at ms @returns {State} */
export function reduce(s, m, at) {
  const next = step(s, m, at);
  return SAID.has(m.type) ? {...next, heard: Math.max(at, next.heard)} : next;
}

/** @param {State} s @param {Message} m @param {number} at @returns {State} */
function step(s, m, at) {
  switch (m.type) {
    case 'snapshot': return snapshot(s, m, at);
    case 'event': return event(s, m.event);
    case 'printer': return {...s, printers: {...s.printers, [m.printer.id]: m.printer}, readAt: {...s.readAt, [m.printer.id]: at}};
    case 'run': return run(s, m.run, m.fetched === true);
    case 'store': return {...s, trouble: m.ok ? '' : m.detail};
    case 'beat': return s;
    case 'link': return {...s, linked: m.up};
    case 'paired': return {...s, unpaired: !m.paired};
    case 'materials': return {...s, materials: byID(m.materials)};
    case 'routines': return {...s, routines: m.routines};
    case 'gone': return {...s, gone: {...s.gone, [m.run]: true}};
    case 'entries': return {...s, entries: {...s.entries, [m.printer]: m.entries}};
    case 'docket': return {...s, dockets: {...s.dockets, [`${m.docket.printer}/${m.docket.material}`]: m.docket}};
    case 'drift': return {...s, drifts: {...s.drifts, [m.key]: m.drift}};
    case 'about': return {...s, about: m.about, unpaired: m.about.paired === false};
  }
}

/**
 * Another store, or a smaller number: it is not the record we knew, and all we hold is dropped. Otherwise a run that we
 * thought alive and that holds no printer any more has ended while we were away: it is dropped, and read when it is shown.
 * @param {State} s @param {Extract<Message, {type: 'snapshot'}>} m @param {number} at @returns {State}
 */
function snapshot(s, m, at) {
  const same = s.store === m.store_id && m.last_seq >= s.seq;
  const kept = same ? Object.values(s.runs).filter((r) => ended(r)) : [];
  return {...s, store: m.store_id, seq: same ? s.seq : m.last_seq, linked: true, unpaired: false, trouble: '',
    printers: byID(m.printers), readAt: Object.fromEntries(m.printers.map((p) => [p.id, at])),
    runs: byID([...kept, ...m.runs]), gone: {}, events: same ? s.events : {},
    materials: same ? s.materials : {}, entries: same ? s.entries : {}, dockets: same ? s.dockets : {}, drifts: same ? s.drifts : {}, changes: s.changes + 1};
}

/** @param {State} s @param {Event} e @returns {State} */
function event(s, e) {
  const next = {...s, seq: Math.max(s.seq, e.seq), changes: s.changes + (e.seq > s.seq ? 1 : 0)};
  if (!e.run) return next;
  const known = s.events[e.run] ?? [];
  if (known.some((k) => k.seq === e.seq)) return next;
  const events = [...known, e].sort((a, b) => a.seq - b.seq);
  return {...next, events: {...s.events, [e.run]: events}};
}

/**
 * A view that was fetched may be older than one that was told meanwhile, even with the same last event: what is asked is
 * looked at before the events are. The socket's own last word is always the newest.
 * @param {State} s @param {Run} r @param {boolean} fetched @returns {State}
 */
function run(s, r, fetched) {
  const known = s.runs[r.id];
  if (known && (known.last_seq > r.last_seq || (fetched && known.last_seq === r.last_seq) || (ended(known) && !ended(r)))) return s;
  return {...s, runs: {...s.runs, [r.id]: r}};
}

/** @template {{id: string}} T @param {T[]} list @returns {Record<string, T>} */
const byID = (list) => Object.fromEntries(list.map((x) => [x.id, x]));

/** @param {Run} r */
export const ended = (r) => r.state !== 'underway' && r.state !== 'asking';

/** A program is on its way to the printer, line by line. @param {Run|undefined} r */
export const streams = (r) => r?.state === 'underway' && (r.doing?.of_lines ?? 0) > 0;

/** Seconds since a printer's temperature was read, as far as we heard. @param {State} s @param {Printer} p @param {number} now ms */
export function ageS(s, p, now) {
  return p.nozzle ? p.nozzle.age_s + Math.max(0, now - (s.readAt[p.id] ?? now)) / 1000 : Infinity;
}

/** So old that it must not be relied on, s: as the agent itself has it. */
export const OUTDATED_S = 10;

/** The agent has said nothing for so long that it may be gone, ms. */
export const SILENT_MS = 10_000;

/** @param {State} s @param {number} now */
export const silent = (s, now) => !s.linked || now - s.heard > SILENT_MS;
