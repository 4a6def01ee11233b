// A run of the flow limit while it climbs: what was heard instead of a number is said with one thumb, the gear's marks by
// their drawing, and the curve so far stands where there is room.

import {byFlow, climbOf, lengthMM, readOf} from '../climb.mjs';
import {sheafOf} from '../draft.mjs';
import {el} from '../el.mjs';
import {small} from '../figures/climb.mjs';
import {stageSize} from '../stage.mjs';
import {t} from '../texts.mjs';
import {keyOf, question} from './question.mjs';

/** @param {Page} p @param {Run} run @param {Question} q @returns {Sheet} */
export function flowQuestion(p, run, q) {
  if (q.figure === 'bite') return bite(p, run, q);
  if (q.figure === 'leftover') return leftover(p, run, q);
  const sheet = withCurve(p, run, question(p, run, q)), {commanded_mm: block, flows_mm3_per_s: flows} = q.shown ?? {};
  return q.figure === 'air' && sheet.scene && flows ? {...sheet, scene: {...sheet.scene, shown: {...q.shown, commanded_mm: lengthMM(flows.length, block)}}} : sheet;
}

/** Where something has been read, and no pad needs the room. @param {Page} p @param {Run} run @param {Sheet} sheet @returns {Sheet} */
export function withCurve(p, run, sheet) {
  const climb = climbOf(p, run), read = readOf(climb.blocks), size = stageSize();
  if (read.length === 0) return sheet;
  const drawn = el('a', {class: 'small', href: `#/runs/${run.id}/curve`}, small(byFlow(read), climb, Math.max(180, size.right - size.col)), el('span', null, t('small.link')));
  return {...sheet, body: [...(sheet.body ?? []).filter(Boolean), drawn]};
}

/** How many cells there are for what is no number: two that were heard, and one for a mark that is gone. */
const HEARD = ['clicking', 'grinding'];

/** @type {Record<string, TextID>} */
const SHORT = {clicking: 'flow.clicked', grinding: 'flow.ground', mark_went_in: 'flow.in', filament_came_out: 'flow.out'};

/** @param {Page} p @param {Run} run @param {Question} q @returns {Sheet} */
function leftover(p, run, q) {
  const sheet = question(p, run, q), key = keyOf(run), choices = q.fields.find((f) => f.kind === 'choice')?.choices ?? [];
  if (!choices.some((c) => HEARD.includes(c.value))) return sheet;
  const sheaf = sheafOf(key), gone = sheet.scene?.draft.verdict === 'impossible' ? 'filament_came_out' : 'mark_went_in', offered = choices.filter((c) => HEARD.includes(c.value) || c.value === gone);
  const pick = offered.some((c) => c.value === sheaf.pick) ? sheaf.pick : '', choose = (/** @type {string} */ value) => p.deeds.write(key, {pick: value === pick ? '' : value, problem: null});
  const send = () => p.deeds.answer(key, run.id, q.number, {instead: pick}), keys = sheet.keys;
  const below = pick ? t(HEARD.includes(pick) ? 'flow.ends' : 'flow.instead') : sheet.scene?.draft.verdict === 'empty' ? t('flow.type') : '', [number, told, ...rest] = sheet.entry ?? [];
  return {...sheet, entry: [number, below ? el('p', {class: 'derived', id: 'derived', role: 'status', 'aria-live': 'polite'}, below) : told, ...rest], links: sheet.links?.filter((l) => !choices.some((c) => c.label === l.label)),
    action: pick ? {label: t(/** @type {TextID} */ (`flow.end.${pick}`)), act: send, busy: sheaf.sending} : sheet.action,
    keys: (k) => { if (pick && k === 'enter') send(); else { if (pick) p.deeds.write(key, {pick: ''}); keys?.(k); } },
    grades: [el('div', {class: 'cells thin', role: 'group', 'aria-label': t('flow.heard')}, offered.map((c) => el('button', {type: 'button', class: 'cell', 'aria-pressed': c.value === pick ? 'true' : 'false', on: {click: () => choose(c.value)}}, t(SHORT[c.value]))))]};
}

/** Nothing is proposed here: a touch chooses, and only then there is something to record. @param {Page} p @param {Run} run @param {Question} q @returns {Sheet} */
function bite(p, run, q) {
  const sheet = question(p, run, q), pick = sheafOf(keyOf(run)).pick, choices = q.fields[0]?.choices ?? [], chosen = choices.find((c) => c.value === pick), others = choices.filter((c) => c.value === 'unseen');
  const send = (/** @type {string} */ value) => p.deeds.answer(keyOf(run), run.id, q.number, {bite: value});
  return {...sheet, action: chosen ? {label: chosen.label, act: () => send(pick), busy: sheafOf(keyOf(run)).sending} : {label: t('bite.choose'), busy: true},
    links: [...others.map((c) => ({label: c.label, act: () => send(c.value)})), ...(sheet.links ?? []).filter((l) => l.minor)], keys: (k) => { if (k === 'enter' && chosen) send(pick); }};
}

/** What is fed, by the act's own number; what is fed before a mark is not counted. @param {Page} p @param {Run} run @param {Doing} d */
export function flowFeeding(p, run, d) {
  const name = (p.state.events[run.id] ?? []).findLast((e) => e.kind === 'begun')?.name ?? '', block = /^feed (\d+)/.exec(name)?.[1], counted = block !== undefined || (d.of_mm === run.inputs?.block_mm && !name.startsWith('pre-feed'));
  if (!counted) return {figure: 'pre_feed', question: t('work.preFeed'), reason: t('work.preFeed2'), ordered: run.inputs?.block_mm ?? 0};
  return {figure: 'feeding', question: block ? t('flow.feeding', {n: block}) : t('work.feeding'), reason: t('flow.feeding2'), ordered: d.of_mm};
}
