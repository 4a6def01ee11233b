// Draws a sheet as one column: the strand from above, the question at the pointer, the figure, the controls, what is to come.

import {el} from './el.mjs';
import {figureOf} from './figures/index.mjs';
import {stage, stageSize} from './stage.mjs';
import {shades} from './paint.mjs';
import {glyph, nose, row, thread} from './strand.mjs';
import {t} from './texts.mjs';

const QUIET = 96; // px: a sentence of two lines above an action of two, at the foot of a figure with its number

const LONG = 60; // characters: a question that takes more than three lines is set smaller

/** @param {Sheet} s @param {number} give how much gives way @param {boolean} still */
export function column(s, give, still) {
  const figure = s.figure ? figureOf(s.figure) : null;
  const carried = figure?.strand === 'carries' || figure?.strand === 'turns' || s.end === 'through';
  const end = carried ? 'through' : s.end ?? 'tip';
  const gives = Array.from({length: give}, (_, i) => `g${i + 1}`).join(' ');
  const above = figure?.place === 'above', over = figure?.place === 'beside';
  const draw = figure && s.scene ? (/** @type {Kid[]} */ ...kids) => stage(figure, /** @type {any} */ (s.scene), {still, over, extra: s.low && s.quiet ? QUIET : 0}, kids) : () => null;
  const dashed = !carried && end !== 'none' && !s.long;
  return el('div', {class: `column ${s.long ? '' : 'fixed'} ${over ? 'beside' : ''} ${above ? 'above' : ''} ${figure ? 'drawn' : ''} ${gives}`, key: s.key},
    el('div', {class: 'done'}, thread(above || end !== 'through' ? end : 'through'), s.posts ? posts(s) : head(s), el('ol', {class: `past ${s.rows ? 'all' : ''}`, 'aria-label': t('past')}, s.rows ?? (s.past ?? []).map(row))),
    el('div', {class: `rest ${dashed ? 'dashed' : end === 'none' ? 'bare' : ''}`},
      above && draw(),
      ask(s, carried && !above),
      s.body && el('div', {class: 'controls body'}, carried && !above && thread('through'), s.body),
      over ? draw(el('div', controlProps(figure, s), controls(s))) : [!above && draw(), controlsBelow(s)],
      s.long && el('div', {class: 'long'}, s.long),
      s.future?.length ? el('ol', {class: 'future', 'aria-label': t('future')}, s.future.map(row)) : null),
    s.grades && el('div', {class: 'grades'}, s.grades),
    s.foot?.length ? el('nav', {class: 'foot', 'aria-label': t('more')}, s.foot.map(link)) : null);
}

/** @param {Figure} figure @param {Sheet} s */
function controlProps(figure, s) {
  const f = stageSize();
  return {class: `controls ${s.low ? 'low' : ''}`, vars: {'padding-left': `${figure.inset ? figure.inset(f) : f.col}px`}};
}

/** @param {Sheet} s */
function controlsBelow(s) {
  const inside = controls(s).filter(Boolean);
  return inside.length ? el('div', {class: 'controls'}, inside) : null;
}

/** @param {Sheet} s */
function head(s) {
  const h = s.head;
  return el('header', {class: 'head'}, el('b', null, h?.name ?? 'Fettle'), h?.sub && el('span', {class: 'sub'}, h.sub),
    (h?.state || h?.note) && el('span', {class: 'state'}, h.state && glyph(h.state), h.note ?? h.state));
}

/** @param {Sheet} s */
function posts(s) {
  return el('nav', {class: 'posts', 'aria-label': t('printers')}, (s.posts ?? []).map((p, i) =>
    el('a', {class: 'post', href: `#/printers/${p.id}`, 'aria-current': p.id === s.printer ? 'page' : null},
      i > 0 && el('i', {class: 'thread', 'aria-hidden': 'true', vars: shades(p.colour)}), el('b', null, p.name), el('span', null, p.state), glyph(p.state))));
}

/** @param {Sheet} s @param {boolean} through */
function ask(s, through) {
  return el('div', {class: 'ask'}, through && thread('through'), s.pointer === false ? null : nose(),
    s.signal && el('p', {class: 'signal'}, s.signal),
    el('h1', {tabindex: -1, class: s.question.length > LONG ? 'long' : null}, s.question),
    s.reason && el('p', {class: `reason ${s.reasonGives ? 'gives' : ''}`}, s.reason),
    s.warn && el('p', {class: 'warn'}, s.warn));
}

/** @param {Sheet} s @returns {Kid[]} */
function controls(s) {
  return [
    ...(s.entry ?? []), s.problem && trouble(s.problem), s.quiet && el('p', {class: 'quiet'}, s.quiet), s.action && action(s.action), s.note && el('p', {class: `note ${s.noteGives ? 'gives' : ''}`}, s.note),
    s.links?.length ? el('div', {class: 'links'}, s.links.map(link)) : null,
  ];
}

/** @param {Problem} p */
export const trouble = (p) => el('div', {class: 'trouble', role: 'alert'}, p.title,
  el('small', null, p.errors?.length ? p.errors.map((e) => t('fault', {field: nameOf(e), detail: e.detail, accept: e.accept})).join(' ') : p.detail));

/** @param {FieldFault} e */
const nameOf = (e) => e.field ?? e.pointer?.split('/').pop()?.replace(/_/g, ' ') ?? '';

/** @param {Way} w */
export function action(w) {
  const words = el('span', null, w.label);
  if (w.go) return el('a', {class: 'action', href: w.go}, words);
  return el('button', {class: 'action', type: 'button', 'aria-disabled': w.busy ? 'true' : null, on: {click: () => { if (!w.busy) w.act?.(); }}}, words);
}

/** @param {Way} w */
export function link(w) {
  const words = el('span', null, w.label), cls = `link ${w.minor ? 'minor' : ''}`;
  if (w.go) return el('a', {class: cls, href: w.go}, words);
  return el('button', {class: cls, 'aria-label': w.says, type: 'button', on: {click: () => w.act?.()}}, words);
}
