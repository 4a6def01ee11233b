// What is plugged in, followed while a page shows it: one request waits at the agent until something is plugged in or
// vanishes. It ends when the page is left.

import {lost} from './call.mjs';

/** @typedef {{list: Port[]|null, changes: number|null, problem: Problem|null}} Plugged */

const WITHIN_S = 50, AGAIN_MS = 3000;

/** @type {Plugged} */
const now = {list: null, changes: null, problem: null};
/** @type {AbortController|null} */
let watch = null;

/** @returns {Readonly<Plugged>} */
export const plugged = () => now;

/** Follows what is plugged in while `shown`, and draws anew when it changes. @param {boolean} shown @param {() => void} again */
export function followPlugged(shown, again) {
  if (shown === (watch !== null)) return;
  watch?.abort();
  watch = shown ? new AbortController() : null;
  if (watch) void loop(watch.signal, again);
}

/** @param {AbortSignal} signal @param {() => void} again */
async function loop(signal, again) {
  now.changes = null; // what changed while nobody looked is read at once
  while (!signal.aborted) {
    const fine = await look(signal);
    if (signal.aborted) return;
    again();
    if (!fine) await new Promise((done) => setTimeout(done, AGAIN_MS));
  }
}

/** @param {AbortSignal} signal @returns {Promise<boolean>} whether the agent waits for the next change by itself */
async function look(signal) {
  const query = now.changes === null ? '' : `?after=${now.changes}&within=${WITHIN_S}s`;
  try {
    const response = await fetch(`/v1/ports${query}`, {headers: {Accept: 'application/json'}, cache: 'no-store', signal});
    const body = await response.json();
    if (!response.ok) { now.problem = body; now.changes = null; return false; }
    [now.list, now.changes, now.problem] = [body.ports, body.changes ?? null, null];
    return now.changes !== null;
  } catch {
    if (!signal.aborted) [now.problem, now.changes] = [lost, null];
    return false;
  }
}
