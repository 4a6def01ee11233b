// What a feed check leaves: the ways on from its finding, and what a new run can take over from one that broke off.

import {el} from '../el.mjs';
import {mm, t} from '../texts.mjs';
import {stem} from '../ways.mjs';
import {anew} from './foresee.mjs';

/** @typedef {import('../shapes/types.mjs').Event} Event */

/** From a finding on: what its ± is made of, how its lengths lie, and the way that would be worth it. @param {Page} p @param {Run} run @param {Finding} f @returns {Way[]} */
export const afterCheck = (p, run, f) => [
  ...(f.budget?.length ? [{label: t('ended.budget'), go: `#/runs/${run.id}/budget`}] : []),
  ...toLengths(run).map((way) => ({...way, minor: true})),
  ...(run.routine === 'feed_check' ? anew(p, run, f.notes ?? []) : []),
];

/** How its lengths lie, where it has several. @param {Run} run @returns {Way[]} */
export const toLengths = (run) => run.inputs?.method === 'several_lengths' ? [{label: t('lengths.link'), go: `#/runs/${run.id}/lengths`}] : [];

/** Answers that end a pass, each by its own way. */
const LAST = ['leftover', 'far flag', 'piece'];

/** Readings that end a pass; of several lengths against one mark the last. @param {Run} run */
const readings = (run) => (run.answers ?? []).filter((a) => LAST.includes(stem(a.name)) && (!/ length \d+$/.test(a.name) || a.name.endsWith(` length ${run.inputs?.lengths}`)));

/** True where something was measured that a new run can take over. @param {Run} run @param {Event[]} events */
export const measuredIn = (run, events) => run.routine === 'feed_check' && (events.some((e) => e.kind === 'whole') || readings(run).length > 0);

/** What a new run would have. @param {Run} run @returns {Row[]} */
export const kept = (run) => readings(run).filter((a) => a.answer.leftover_mm !== undefined || a.answer.piece_mm !== undefined).map((a) => (
  {bead: /** @type {const} */ ('none'), words: a.answer.piece_mm === undefined ? t('ended.kept', {left: mm(a.answer.leftover_mm)}) : t('ended.piece', {long: mm(a.answer.piece_mm)})}));

/** Sentences of a note that give way on a short screen: the ± has a page of its own, and the first sentence says the most. @type {Array<[RegExp, string]>} */
const GIVE = [[/^The largest part/, 'largest'], [/^Another pass/, 'next']];

/** Notes as they are shown: where the value stands in ink. @param {string[]} notes @param {(note: string) => boolean} main */
export const facts = (notes, main) => el('div', {class: 'facts'}, notes.map((n) => el('p', null, main(n) ? el('b', null, n) : n.split(/(?<=[.?!]) (?=[A-Z])/).map((sentence, i) => {
  const gives = i > 0 && GIVE.find(([begins]) => begins.test(sentence));
  return gives ? el('span', {class: `gives-${gives[1]}`}, ` ${sentence}`) : `${i ? ' ' : ''}${sentence}`;
}))));
