// The machine works for a run: what it does, how far it is, and why. Only what moves on the machine moves here.

import {isFlow} from '../climb.mjs';
import {el} from '../el.mjs';
import {figureOf} from '../figures/index.mjs';
import {nozzleOf, ofRun, scene} from '../page.mjs';
import {OUTDATED_S, ageS, silent, streams} from '../state.mjs';
import {futureOf, pastOf} from '../steps.mjs';
import {about, capital, count, t} from '../texts.mjs';
import {hereOf, lengthOf} from '../ways.mjs';
import {flowFeeding, withCurve} from './flow.mjs';
import {isLadder, printingOf} from './ladder.mjs';

/** @typedef {{figure: string, question: string, reason: string, shown?: object, c?: number, ordered?: number, number?: {value: string, unit: string, of: string, hollow?: boolean}}} Work */

/** @param {Page} p @param {Run} run @returns {Sheet} */
export function working(p, run) {
  const printer = p.state.printers[run.printer] ?? null;
  const work = workOf(p, run), lost = silent(p.state, p.now);
  const drawn = figureOf(work.figure) !== null && !lost;
  /** @type {Sheet} */
  const sheet = {
    key: `${run.id}/${work.figure}${lost ? '/lost' : ''}`, ...ofRun(p, run, 'underway'), pointer: false, end: lost ? 'ragged' : 'tip',
    past: pastOf(run, p.state.events[run.id] ?? []),
    question: lost ? t('work.lost', {what: work.question.replace(/\.$/, '')}) : work.question, reason: lost ? t('work.lost2') : work.reason, figure: drawn ? work.figure : undefined,
    scene: scene({run: work.ordered === undefined ? run : {...run, inputs: {...run.inputs, commanded_mm: work.ordered}}, printer, nozzleC: work.c ?? nozzleOf(printer), shown: work.shown ?? {...run.inputs, ...run.doing}}),
    body: !drawn && work.number ? [bigLine({...work.number, hollow: lost || work.number.hollow}), el('p', null, work.number.of)] : undefined,
    future: futureOf(run),
  };
  return isFlow(run.routine) && !lost ? withCurve(p, run, sheet) : sheet;
}

/** A large number on its line, where no figure draws it. @param {{value: string, unit: string, hollow?: boolean}} n */
export const bigLine = (n) => el('p', {class: `big-line ${n.hollow ? 'hollow' : ''} ${n.unit.length > 4 ? 'long' : ''}`}, el('b', null, n.value), el('span', null, n.unit));

/** @param {Page} p @param {Run} run @returns {Work} */
function workOf(p, run) {
  const printer = p.state.printers[run.printer], d = run.doing;
  if (d && streams(run)) return isLadder(run.routine) ? printingOf(p, run) : streaming(run, d);
  switch (d?.what) {
    case 'heating': case 'cooling': return {...heat(p, printer, d.what, d.target_c ?? 0), ...(d.what === 'heating' && isLadder(run.routine) ? {reason: t('printing.reason')} : {})};
    case 'heating the bed': return {figure: 'heating_bed', question: t('heatingBed.q'), reason: t('heatingBed.why'), c: printer?.bed?.c ?? NaN};
    case 'feeding': return isFlow(run.routine) ? climbing(p, run, d) : feeding(run, d);
    case 'waiting for the line': return {figure: 'line', question: t('work.line'), reason: printer?.line.why ? t('work.line2', {state: printer.line.state}) : ''};
    case 'restoring': return {figure: 'restoring', question: t('work.restoring'), reason: t('work.restoring2')};
    case 'setting multipliers aside': return {figure: 'restoring', question: t('work.aside'), reason: t('work.aside2')};
  }
  return {figure: 'moment', question: t('work.moment'), reason: t('work.moment2')};
}

/** @param {Page} p @param {Printer|undefined} printer @param {'heating'|'cooling'} what @param {number} targetC @returns {Work} */
function heat(p, printer, what, targetC) {
  const c = printer?.nozzle?.c, old = printer ? ageS(p.state, printer, p.now) > OUTDATED_S : true;
  const number = c === undefined ? undefined : {value: String(Math.round(c)), unit: '°C', of: what === 'heating' ? t('work.of', {of: `${Math.round(targetC)}\u00a0°C`}) : t('work.off'), hollow: old};
  return what === 'heating' ? {figure: 'heating', question: t('work.heating'), reason: t('work.heating2'), number}
    : {figure: 'cooling', question: targetC > 0 ? t('cool.q', {c: Math.round(targetC)}) : t('work.cooling'), reason: t(targetC > 0 ? 'cool.why' : 'work.cooling2'), number};
}

/** A program under way: the act's own words say what it is for. @param {Run} run @param {Doing} d @returns {Work} */
const streaming = (run, d) => ({figure: 'streaming', question: d.what === 'streaming' ? t(run.routine === 'cable_check' ? 'stream.isCable' : 'stream.is') : `${capital(d.what)}.`, reason: t(run.routine === 'cable_check' ? 'stream.cable' : 'stream.why'),
  number: {value: count(d.lines ?? 0), unit: t('stream.lines'), of: [t('stream.of', {of: count(d.of_lines ?? 0)}), d.left_s ? t('stream.left', {left: about(d.left_s)}) : ''].filter(Boolean).join(', ')}});

/** A block of a climb, or what is fed before its mark. @param {Page} p @param {Run} run @param {Doing} d @returns {Work} */
function climbing(p, run, d) {
  const work = flowFeeding(p, run, d), of = `${d.of_mm}\u00a0mm`;
  return {...work, number: {value: (d.fed_mm ?? 0).toFixed(1), unit: 'mm', of: work.figure === 'pre_feed' ? t('work.notCounted', {of}) : t('work.of', {of})}};
}

/** What is fed before it counts, and what counts, each by its own way. @param {Run} run @param {Doing} d @returns {Work} */
function feeding(run, d) {
  const tube = run.inputs?.method === 'tube_end', step = d.of_mm === run.inputs?.commanded_mm && !tube ? 'feed' : hereOf(run), of = `${d.of_mm}\u00a0mm`;
  const number = {value: (d.fed_mm ?? 0).toFixed(1), unit: 'mm', of: t('work.notCounted', {of})}, before = {figure: 'pre_feed', ordered: 0, number};
  if (step === 'heat') return {...before, question: t('warm.q'), reason: t('warm.why')};
  if (step === 'out') return {...before, question: t('out.q'), reason: t('out.why')};
  if (step === 'pre-feed') return {...before, question: t('work.preFeed'), reason: t('work.preFeed2')};
  return {figure: 'feeding', ordered: d.of_mm, question: step === 'feeds' ? t('block.q', {n: lengthOf(run)}) : t('work.feeding'), reason: t('work.feeding2'), number: {...number, of: t('work.of', {of})}};
}
