// What a printer is fitted with, one question at a time. What is said is kept until the last one, then stored as one version.

import {drop, sheafOf} from '../draft.mjs';
import {el} from '../el.mjs';
import {judge, typed} from '../entry.mjs';
import {cells} from '../form.mjs';
import {head, loadedOn, nozzleOf, printerOf, scene} from '../page.mjs';
import {pad, readout} from '../pad.mjs';
import {mm, t} from '../texts.mjs';
import {linesOf, setupOf, stepsOf} from '../fitting.mjs';
import {sectionOf} from '../figures/limit.mjs';

/** @typedef {import('../fitting.mjs').Step} Step */

/** @param {Page} p @returns {Sheet} */
export function setup(p) {
  const printer = printerOf(p, p.route[1]);
  if (!printer) return {key: 'setup/reading', question: t('run.reading'), end: 'none', pointer: false};
  const key = `setup/${printer.id}`, sheaf = sheafOf(key), values = sheaf.fields;
  const steps = stepsOf(printer.setup ?? null, values), at = Math.min(sheaf.step, steps.length);
  const past = steps.slice(0, at).map((s) => ({bead: /** @type {const} */ ('ring'), strong: said(s, values), words: t(s.short)}));
  /** @type {Sheet} */
  const sheet = {key: `${key}/${at}`, printer: printer.id, colour: loadedOn(p, printer.id)?.colour_hex, head: head(p, printer, t('foot.setup'), 'asking'), past, question: '',
    future: steps.slice(at + 1).map((s) => ({bead: /** @type {const} */ ('none'), words: t(s.short)})), problem: sheaf.problem,
    links: [at > 0 ? {label: t('setup.back'), act: () => p.deeds.write(key, {step: at - 1, problem: null})} : {label: t('back'), go: `#/printers/${printer.id}`}]};
  if (at === steps.length) return whole(p, sheet, key, printer);
  const step = steps[at], text = values[step.name] ?? step.usual;
  const set = (/** @type {string} */ v) => p.deeds.write(key, {fields: {...sheafOf(key).fields, [step.name]: v}, problem: null});
  const next = () => p.deeds.write(key, {step: at + 1, fields: {...sheafOf(key).fields, [step.name]: text}});
  const common = {...sheet, question: t(step.question), reason: t(step.reason), reasonGives: step.kind === 'number', figure: step.figure};
  const draw = scene({printer, nozzleC: nozzleOf(printer), pick: text, choose: set, type: set, shown: usual(steps, values), draft: judge(text, field(step)), typing: step.figure !== 'tube'});
  if (step.kind === 'choice') return {...common, ...chosen(step, text, set, next), scene: draw};
  if (step.kind === 'lines') return {...common, ...written(step, text, set, next)};
  const number = numbered(step, text, sheaf.fields[step.name] !== undefined, set, next);
  return {...common, ...(step.figure === 'tube' ? {...number, entry: undefined} : number), scene: draw};
}

/** What was said, and what holds where nothing was said. @param {Step[]} steps @param {Record<string, string>} values */
const usual = (steps, values) => Object.fromEntries(steps.map((s) => [s.name, values[s.name] ?? s.usual]));

/** A choice by drawn cells in the dock's place, or by touching the figure itself. @param {Step} s @param {string} text @param {(v: string) => void} set @param {() => void} next @returns {Partial<Sheet>} */
function chosen(s, text, set, next) {
  if (s.name === 'retracts') return {entry: [cells(t(s.question), s.choices ?? [], text, set), el('p', {class: 'gap'})], action: {label: t('setup.choose', {value: said(s, {[s.name]: text})}), act: next}, keys: (k) => { if (k === 'enter') next(); }};
  const action = text ? {label: t('setup.choose', {value: said(s, {[s.name]: text})}), act: next} : undefined;
  const keys = (/** @type {string} */ k) => { if (k === 'enter' && text) next(); };
  if (s.figure === 'liner') return {action, keys, future: [], grades: [cells(t(s.question), (s.choices ?? []).map((c) => ({...c, drawing: sectionOf(c.value)})), text, set)]};
  return {action, keys};
}

/** Lines of the printer's own words. @param {Step} s @param {string} text @param {(v: string) => void} set @param {() => void} next @returns {Partial<Sheet>} */
const written = (s, text, set, next) => ({future: [], action: {label: t(text.trim() ? 'setup.these' : 'setup.none'), act: next},
  entry: [el('textarea', {class: 'lines', rows: 5, 'aria-label': t(s.question), autocapitalize: 'characters', spellcheck: 'false', value: text, on: {input: (/** @type {any} */ e) => set(e.target.value)}}), el('p', {class: 'gap'})]});

/** @param {Step} s @returns {Field} */
const field = (s) => ({name: s.name, label: t(s.short), kind: 'number', unit: s.unit, min: s.min, max: s.max});

/** A usual value is typed over by the first key. @param {Step} s @param {string} text @param {boolean} touched @param {(v: string) => void} set @param {() => void} next */
function numbered(s, text, touched, set, next) {
  const draft = judge(text, field(s));
  const press = (/** @type {string} */ k) => set(typed(touched || k === 'back' ? text : '', k));
  const words = said(s, {[s.name]: text}), free = s.optional === true && text === '', on = () => { if (draft.verdict === 'fine' || free) next(); };
  const range = draft.verdict === 'fine' || draft.verdict === 'empty' ? '' : t('setup.range', {min: mm(s.min ?? 0), max: mm(s.max ?? 0), unit: s.unit ?? ''});
  return {entry: [readout({draft, label: t(s.short), unit: s.unit ?? '', type: set}), el('p', {class: 'derived', role: 'status'}, range), pad(press)], future: [],
    action: {label: free ? t('setup.none') : t('setup.record', {value: draft.verdict === 'fine' ? words : ''}).trim(), act: on},
    keys: (/** @type {string} */ k) => { if (k === 'enter') on(); else press(k); }};
}

/** @param {Step} s @param {Record<string, string>} values */
function said(s, values) {
  const v = values[s.name] ?? s.usual;
  if (s.name === 'quarter_turns') return v === '1' ? t('fit.turn') : t('fit.turns', {n: v});
  if (s.kind === 'lines') { const n = linesOf(v).length; return n === 0 ? t('fit.empty') : n === 1 ? t('fit.line') : t('fit.lines', {n}); }
  if (s.optional && v === '') return t('fit.empty');
  return s.kind === 'choice' ? s.choices?.find((c) => c.value === v)?.label ?? v : `${v}\u00a0${s.unit}`.trim();
}

/** @param {Page} p @param {Sheet} sheet @param {string} key @param {Printer} printer @returns {Sheet} */
function whole(p, sheet, key, printer) {
  const body = setupOf(printer.setup ?? null, sheafOf(key).fields);
  const store = () => void p.deeds.ask(key, 'PUT', `/v1/printers/${printer.id}/setup`, body, () => { drop(key); p.deeds.go(`#/printers/${printer.id}`); });
  return {...sheet, question: t('setup.whole', {name: printer.name}), reason: t('setup.whole2'), future: [],
    action: {label: t('setup.store'), act: store, busy: sheafOf(key).sending}};
}
