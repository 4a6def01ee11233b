// Every text of the pages by its id. What the agent says (questions, reasons, findings) comes from the agent.

import {SAID} from './texts-said.mjs';
import {DRAWN} from './texts-drawn.mjs';
import {CHART} from './texts-chart.mjs';
import {FLOW} from './texts-flow.mjs';
import {WAYS} from './texts-ways.mjs';

const TEXTS = {...SAID, ...DRAWN, ...WAYS, ...FLOW, ...CHART};

/** @typedef {keyof typeof TEXTS} TextID */

/** A text with its blanks filled in. @param {TextID} id @param {Record<string, string|number>} [fill] */
export const t = (id, fill = {}) => TEXTS[id].replace(/\{(\w+)\}/g, (_, name) => String(fill[name] ?? ''));

/** A name that a text has, or none. @param {string} id @returns {TextID|undefined} */
export const has = (id) => Object.hasOwn(TEXTS, id) ? /** @type {TextID} */ (id) : undefined;

/** @param {string} s */
export const capital = (s) => s.charAt(0).toUpperCase() + s.slice(1);

/** A length as it is shown: at most two decimals. @param {number} x */
export const mm = (x) => String(Math.round(x * 100) / 100);

/** A count in groups of three digits, parted by a narrow space (ISO 80000-1, 7.3.1). @param {number} n */
export const count = (n) => String(Math.round(n)).replace(/\B(?=(\d{3})+$)/g, '\u202f');

/** How long it will take, as roughly as it is known. @param {number} s */
export function about(s) {
  if (!Number.isFinite(s) || s < 0) return '';
  if (s < 10) return t('about.moments');
  if (s < 90) return `${Math.ceil(s / 10) * 10}\u00a0s`;
  if (s < 5400) return `${Math.round(s / 60)}\u00a0min`;
  return `${Math.floor(s / 3600)}\u00a0h ${Math.round(s % 3600 / 60)}\u00a0min`;
}

/** Hours and minutes of this phone's own day. @param {number} ms Unix time */
export function time(ms) {
  const d = new Date(ms);
  return `${String(d.getHours()).padStart(2, '0')}:${String(d.getMinutes()).padStart(2, '0')}`;
}

/** An age as a person says it. @param {number} s */
export function ago(s) {
  if (!Number.isFinite(s)) return '';
  if (s < 100) return t('ago', {age: `${Math.round(s)}\u00a0s`});
  if (s < 6000) return t('ago', {age: `${Math.round(s / 60)}\u00a0min`});
  if (s < 172800) return t('ago', {age: `${Math.round(s / 3600)}\u00a0h`});
  return t('ago', {age: `${Math.round(s / 86400)}\u00a0days`});
}
