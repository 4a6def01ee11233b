// Hand-over: exactly one of firmware and slicing program has the values. And where the printer's own numbers differ from
// the docket's, both are shown, and nothing is done by itself.

import {action, trouble} from '../column.mjs';
import {sheafOf} from '../draft.mjs';
import {el} from '../el.mjs';
import {toItsDigit} from '../figures/words.mjs';
import {head, loadedOn, printerOf, scene, shortName} from '../page.mjs';
import {mm, t} from '../texts.mjs';

/** A factor has no unit. @param {DocketRow} r */
export const unitOf = (r) => r.unit === '1' ? '' : r.unit;

/** What a climb leaves is a part of where the feed falls: nobody is to take a part of it once more. @param {DocketRow} r */
export const isWorkingFlow = (r) => r.kind === 'flow_limit_mm3_per_s' && r.from.source === 'measured';

/** Who has the values. @param {Page} p @param {Docket} d */
export function heldBy(p, d) {
  const h = d.handed_over;
  if (!h) return t('docket.has.nobody');
  if (h.replaced_by) return t('docket.has.other', {material: shortName(p.state.materials[h.replaced_by] ?? null) || h.replaced_by});
  const changed = (h.changed ?? []).map((k) => d.rows.find((r) => r.kind === k)?.label.toLowerCase() ?? k);
  return [t(h.to === 'firmware' ? 'docket.has.firmware' : 'docket.has.slicing_program', {standing: h.standing ?? ''}), changed.length ? t('docket.has.changed', {what: changed.join(', ')}) : ''].filter(Boolean).join(' ');
}

/** @param {Page} p @param {Docket} d @param {any} base @returns {Sheet} */
export function handOver(p, d, base) {
  const key = `over/${d.printer}/${d.material}`, sheaf = sheafOf(key), path = `/v1/printers/${d.printer}/dockets/${d.material}`, to = sheaf.pick || d.active || d.retracts;
  const done = (/** @type {any} */ b) => { p.deeds.tell({type: 'docket', docket: b.docket}); p.deeds.write(key, {text: '', fields: {told: told(b)}}); };
  const send = () => { if (to) void p.deeds.ask(key, 'POST', `${path}/handover`, to === 'firmware' ? {to, yes: true} : {to}, done); };
  const box = (/** @type {'firmware'|'slicing_program'} */ who) => el('li', null, el('button', {type: 'button', class: 'choice port', 'aria-pressed': to === who ? 'true' : 'false', on: {click: () => p.deeds.write(key, {pick: who, fields: {}, problem: null})}},
    t(`over.${who}`), el('small', null, d.active === who ? t('over.active') : t(`over.${who}2`))));
  const rows = d.rows.filter((r) => r.value !== undefined);
  return {...base, key, end: 'tip', question: t('over.q'), reason: t('over.reason'), long: [el('div', {class: 'controls'}, el('ul', {class: 'choices'}, box('slicing_program'), box('firmware')), el('p', {class: 'note'}, heldBy(p, d)),
    el('dl', {class: 'pairs'}, rows.flatMap((r) => [el('dt', null, isWorkingFlow(r) ? `${r.label}, ${t('over.work')}` : r.label), el('dd', null, el('b', null, `${toItsDigit(r.value ?? 0, r.u95)}\u00a0${unitOf(r)}`.trim()))])),
    sheaf.problem && trouble(sheaf.problem), sheaf.fields.told ? el('p', {class: 'done-so', role: 'status'}, sheaf.fields.told) : null, action({label: t(/** @type {any} */ (to ? `over.do.${to}` : 'over.do')), act: send, busy: sheaf.sending}),
    el('div', {class: 'links'}, el('button', {type: 'button', class: 'link', on: {click: () => void p.deeds.fetchText(`${path}?as=gcode`, key)}}, el('span', null, t('over.lines'))),
      [['table', 'over.table'], ['csv', 'over.csv'], ['json', 'over.json']].map(([as, id]) => el('a', {class: 'link', href: `${path}?as=${as}`, target: as === 'csv' ? null : '_blank'}, el('span', null, t(/** @type {any} */ (id)))))),
    sheaf.text ? el('pre', {class: 'copy lines', tabindex: 0}, sheaf.text) : null)],
    foot: [{label: t('value.to'), go: `#/dockets/${d.printer}/${d.material}`}]};
}

/** What became of it. @param {any} b */
function told(b) {
  const w = b.written, failed = w?.standing === 'not written';
  return [t(failed ? 'over.not' : 'over.done', {how: w && !failed ? `: ${w.standing}` : ''}), w?.why, w?.said && t('over.said', {said: w.said}), ...(b.lines ?? []), ...(b.notes ?? [])].filter(Boolean).join('\n');
}

/** Two numbers, one question. @param {Page} p @returns {Sheet} */
export function differing(p) {
  const printer = printerOf(p, p.route[1]), all = printer?.differs ?? [], first = all[0], material = printer && loadedOn(p, printer.id);
  const home = `#/printers/${printer?.id ?? ''}`;
  if (!printer || !first) return {key: 'differs/none', printer: printer?.id, head: head(p, printer, '', printer?.line.state ?? ''), question: t('due.none', {name: printer?.name ?? ''}), end: 'tip', action: {label: t('ended.back'), go: home}};
  const both = first.docket !== undefined && first.printer !== undefined, docket = `#/dockets/${printer.id}/${material?.id ?? ''}`, stroke = /^M20[78]$/.test(first.word);
  const more = all.slice(1).map((x) => x.text).join('; ');
  return {key: `differs/${printer.id}`, printer: printer.id, colour: material?.colour_hex, head: head(p, printer, '', printer.line.state),
    question: both ? t('differs.q', {printer: mm(first.printer ?? 0), docket: mm(first.docket ?? 0)}) : t('differs.one', {label: first.label}), reason: t('differs.reason', {label: [first.label, first.from].filter(Boolean).join(', ')}),
    figure: both ? 'both' : undefined, scene: scene({printer, shown: {printer: first.printer, docket: first.docket}}), entry: both && !more ? undefined : [el('p', {class: 'fact'}, both ? t('differs.more2', {n: all.length - 1, what: more}) : all.map((x) => x.text).join('; '))],
    action: stroke ? {label: t('differs.over'), go: `${docket}/hand-over`} : {label: t('differs.check'), go: `#/begin/${printer.id}`}, links: [{label: t('differs.note'), go: `${docket}/change`}, {label: t('differs.leave'), go: home}]};
}
