// What a run ended with: its finding and where it stands, or why it ended without one and what can be taken over.

import {climbOf, isFlow} from '../climb.mjs';
import {sheafOf} from '../draft.mjs';
import {el} from '../el.mjs';
import {plusMinus} from '../entry.mjs';
import {figureOf} from '../figures/index.mjs';
import {nozzleOf, ofRun, scene, switchOf} from '../page.mjs';
import {OUTDATED_S, ageS} from '../state.mjs';
import {wholeBlocks} from '../flow-steps.mjs';
import {pastOf} from '../steps.mjs';
import {capital, count, mm, t} from '../texts.mjs';
import {afterCheck, facts, kept, measuredIn} from './after-check.mjs';
import {afterDiameter, isDiameter, sectionOf} from './diameter.mjs';
import {faultOf} from './faults.mjs';
import {flowFinding, toNumbers} from './flow-end.mjs';
import {unlinked} from './foresee.mjs';
import {afterLadder, isLadder, rungsOf} from './ladder.mjs';
import {bigLine} from './working.mjs';

/** @param {Page} p @param {Run} run @returns {Sheet} */
export function ended(p, run) {
  const printer = p.state.printers[run.printer] ?? null;
  /** @type {Sheet} */
  const sheet = {
    key: `${run.id}/${run.state}`, ...ofRun(p, run), past: pastOf(run, p.state.events[run.id] ?? []),
    question: t(`ended.${run.state === 'underway' || run.state === 'asking' ? 'finished' : run.state}`).replace('check', isLadder(run.routine) ? 'ladder' : isFlow(run.routine) ? 'climb' : 'check'), problem: sheafOf(run.id).problem,
    action: {label: t('ended.back'), go: `#/printers/${run.printer}`},
  };
  const fault = printer?.line.state === 'halted' && Date.parse(printer.line.since) >= Date.parse(run.begun) ? printer.line.fault : '';
  if (printer && fault && run.state === 'failed') return {...sheet, question: t('ended.fault'), ...faultOf(printer, fault)};
  if (run.finding && isFlow(run.routine)) return flowFinding(p, sheet, run, run.finding);
  if (run.finding) return withFinding(p, sheet, run, run.finding);
  return without(p, sheet, run);
}

/** The numbers that a finding's figure is drawn from, as those of the question before it. @param {Run} run @param {Finding} f */
export function shownOf(run, f) {
  const value = (/** @type {string} */ name) => f.values?.find((v) => v.name === name);
  const next = value('steps_per_mm');
  return {commanded_mm: run.inputs?.commanded_mm, fed_mm: value('fed_mm')?.value, fed_u95_mm: value('fed_mm')?.u95, tolerance_percent: 1,
    old_steps_per_mm: value('measured_with_steps_per_mm')?.value, new_steps_per_mm: next?.value, new_u95_steps_per_mm: next?.u95,
    error_percent: value('error_percent')?.value, error_u95_percent: value('error_percent')?.u95, kind: f.kind};
}

/** @param {Page} p @param {Sheet} s @param {Run} run @param {Finding} f @returns {Sheet} */
function withFinding(p, s, run, f) {
  const ladder = isLadder(run.routine), figure = ladder ? 'rungs' : f.kind === 'change' ? 'finding' : f.kind === 'leave' ? 'leave' : f.kind === 'cannot_tell' ? 'cannot_tell' : run.routine === 'cable_check' || isDiameter(run.routine) ? f.kind : '';
  const main = f.values?.find((v) => v.name === 'steps_per_mm') ?? f.values?.find((v) => v.name === 'fed_mm') ?? f.values?.[0];
  const number = main && {value: main.name === 'steps_per_mm' ? main.value.toFixed(2) : mm(main.value), hollow: ['cannot_tell', 'not_held'].includes(f.kind),
    unit: `${main.u95 ? `±\u00a0${plusMinus(main.u95)} ` : ''}${main.unit}`};
  const standing = p.state.events[run.id]?.findLast((e) => e.kind === 'done' && e.name === 'apply')?.body?.standing ?? notWritten(f);
  const notes = [...(run.routine === 'cable_check' ? advice(f.notes ?? []) : [...(isDiameter(run.routine) ? sectionOf(f, p.state.printers[run.printer]?.setup) : []), ...f.notes ?? []])].sort((a, b) => Number(WHERE.test(b)) - Number(WHERE.test(a)));
  return {...s, question: f.kind === 'change' ? stands(standing, f, shownOf(run, f)) : `${f.headline}.`, reason: f.reason, figure, end: 'tip', reasonGives: true,
    scene: scene({run, printer: p.state.printers[run.printer] ?? null, shown: ladder ? {rungs: rungsOf(p, run)} : shownOf(run, f), nozzleC: nozzleOf(p.state.printers[run.printer] ?? null)}),
    body: [!figureOf(figure) && number && bigLine(number), facts(unlinked(notes), (n) => WHERE.test(n))],
    ...(ladder ? afterLadder(p, run, f.kind) : isDiameter(run.routine) ? afterDiameter(run, f.kind) : {links: afterCheck(p, run, f)})};
}

/** @param {Page} p @param {Sheet} s @param {Run} run @returns {Sheet} */
function without(p, s, run) {
  const printer = p.state.printers[run.printer] ?? null;
  const came = cameOf(p.state.events[run.id] ?? []);
  const blocks = isFlow(run.routine) ? wholeBlocks(p.state.events[run.id] ?? []) : 0;
  const measured = blocks > 0 || measuredIn(run, p.state.events[run.id] ?? []);
  const again = () => p.deeds.begin(run.id, {printer: run.printer, routine: run.routine, take_over: run.id});
  const lost = run.state === 'interrupted', unread = !printer || printer.line.state !== 'listening' || ageS(p.state, printer, p.now) > OUTDATED_S;
  const maybeHot = lost && (printer?.nozzle?.target_c ?? 0) > 0, figure = lost && unread && !(came && !maybeHot) ? 'interrupted' : came ? 'so_far' : undefined;
  return {...s, end: lost ? 'ragged' : 'tip', pointer: !lost, figure, scene: scene({run, printer, nozzleC: nozzleOf(printer), shown: came ?? {}}),
    reason: run.cause ? sentence(run.cause) : undefined,
    body: [maybeHot && el('p', {class: 'warn'}, t('ended.maybeHot'), ' ', switchOf(printer)), came && el('p', {class: 'warn'}, howFar(came))].filter(Boolean),
    action: measured ? {label: t('ended.takeOver'), act: again, busy: sheafOf(run.id).sending} : {label: t('ended.again'), go: `#/begin/${run.printer}${run.routine === 'feed_check' ? '' : `/${run.routine}`}`},
    links: [...(isFlow(run.routine) ? toNumbers(run, climbOf(p, run)) : []), {label: t('ended.leave'), go: `#/printers/${run.printer}`}],
    future: blocks ? [{bead: 'none', words: blocks === 1 ? t('flow.kept1') : t('flow.kept', {n: blocks})}] : measured ? kept(run) : []};
}

/** How far the program came that broke off; unsure is missing where nobody was there to count. @param {import('../shapes/types.mjs').Event[]} events @returns {{lines: number, of_lines: number, unsure?: number}|null} */
function cameOf(events) {
  const last = events.findLast((e) => e.kind === 'streamed' || e.kind === 'streaming');
  return last?.body?.of_lines ? {lines: last.body.lines ?? 0, of_lines: last.body.of_lines, unsure: last.kind === 'streamed' ? last.body.unsure ?? 0 : undefined} : null;
}

/** @param {{lines: number, unsure?: number}} came */
function howFar(came) {
  if (came.unsure === undefined) return t('stream.atLeast');
  if (came.unsure === 0) return t('stream.allSure', {n: count(came.lines)});
  return came.unsure === 1 ? t('stream.notSure1') : t('stream.notSure', {n: count(came.unsure)});
}

/** What to do in one breath, so that a small screen has all of it; what the printer said stands by itself. @param {string[]} notes */
function advice(notes) {
  const said = notes.filter((n) => n.startsWith('The printer said'));
  return [notes.filter((n) => !said.includes(n)).join(' '), ...said].filter(Boolean);
}

/** The note that says where the value stands comes first. */
const WHERE = /^(Written|In use until|Not written)/;

/** @param {Finding} f */
const notWritten = (f) => f.notes?.some((n) => n.startsWith('Not written')) ? 'not written' : '';

/** What became of the new value, as a headline. @param {string} standing @param {Finding} f @param {{old_steps_per_mm?: number, new_steps_per_mm?: number}} v */
function stands(standing, f, v) {
  const next = v.new_steps_per_mm?.toFixed(2) ?? '', old = v.old_steps_per_mm?.toFixed(2) ?? '';
  switch (standing) {
    case 'verified': return t('ended.changed', {value: next});
    case 'written, not verified': return t('ended.unproved', {value: next});
    case 'set, not stored': return t('ended.notStored', {value: next});
    case 'not written': return t('ended.left', {value: old});
  }
  return `${f.headline}.`;
}

/** @param {string} s */
const sentence = (s) => capital(s) + (/[.!?]$/.test(s) ? '' : '.');
