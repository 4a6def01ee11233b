// Before a run heats or moves: the warnings, one point a page the first time on this phone, with what the person does as
// the action. Later all of them stand behind one question. The answer itself is the runner's: present, in this life.

import {sheafOf} from '../draft.mjs';
import {el} from '../el.mjs';
import {t} from '../texts.mjs';
import {keyOf, question} from './question.mjs';

const SLOT = 'fettle cautions read';

/** A warning taken apart: its signal word, what is so, and what to do. @param {string} w */
export function parts(w) {
  const [, signal = '', rest = w] = /^(Warning|Caution|Notice)\. (.*)$/s.exec(w) ?? [];
  const [, first = rest, mark = '.', more = ''] = /^(.*?)([.:])(?: (.*))?$/s.exec(rest) ?? [];
  const then = more.charAt(0).toUpperCase() + more.slice(1);
  return {signal, what: mark === ':' ? `${first}?` : `${first}.`, then};
}

/** What a person says to each point, by a word of it; and the word by which it stands on the strand. */
const SAID = /** @type {const} */ ([
  [/stay in the room/i, 'aware.stay', 'aware.stay2'], [/burns skin/i, 'aware.nozzle', 'aware.nozzle2'],
  [/switch \(|own switch/i, 'aware.switch', 'aware.switch2'], [/smoke/i, 'aware.smoke', 'aware.smoke2'],
  [/liner/i, 'aware.liner', 'aware.liner2'], [/hands, hair/i, 'aware.read', 'aware.hands2'], [/window/i, 'aware.read', 'aware.air2'],
  [/bed is hot/i, 'aware.read', 'aware.bed2'], [/safety device/i, 'aware.read', 'aware.notice2'],
]);

/** @param {string} w */
const said = (w) => SAID.find(([word]) => word.test(w)) ?? [/./, 'aware.read', 'aware.read2'];

/** @param {Page} p @param {Run} run @param {Question} q @returns {Sheet} */
export function caution(p, run, q) {
  const sheet = question(p, run, q), key = keyOf(run), step = sheafOf(key).step;
  const points = (q.warning ?? []).filter((w) => w.startsWith('Warning.') && !/hands, hair/.test(w));
  if (readBefore() || step >= points.length) return all(p, sheet, q, key);
  const at = parts(points[step]);
  const next = () => p.deeds.write(key, {step: step + 1});
  return {...sheet, key: `${key}/${step}`, signal: at.signal, question: at.what, reason: at.then, warn: undefined,
    past: [...(sheet.past ?? []), ...points.slice(0, step).map((w) => ({bead: /** @type {const} */ ('ring'), strong: t(said(w)[2])}))],
    scene: sheet.scene && {...sheet.scene, step, shown: {...sheet.scene.shown, point: points[step]}},
    action: {label: t(said(points[step])[1]), act: next}, links: [], keys: (k) => { if (k === 'enter') next(); },
    future: points.slice(step + 1).map((w) => ({bead: /** @type {const} */ ('none'), words: t(said(w)[2])}))};
}

/** All points behind the one question: nothing new to who has read them. @param {Page} p @param {Sheet} sheet @param {Question} q @param {string} key @returns {Sheet} */
function all(p, sheet, q, key) {
  const act = sheet.action?.act;
  const others = (q.warning ?? []).map(parts).filter((w) => w.signal !== 'Warning');
  const known = [el('p', {class: 'reason'}, t('aware.known', {points: (q.warning ?? []).map((w) => t(said(w)[2]).toLowerCase()).join('; ')}))];
  const say = () => { remember(); act?.(); };
  return {...sheet, key: `${sheet.key}/all`, figure: undefined, warn: undefined, reasonGives: true, future: [],
    body: readBefore() ? known : [el('ul', {class: 'points'}, others.map((w) => el('li', null, w.signal && el('b', null, `${w.signal}. `), `${w.what} ${w.then}`)))],
    action: sheet.action && {...sheet.action, act: say}, keys: (k) => { if (k === 'enter') say(); },
    links: readBefore() ? [{label: t('aware.one'), act: () => { forget(); p.deeds.write(key, {step: 0}); }}] : []};
}

function readBefore() {
  try { return localStorage.getItem(SLOT) !== null; } catch { return false; }
}

function remember() {
  try { localStorage.setItem(SLOT, new Date().toISOString()); } catch { /* they are shown again next time */ }
}

function forget() {
  try { localStorage.removeItem(SLOT); } catch { /* nothing was kept */ }
}
