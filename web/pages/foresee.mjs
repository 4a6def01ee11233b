// Another pass, or not: what the budget foresees of it, and which other way would do more. The page weighs nothing itself.

import {plusMinus} from '../entry.mjs';
import {sheafOf} from '../draft.mjs';
import {capital, t} from '../texts.mjs';
import {wordOf} from '../ways.mjs';

/** Questions that ask for another pass, by their figure. */
export const FORESEEN = new Set(['cannot_tell', 'enough']);

const HARDLY = 5; // of 100: as the agent itself has it

/** Said already where the reason says it. @param {Question} q */
function forecast(q) {
  const n = q.shown?.changes_of_100;
  if (typeof n !== 'number' || /hardly change|of 100 cases/.test(q.reason)) return undefined;
  return n <= HARDLY ? t('next.hardly') : t('next.changes', {n: Math.round(n)});
}

/** The largest part of ±, where nothing else says it. @param {any} shown */
const largest = (shown) => shown?.largest_part ? t(shown.largest_is_common ? 'next.largest' : 'next.largest2', {part: shown.largest_part}) : undefined;

/**
 * Adds to the question what one more pass would do, which outlasts what was found on a short screen, and the other way: it
 * ends this check with what it has, and lies ready for the next.
 * @param {Sheet} s @param {{p: Page, run: Run, q: Question, send: (answer: object) => void}} o
 */
export function foresee(s, o) {
  const better = o.q.shown?.better_method;
  const [, found, outlook] = /^(.*?[.?!]) (?=[A-Z])(.*)$/s.exec(o.q.reason) ?? [];
  s.reason = found ?? s.reason;
  s.warn = [s.warn, outlook, forecast(o.q)].filter(Boolean).join(' ') || undefined;
  s.note = largest(o.q.shown);
  s.noteGives = true;
  if (!better?.method) return;
  const way = wordOf(better.method);
  const act = () => { remember(o.p, o.run.printer, better.method); o.send({another: false}); };
  const label = t('next.better', {way, u95: plusMinus(better.u95_percent)});
  s.links = [...(s.links ?? []), {label, says: `${label}. ${t('next.better2', {way})}`, act}];
}

/** The next feed check of a printer begins that way, unless somebody says otherwise. @param {Page} p @param {string} printer @param {string} method */
export function remember(p, printer, method) {
  const key = `begin/${printer}`;
  p.deeds.write(key, {fields: {...sheafOf(key).fields, method}, text: '', problem: null});
}

/** What only a request needs of a note: the way's own name; and what one pass comes to by it. */
const NAMED = / ?\(method (\w+)\)/, COMES_TO = /comes to (±\S*\s?[\d.]+\s?%)/;

/** A finding names the way that would be worth it; this is the way on, with what it promises. @param {Page} p @param {Run} run @param {string[]} notes @returns {Way[]} */
export function anew(p, run, notes) {
  const note = notes.find((n) => NAMED.test(n)), method = NAMED.exec(note ?? '')?.[1];
  if (!note || !method) return [];
  const way = wordOf(method), u95 = COMES_TO.exec(note)?.[1];
  return [{label: u95 ? t('next.anew2', {way, u95}) : t('next.anew', {way: way.toLowerCase()}), act: () => { remember(p, run.printer, method); p.deeds.go(`#/begin/${run.printer}`); }}];
}

/** The notes that no link says. @param {string[]} notes */
export const unlinked = (notes) => notes.filter((n) => !(NAMED.test(n) && COMES_TO.test(n))).map((n) => capital(n.replace(NAMED, '')));
