// A run's open question: its own words, its figure, and an answer made from its fields. A question that no figure knows is
// asked all the same.

import {sheafOf} from '../draft.mjs';
import {el} from '../el.mjs';
import {judge, typed} from '../entry.mjs';
import {nozzleOf, ofRun, scene} from '../page.mjs';
import {derived, pad, readout} from '../pad.mjs';
import {futureOf, pastOf} from '../steps.mjs';
import {FORESEEN, foresee} from './foresee.mjs';
import {capital, mm, t, time} from '../texts.mjs';

/** What is read off a gauge is typed: a number that lies ready would invite agreement. */
const MEASURED = new Set(['flags', 'near_flag', 'far_flag', 'lengths', 'cut_piece']);

/** @param {Run} run */
export const keyOf = (run) => `${run.id}/${run.question?.number ?? run.state}`;

/** @param {Page} p @param {Run} run @param {Question} q @returns {Sheet} */
export function question(p, run, q) {
  const printer = p.state.printers[run.printer] ?? null, key = keyOf(run), sheaf = sheafOf(key);
  const number = q.fields.find((f) => f.kind === 'number') ?? null;
  const proposed = number && !MEASURED.has(q.figure) ? number.default ?? q.shown?.[number.name] : undefined; // one touch says it; the agent takes no answer without it
  const draft = judge(sheaf.text || (proposed !== undefined && !sheaf.open ? mm(proposed) : sheaf.text), number, q.derived);
  const type = (/** @type {string} */ text) => p.deeds.write(key, {text, open: true, problem: null});
  const choose = (/** @type {string} */ pick) => p.deeds.write(key, {pick, problem: null});
  const asked = number && (proposed === undefined || sheaf.open);
  /** @type {Sheet} */
  const sheet = {
    key, ...ofRun(p, run, 'asking'),
    past: pastOf(run, p.state.events[run.id] ?? []), question: q.text, reason: q.reason, reasonGives: asked === true,
    warn: [wentCold(p.state.events[run.id] ?? [], q.number) && t('cooled'), ...(q.warning ?? [])].filter(Boolean).join(' '), figure: q.figure, problem: sheaf.problem,
    scene: scene({question: q, shown: q.shown ?? {}, run, printer, draft, typing: asked === true, nozzleC: nozzleOf(printer), pick: sheaf.pick, type, choose}),
    quiet: wentCold(p.state.events[run.id] ?? [], q.number) ? undefined : quietOf(q, printer), future: asked ? [] : futureOf(run),
  };
  const send = (/** @type {object} */ answer) => p.deeds.answer(key, run.id, q.number, answer);
  if (number) numbered(sheet, {p, q, number, draft, type, send, open: asked === true, busy: sheaf.sending});
  else chosen(sheet, q, sheaf.pick, send, sheaf.sending);
  if (FORESEEN.has(q.figure)) foresee(sheet, {p, run, q, send});
  if (mayTakeBack(p.state.events[run.id] ?? [])) {
    sheet.links = [...(sheet.links ?? []), {label: t('takeBack'), says: t('takeBack2'), minor: true, act: () => p.deeds.takeBack(key, run.id)}];
  }
  return sheet;
}

/** What stays hot while nobody answers, and until when. @param {Question} q @param {Printer|null} printer */
function quietOf(q, printer) {
  const at = q.cools_at ? time(Date.parse(q.cools_at)) : '';
  if (q.figure !== 'go_on') return at ? t('coolsAt', {at}) : undefined;
  const hot = [printer?.nozzle?.target_c ? t('goOn.nozzle', {c: Math.round(printer.nozzle.target_c)}) : '', printer?.bed?.target_c ? t('goOn.bed', {c: Math.round(printer.bed.target_c)}) : ''].filter(Boolean);
  return hot.length ? capital(t(at ? 'goOn.until' : 'goOn.hot', {what: hot.join(` ${t('and')} `), at})) : t('goOn.cold');
}

/**
 * @param {Sheet} s
 * @param {{p: Page, q: Question, number: Field, draft: Draft, type: (text: string) => void,
 *   send: (answer: object) => void, open: boolean, busy: boolean}} o
 */
function numbered(s, o) {
  const {q, number, draft} = o;
  const press = (/** @type {string} */ key) => o.type(typed(draft.text, key, number.step));
  const record = () => { if (draft.value !== null && ['fine', 'unlikely'].includes(draft.verdict)) o.send({[number.name]: draft.value}); };
  const gauge = q.shown?.gauge ? t(gaugeWord(q.shown.gauge)) : undefined;
  if (o.open) {
    s.entry = [readout({draft, label: number.label, unit: number.unit ?? '', gauge, type: o.type}), derived(q, draft, number), pad(press)];
    s.keys = (key) => key === 'enter' ? record() : press(key);
    s.warn = s.warn?.startsWith(t('cooled')) ? t('cooled') : undefined;
  } else {
    s.keys = (key) => key === 'enter' ? record() : o.type(typed('', key, number.step));
    s.low = true;
  }
  const words = `${draft.text}\u00a0${number.unit ?? ''}`;
  s.action = {label: o.open ? LABELS[draft.verdict](words) : t('entry.as', {number: words}), act: draft.verdict === 'impossible' || draft.verdict === 'refused' ? () => o.type('') : record, busy: o.busy};
  s.links = o.open ? instead(q, draft, o.send) : [{label: t('entry.other'), act: () => o.type('')}];
}

/** @param {string} gauge */
const gaugeWord = (gauge) => gauge.endsWith('caliper') ? 'gauge.caliper' : gauge === 'own' ? 'gauge.own' : 'gauge.rule';

/** @type {Record<Draft['verdict'], (words: string) => string>} */
const LABELS = {
  empty: () => t('entry.record0'), fine: (number) => t('entry.record', {number}), unlikely: () => t('entry.anyway'),
  impossible: () => t('entry.again'), refused: () => t('entry.again'),
};

/** What can be said instead of a number: of two, the one that fits what is typed. @param {Question} q @param {Draft} d @param {(answer: object) => void} send @returns {Way[]} */
function instead(q, d, send) {
  const field = q.one_of ? q.fields.find((f) => f.kind === 'choice') : undefined;
  const choices = field?.choices ?? [];
  const fits = choices.filter((c) => c.value !== (d.verdict === 'impossible' ? 'mark_went_in' : 'filament_came_out'));
  return fits.map((c) => ({label: c.label, act: () => send({[field?.name ?? '']: c.value})}));
}

/** A yes or a choice: the way whose drawing was touched, or the first, is the action; the others are links. @param {Sheet} s @param {Question} q @param {string} pick @param {(answer: object) => void} send @param {boolean} busy */
function chosen(s, q, pick, send, busy) {
  const ways = q.fields.length === 1 ? waysOf(q.fields[0], send) : [], at = Math.max(0, q.fields[0]?.choices?.findIndex((c) => c.value === pick) ?? 0);
  const first = ways[at], others = ways.filter((_, i) => i !== at);
  if (first) {
    s.action = {...first, busy};
    s.links = others;
    s.keys = (key) => { if (key === 'enter') first.act?.(); };
  } else {
    s.entry = [el('p', null, t('unknownQuestion'))];
  }
}

/** @param {Field} f @param {(answer: object) => void} send @returns {Way[]} */
function waysOf(f, send) {
  if (f.kind === 'choice') return (f.choices ?? []).map((c) => ({label: c.label, act: () => send({[f.name]: c.value})}));
  if (f.kind !== 'yes') return [];
  const yes = {label: f.label, act: () => send({[f.name]: f.must ?? true})};
  return f.must === undefined ? [yes, {label: t('notNow'), act: () => send({[f.name]: false})}] : [yes];
}

/** The heater went off by itself while this question waited. @param {import('../shapes/types.mjs').Event[]} events @param {number} number */
const wentCold = (events, number) => events.slice(events.findLastIndex((e) => e.kind === 'asked' && e.question === number)).some((e) => e.kind === 'cooled');

/** The last answer can be taken back while nothing has been done on it; the runner's own questions are asked anew instead. @param {import('../shapes/types.mjs').Event[]} events */
function mayTakeBack(events) {
  const last = events.findLast((e) => ['begun', 'done', 'taken_back'].includes(e.kind) || (e.kind === 'answered' && !e.name?.startsWith('runner: ')));
  return last?.kind === 'answered';
}
