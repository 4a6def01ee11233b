// The ways to measure a feed, and the order that each has: what a person does, and what the machine does, step by step. Pure.

import {capital, t} from './texts.mjs';

/** Asked or done, in order, as runs name it. 'heat', 'pre-feed', 'out', 'feed' and 'cool' are the machine's; the others a person's. */
const ORDER = /** @type {const} */ ({
  inlet: ['air', 'present', 'heat', 'pre-feed', 'mark', 'feed', 'leftover', 'finding'],
  two_flags: ['air', 'flags', 'present', 'heat', 'pre-feed', 'near flag', 'feed', 'far flag', 'finding'],
  several_lengths: ['air', 'present', 'heat', 'pre-feed', 'mark', 'feeds', 'finding'],
  cold: ['path', 'present', 'pre-feed', 'mark', 'feed', 'leftover', 'finding'],
  tube_end: ['air', 'present', 'heat', 'unload', 'cool', 'coupler', 'out', 'cut', 'feed', 'piece', 'finding'],
});

/** @typedef {typeof ORDER[keyof typeof ORDER][number]} Step */

/** @param {string} method @returns {method is keyof typeof ORDER} */
const known = (method) => Object.hasOwn(ORDER, method);

/** The steps of a way; one that is not known goes like the usual one. @param {string|undefined} method @returns {readonly Step[]} */
export const wayOf = (method) => ORDER[method && known(method) ? method : 'inlet'];

/** What a way is called. @param {string} method @param {Field[]} fields of the routine, for a way that these pages do not know */
export const wordOf = (method, fields = []) => known(method) ? t(`ways.${method}`) : capital(fields.find((f) => f.name === 'method')?.choices?.find((c) => c.value === method)?.label ?? method.replace(/_/g, ' '));

/** The ways that fit what a printer is fitted with: cold filament comes out nowhere but at the gear, and a tube's end is where there is a tube. @param {Field[]} fields @param {Setup|undefined} setup */
export function waysIn(fields, setup) {
  const fits = (/** @type {string} */ m) => m === 'cold' ? setup?.drive === 'direct' : m !== 'tube_end' || (setup?.drive === 'bowden' && Boolean(setup.tube));
  return (fields.find((f) => f.name === 'method')?.choices ?? []).filter((c) => fits(c.value)).map((c) => ({value: c.value, label: wordOf(c.value, fields), good: known(c.value) ? t(`good.${c.value}`) : ''}));
}

/** "mark 2, again 2" is a mark, "runner: hands away" is that. @param {string} name */
export const stem = (name) => name.replace(/^runner: /, '').replace(/ \d.*$/, '');

/** @type {Record<string, Step>} What belongs to the finding is asked behind it. */
const BEHIND = {apply: 'finding', another: 'finding', differs: 'finding', verify: 'finding'};

/** What is asked over and over is one step of its way. @param {readonly Step[]} way @param {string} name @returns {Step|undefined} */
function stepNamed(way, name) {
  const what = stem(name);
  if (way.includes('feeds') && ['leftover', 'strand'].includes(what)) return 'feeds';
  return BEHIND[what] ?? way.find((s) => s === what) ?? (what === 'strand' ? 'feed' : undefined);
}

/** Which of several lengths was read last; 0 before the first of a run. @param {Run} run */
const lastRead = (run) => Number(/ length (\d+)$/.exec((run.answers ?? []).findLast((a) => stem(a.name) === 'leftover' || stem(a.name) === 'mark')?.name ?? '')?.[1] ?? 0);

/** A pass over several lengths ends with its last. @param {Run} run */
const isLastLength = (run) => lastRead(run) > 0 && lastRead(run) === run.inputs?.lengths;

/** Which of several lengths is fed now. @param {Run} run */
export const lengthOf = (run) => isLastLength(run) ? 1 : lastRead(run) + 1;

/** The step that a run is at: what is asked, or what the machine does since the last answer. @param {Run} run @returns {Step} */
export function hereOf(run) {
  const way = wayOf(run.inputs?.method), asked = run.question && stepNamed(way, run.question.name);
  if (asked) return asked;
  const last = (run.answers ?? []).map((a) => stepNamed(way, a.name)).findLast((s) => s !== undefined), at = last === undefined ? -1 : way.indexOf(last);
  if (run.doing?.what === 'heating') return 'heat';
  if (run.doing?.what === 'cooling') return at < way.indexOf('cool') ? 'cool' : way.find((s) => s === 'feed' || s === 'feeds') ?? 'finding';
  if (run.doing?.what === 'feeding' || (run.question && stem(run.question.name) === 'hands away')) return motionOf(run, way, at);
  return way[Math.max(0, at)];
}

/** Which of its motions comes behind step `at`; behind the last the next pass begins. @param {Run} run @param {readonly Step[]} way @param {number} at @returns {Step} */
function motionOf(run, way, at) {
  if (at < way.indexOf('unload')) return 'heat'; // a little is fed hot before
  if (way[at] === 'feeds' && !isLastLength(run)) return 'feeds';
  const moves = way.filter((s) => ['pre-feed', 'out', 'feed', 'feeds'].includes(s));
  return moves.find((s) => way.indexOf(s) > at) ?? moves[0] ?? 'feed';
}

/** What will come behind where a run is. @param {Run} run @returns {Step[]} */
export function stepsAfter(run) {
  const way = wayOf(run.inputs?.method);
  return way.slice(way.indexOf(hereOf(run)) + 1);
}
