// Requests to the agent. A POST carries a key that is kept until it is answered, so that a reload or a second tap repeats
// the same request and not another one. Errors are problem details as objects; a lost request is one as well.

/** @typedef {{ok: true, status: number, body: any} | {ok: false, problem: Problem}} Outcome */

const SLOT = 'fettle unanswered ';
const PATIENCE_MS = 15_000;

/**
 * @param {string} method @param {string} path @param {object} [body]
 * @param {{keyed?: boolean, patienceMS?: number}} [o] @returns {Promise<Outcome>}
 */
export async function call(method, path, body, o = {}) {
  const slot = `${SLOT}${method} ${path} ${JSON.stringify(body ?? null)}`;
  /** @type {Record<string, string>} */
  const headers = {Accept: 'application/json'};
  if (body) headers['Content-Type'] = 'application/json';
  if (method === 'POST' && o.keyed !== false) headers['Idempotency-Key'] = keyFor(slot);
  const giveUp = new AbortController();
  const timer = setTimeout(() => giveUp.abort(), o.patienceMS ?? PATIENCE_MS);
  try {
    const response = await fetch(path, {method, headers, body: body ? JSON.stringify(body) : undefined, signal: giveUp.signal, cache: 'no-store'});
    const text = await response.text();
    const said = parse(text);
    if (response.status < 500 && said?.code !== 'key_running') forget(slot);
    return response.ok ? {ok: true, status: response.status, body: said} : {ok: false, problem: problemOf(response.status, said)};
  } catch {
    return {ok: false, problem: lost};
  } finally {
    clearTimeout(timer);
  }
}

/** What is said when no answer came. The request may have arrived: its key stays, so sending it again is harmless. */
export const lost = Object.freeze({type: 'about:blank', title: 'No answer from the agent', status: 0, code: 'unreachable',
  detail: 'Sending it again is harmless: it counts once.'});

/** Lines of JSON, one object each. @param {string} path @returns {Promise<any[]|null>} */
export async function lines(path) {
  try {
    const response = await fetch(path, {headers: {Accept: 'application/jsonl'}, cache: 'no-store'});
    if (!response.ok) return null;
    return (await response.text()).split('\n').filter(Boolean).map((l) => JSON.parse(l));
  } catch {
    return null;
  }
}

/** On a plain HTTP origin there is no other source of keys than getRandomValues. */
function freshKey() {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  return Array.from(bytes, (b) => b.toString(16).padStart(2, '0')).join('');
}

/** @param {string} slot */
function keyFor(slot) {
  const kept = read(slot);
  if (kept) return kept;
  const key = freshKey();
  try { sessionStorage.setItem(slot, key); } catch { /* private mode: the key lasts for this request alone */ }
  return key;
}

/** @param {string} slot */
function read(slot) {
  try { return sessionStorage.getItem(slot); } catch { return null; }
}

/** @param {string} slot */
function forget(slot) {
  try { sessionStorage.removeItem(slot); } catch { /* as above */ }
}

/** @param {string} text @returns {any} */
function parse(text) {
  try { return JSON.parse(text); } catch { return null; }
}

/** @param {number} status @param {any} body @returns {Problem} */
function problemOf(status, body) {
  if (body && typeof body.code === 'string') return body;
  return {type: 'about:blank', title: `The agent answered ${status}`, status, code: 'unknown', detail: ''};
}
