// A run of a ladder: its next piece with what is held, a piece while it is printed, and what to do after a finding.

import {sheafOf} from '../draft.mjs';
import {el} from '../el.mjs';
import {drawingOf} from '../figures/piece.mjs';
import {GRADES} from '../figures/strings.mjs';
import {about, mm, t} from '../texts.mjs';
import {recordedOf} from './grades.mjs';
import {keyOf, question} from './question.mjs';

const LADDERS = Object.freeze(['travel_ladder', 'retraction_ladder']);

/** @param {string|undefined} routine */
export const isLadder = (routine) => LADDERS.includes(routine ?? '');

/** A number that is held, with its unit. @param {any} h */
const heldOf = (h) => `${String(h.label ?? '').toLowerCase()} ${typeof h.value === 'number' ? mm(h.value) : h.value}\u00a0${h.unit ?? ''}`.trim();

/** The next piece. @param {Page} p @param {Run} run @param {Question} q @returns {Sheet} */
export function nextPiece(p, run, q) {
  const s = q.shown ?? {}, sheet = question(p, run, q), left = Math.max(1, Math.round(s.prints_left ?? 1));
  const cost = s.minutes ? t('next.cost', {minutes: about(s.minutes * 60), metres: mm(s.filament_m ?? 0), left: left === 1 ? t('next.left1') : t('next.left', {n: left})}) : undefined;
  const [first, ...more] = (q.warning ?? []).map((w) => w.replace(/^(Warning|Caution)\. /, ''));
  if (sheafOf(keyOf(run)).open) {
    return {...sheet, key: `${sheet.key}/held`, question: t('next.held.q'), reason: t('next.held.why'), figure: undefined, warn: undefined, action: undefined, links: [], future: [], end: 'tip',
      long: [el('div', {class: 'controls'}, el('dl', {class: 'pairs'}, s.held.flatMap((/** @type {any} */ h) => [el('dt', null, h.label), el('dd', null, el('b', null, `${mm(h.value)}\u00a0${h.unit}`))])))], foot: [{label: t('back'), act: () => p.deeds.write(keyOf(run), {open: false})}]};
  }
  return {...sheet, links: [...(sheet.links ?? []), ...(s.held?.length ? [{label: t('next.all'), minor: true, act: () => p.deeds.write(keyOf(run), {open: true})}] : [])], reasonGives: true, warn: undefined, future: [], body: undefined,
    entry: [first && el('p', {class: 'fact'}, el('b', null, first)), more.length ? el('p', {class: 'fact more'}, more.join(' ')) : null, cost && el('p', {class: 'fact'}, cost),
      Array.isArray(s.held) && s.held.length ? el('p', {class: 'fact held'}, t('next.held', {held: [...new Set([...s.held.slice(0, 2), s.held.at(-1)])].map(heldOf).join(', ')})) : null]};
}

/** The part under way: "piece 2 band C" is the third band of the second piece. @param {Page} p @param {Run} run */
export function partOf(p, run) {
  const events = p.state.events[run.id] ?? [], [, piece = '', what = ''] = /^piece (\d+) (.*)$/.exec(events.findLast((e) => e.kind === 'begun' && e.name?.startsWith('piece '))?.name ?? '') ?? [];
  const shown = events.findLast((e) => e.kind === 'asked' && e.name === `piece ${piece}`)?.body?.shown ?? {}, d = drawingOf(shown.drawing), n = d?.bands.length ?? 8;
  const band = what === 'foot' ? 0 : what === 'end' ? n + 1 : (d?.bands.findIndex((b) => `band ${b.letter}` === what) ?? 0) + 1;
  const doing = run.doing ?? {what: ''}, part = doing.of_lines ? (doing.lines ?? 0) / doing.of_lines : 0;
  // The bands take alike, and foot and end together about as long as one: so the rest is known as well as it need be.
  const restS = (shown.minutes ?? 0) * 60 / (n + 1) * Math.max(0, n - Math.max(band, 0)) + (doing.left_s ?? 0);
  return {piece, band, part, drawing: shown.drawing, leftS: restS};
}

/** The run's figure and words while a piece is printed. @param {Page} p @param {Run} run */
export function printingOf(p, run) {
  const at = partOf(p, run);
  return {figure: 'printing', question: at.piece ? t('printing.q', {n: at.piece}) : t('printing.q0'), reason: t('printing.reason'), shown: at};
}

/** What was printed in a ladder, and its worst grades. @param {Page} p @param {Run} run */
export const rungsOf = (p, run) => recordedOf(p, run).flatMap((body) => body.bands.filter((/** @type {any} */ b) => GRADES[b.grade]).map((/** @type {any} */ b) => ({value: b.value, grade: Math.max(b.grade, ...(b.gaps ?? []).map((/** @type {any} */ g) => g.grade ?? 0))})));

/** What to do after a finding. @param {Page} p @param {Run} run @param {string} kind @returns {Partial<Sheet>} */
export function afterLadder(p, run, kind) {
  const docket = `#/dockets/${run.printer}/${run.material ?? ''}`, begin = `#/begin/${run.printer}/${run.routine}`, pieces = recordedOf(p, run).map((b) => b.piece);
  const action = kind === 'found' ? {label: t('ladder.to.found'), go: docket} : {label: t(kind === 'later' ? 'ladder.to.later' : 'ladder.to.again'), go: begin};
  return {action, links: [...pieces.slice(-3).map((n) => ({label: t('ladder.judged', {n}), go: `#/runs/${run.id}/graded/${n}`})), {label: t('ended.leave'), go: `#/printers/${run.printer}`}]};
}
