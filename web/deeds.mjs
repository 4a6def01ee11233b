// What a person can make happen. Each deed is one request; what comes of it comes back as a message or as a problem beside
// the action that asked for it.

import {call} from './call.mjs';
import {drop, sheafOf, write} from './draft.mjs';

/**
 * @typedef {object} Deeds
 * @property {() => void} again                                  draw once more
 * @property {(key: string, change: Partial<import('./draft.mjs').Sheaf>) => void} write  change what is half typed
 * @property {(key: string, method: string, path: string, body: object|undefined, then: (body: any) => void) => Promise<void>} ask
 * @property {(key: string, run: string, question: number, answer: object) => void} answer
 * @property {(key: string, run: string) => void} takeBack
 * @property {(key: string, order: object) => void} begin
 * @property {(printer: string, key: string) => void} wake
 * @property {(printer: string, what: 'stop'|'halt') => void} stop
 * @property {(printer: string) => void} pause
 * @property {(hash: string) => void} go
 * @property {(m: Message) => void} tell                        what an answer says of the record
 * @property {(path: string, key: string) => Promise<void>} fetchText  into the draft's own text
 */

/** How pressing Stop went, by printer. @type {Map<string, {what: string, reached: boolean, refused: boolean, tries: number}>} */
export const pressed = new Map();

/** Printers whose program was asked to stand still and does not yet. @type {Set<string>} */
export const pausing = new Set();

const AGAIN_MS = 1000; // a stop that did not reach the agent is sent again

/** @param {(m: Message) => void} tell @param {() => void} again @returns {Deeds} */
export function makeDeeds(tell, again) {
  /** @type {Deeds['ask']} */
  async function ask(key, method, path, body, then) {
    if (sheafOf(key).sending) return;
    write(key, {sending: true, problem: null});
    again();
    const outcome = await call(method, path, body);
    write(key, {sending: false, problem: outcome.ok ? null : outcome.problem});
    if (outcome.ok) then(outcome.body);
    else if (outcome.problem.code === 'unpaired') tell({type: 'paired', paired: false});
    again();
  }

  const told = (/** @type {string} */ key) => (/** @type {any} */ run) => { drop(key); tell({type: 'run', run, fetched: true}); };

  return {
    again, ask, tell,
    async fetchText(path, key) {
      const text = await fetch(path, {cache: 'no-store'}).then((r) => r.ok ? r.text() : '').catch(() => '');
      write(key, {text});
      again();
    },
    write(key, change) { write(key, change); again(); },
    answer: (key, run, question, answer) => void ask(key, 'POST', `/v1/runs/${run}/answers`, {question, ...answer}, told(key)),
    takeBack: (key, run) => void ask(key, 'POST', `/v1/runs/${run}/take-back`, undefined, told(key)),
    begin: (key, order) => void ask(key, 'POST', '/v1/runs', order, (run) => { told(key)(run); location.hash = `#/runs/${run.id}`; }),
    wake: (printer, key) => void ask(key, 'POST', `/v1/printers/${printer}/wake`, undefined, () => drop(key)),
    stop: (printer, what) => void stop(printer, what, again),
    pause: (printer) => void pause(printer, again),
    go(hash) { location.hash = hash; },
  };
}

/** Stop is harmless twice: it is sent until the agent says that it has it. @param {string} printer @param {string} what @param {() => void} again */
async function stop(printer, what, again) {
  const mine = {what, reached: false, refused: false, tries: 0};
  pressed.set(printer, mine);
  again();
  while (pressed.get(printer) === mine) {
    const outcome = await call('POST', `/v1/printers/${printer}/${what}`, undefined, {keyed: false, patienceMS: 3000});
    mine.tries++;
    mine.reached = outcome.ok;
    mine.refused = !outcome.ok && outcome.problem.status >= 400 && outcome.problem.status < 500;
    again();
    if (mine.reached || mine.refused) return;
    await new Promise((done) => setTimeout(done, AGAIN_MS));
  }
}

/** Pause is harmless twice. Where nothing is streamed any more, or it cannot be reached, the button may be pressed anew. @param {string} printer @param {() => void} again */
async function pause(printer, again) {
  pausing.add(printer);
  again();
  const outcome = await call('POST', `/v1/printers/${printer}/pause`, undefined, {keyed: false, patienceMS: 5000});
  if (!outcome.ok) pausing.delete(printer);
  again();
}
