// The entry: one state, one socket, one drawing. A message makes the next state, and the page is drawn from it alone.

import {lines, call} from './call.mjs';
import {isFlow} from './climb.mjs';
import {makeDeeds} from './deeds.mjs';
import {draw} from './draw.mjs';
import {listen} from './keys.mjs';
import {follow, socketURL} from './live.mjs';
import {askedIn, driftPath} from './pages/drift-ask.mjs';
import {pageOf, routeOf} from './pages/index.mjs';
import {isLadder} from './pages/ladder.mjs';
import {pairByKey} from './pages/pair.mjs';
import {followPlugged} from './plugged.mjs';
import {nothing, reduce} from './state.mjs';
import {followWire} from './wire.mjs';
import {paint} from './paint.mjs';

/** @type {State} */
let state = nothing;
let due = false;

/** @param {Message} m */
function tell(m) {
  state = reduce(state, m, Date.now());
  again();
}

/** Draws once for all that happened since the last frame. A hidden page is not drawn. */
function again() {
  if (due) return;
  due = true;
  requestAnimationFrame(() => { due = false; redraw(); });
}

const deeds = makeDeeds(tell, again);

/** @returns {Page} */
const page = () => ({state, now: Date.now(), route: routeOf(location.hash), deeds});

function redraw() {
  const p = page(), sheet = pageOf(p);
  paint(sheet.colour);
  draw(p, sheet);
  fetchWhatIsMissing(p);
  followPlugged(p.route[0] === 'ports' && !state.unpaired, again);
  const wide = innerWidth >= 1000;
  followWire(p.route[0] === 'wire' || wide ? sheet.printer ?? '' : '', again);
}

/** What is being read, so that it is not asked for twice. @type {Map<string, number>} */
const asked = new Map();

/** Asks once for each state of the record. @param {string} what @param {() => Promise<boolean>} ask */
function once(what, ask) {
  if (asked.get(what) === state.changes) return;
  asked.set(what, state.changes);
  void ask().then((ok) => { if (!ok) setTimeout(() => { asked.delete(what); again(); }, 3000); });
}

/** @param {string} path @param {(body: any) => Message} message */
const read = (path, message) => async () => {
  const got = await call('GET', path);
  if (got.ok) tell(message(got.body));
  else if (got.problem.code === 'unpaired') tell({type: 'paired', paired: false});
  else if (got.problem.code === 'no_run') tell({type: 'gone', run: path.split('/').at(-1) ?? ''});
  return got.ok || [400, 404].includes(got.problem.status); // it will not be otherwise in a moment
};

/** @param {Page} p */
function fetchWhatIsMissing(p) {
  if (!state.store || state.unpaired) return;
  if (!state.routines.length) once('routines', read('/v1/routines', (b) => ({type: 'routines', routines: b.routines})));
  once('materials', read('/v1/materials', (b) => ({type: 'materials', materials: b.materials})));
  const run = p.route[0] === 'runs' ? p.route[1] : '';
  if (run && !state.runs[run]) once(`run ${run}`, read(`/v1/runs/${run}`, (b) => ({type: 'run', run: b, fetched: true})));
  if (run && !state.events[run]?.some((e) => e.kind === 'run begun')) once(`events ${run}`, events(run));
  const [place, printer, material] = p.route;
  if (place === 'dockets' && state.printers[printer]?.setup && state.materials[material]) once(`docket ${printer}/${material}`, read(`/v1/printers/${printer}/dockets/${material}`, (docket) => ({type: 'docket', docket})));
  if (place === 'drift' && state.printers[printer]?.setup) charted(driftPath(printer, askedIn(p.route)));
  const ladder = run && (isLadder(state.runs[run]?.routine) || isFlow(state.runs[run]?.routine) || (state.runs[run] && p.route[2] === 'lengths')) ? [state.runs[run].printer] : [];
  for (const id of run ? ladder : Object.keys(state.printers)) once(`entries ${id}`, read(`/v1/logbook?printer=${id}`, (b) => ({type: 'entries', printer: id, entries: b.entries})));
}

/** @param {string} path */
const charted = (path) => once(path, read(path, (drift) => ({type: 'drift', key: path, drift})));

/** @param {string} run */
const events = (run) => async () => {
  const all = await lines(`/v1/runs/${run}/events`);
  for (const event of all ?? []) tell({type: 'event', event});
  return all !== null;
};

/** A socket that never opens may be one that is not allowed. */
const whyNot = read('/v1/about', (about) => ({type: 'about', about}));

function begin() {
  const key = /^#(?:pair=|k=)?([A-Za-z0-9_-]{20,})$/.exec(location.hash)?.[1];
  if (key) {
    history.replaceState(null, '', '#/');
    pairByKey(page(), key);
  }
  // A socket that is refused is an error in the browser's console: so it is first asked whether this phone is known.
  void whyNot().then(() => follow({
    url: () => state.unpaired ? '' : socketURL(`/v1/live${state.store ? `?after=${state.seq}&store=${state.store}` : ''}`),
    hear: tell, link: (up) => tell({type: 'link', up}), failed: () => void whyNot(),
  }));
  addEventListener('hashchange', again);
  document.addEventListener('visibilitychange', again);
  addEventListener('resize', again);
  listen(() => pageOf(page()));
  setInterval(() => { if (document.visibilityState === 'visible') again(); }, 1000); // ages grow
  again();
}

begin();
