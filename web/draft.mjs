// What is half typed, by question. It is the only thing that the pages keep, and a reload keeps it too.

/**
 * @typedef {object} Sheaf  what a person has begun to say about one question
 * @property {string} text
 * @property {string} pick
 * @property {number} step
 * @property {boolean} open       the pad of a question that has a usual answer was asked for
 * @property {boolean} sending
 * @property {Problem|null} problem
 * @property {Record<string, string>} fields   of a form
 */

const SLOT = 'fettle draft ';

/** @type {Map<string, Sheaf>} */
const sheaves = new Map();

/** @param {string} key @returns {Sheaf} */
export function sheafOf(key) {
  const kept = sheaves.get(key);
  if (kept) return kept;
  const fresh = {text: '', pick: '', step: 0, open: false, fields: {}, ...stored(key), sending: false, problem: null};
  sheaves.set(key, fresh);
  return fresh;
}

/** @param {string} key @param {Partial<Sheaf>} change */
export function write(key, change) {
  const next = {...sheafOf(key), ...change};
  sheaves.set(key, next);
  const {text, pick, step, open, fields} = next;
  try { sessionStorage.setItem(SLOT + key, JSON.stringify({text, pick, step, open, fields})); } catch { /* kept in this page alone */ }
}

/** @param {string} key */
export function drop(key) {
  sheaves.delete(key);
  try { sessionStorage.removeItem(SLOT + key); } catch { /* it was not kept */ }
}

/** @param {string} key @returns {Partial<Sheaf>} */
function stored(key) {
  try { return JSON.parse(sessionStorage.getItem(SLOT + key) ?? '{}'); } catch { return {}; }
}
