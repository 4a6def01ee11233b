// The docket of a printer and a material: each value with what it rests on, fresh or stale and why; one value by itself with
// its earlier ones; and what was changed on the machine.

import {action, link, trouble} from '../column.mjs';
import {sheafOf} from '../draft.mjs';
import {el} from '../el.mjs';
import {parseNumber, plusMinus} from '../entry.mjs';
import {toItsDigit} from '../figures/words.mjs';
import {beside, form} from '../form.mjs';
import {head, printerOf, shortName} from '../page.mjs';
import {beadOf, thread} from '../strand.mjs';
import {capital, mm, t} from '../texts.mjs';
import {dayOf} from './drift.mjs';
import {handOver, heldBy, isWorkingFlow, unitOf} from './handover.mjs';
import {bigLine} from './working.mjs';

/** @param {string} what */
export const doWord = (what) => t(/** @type {any} */ (`do.${what}`));

/** Where something that is due is done. @param {string} what @param {string} printer @param {string} material */
export function wayTo(what, printer, material) {
  if (what === 'hand_over') return `#/dockets/${printer}/${material}/hand-over`;
  if (what === 'feed_check') return `#/begin/${printer}`;
  return ['travel_ladder', 'retraction_ladder', 'confirm', 'filament_diameter', 'flow_limit'].includes(what) ? `#/begin/${printer}/${what.replace('confirm', 'retraction_ladder')}/${material}` : '';
}

/** @param {Page} p @returns {Sheet} */
export function dockets(p) {
  const printer = printerOf(p, p.route[1]), material = p.state.materials[p.route[2] ?? ''];
  if (!printer) return {key: 'docket/reading', question: t('run.reading'), end: 'none', pointer: false};
  const base = {printer: printer.id, colour: material?.colour_hex, head: head(p, printer, material ? t('docket') : '', printer.line.state), back: `#/printers/${printer.id}`};
  if (!material) return choose(p, base);
  const docket = p.state.dockets[`${printer.id}/${material.id}`];
  if (!docket) return {...base, key: 'docket/none', question: printer.setup ? t('run.reading') : t('docket.unread'), reason: printer.setup ? '' : t('docket.unread2'), end: 'tip', links: [{label: t('back'), go: base.back}]};
  const place = p.route[3] ?? '', row = docket.rows.find((r) => r.kind === place);
  if (place === 'hand-over') return handOver(p, docket, base);
  if (place === 'change') return change(p, docket, base);
  return row ? value(p, docket, row, base) : whole(p, docket, base);
}

/** @param {Page} p @param {any} base @returns {Sheet} */
const choose = (p, base) => ({...base, key: 'dockets', end: 'tip', question: t('material.which'),
  long: [el('div', {class: 'controls'}, el('ul', {class: 'choices'}, Object.values(p.state.materials).map((m) => el('li', null, el('a', {class: 'choice', href: `#/dockets/${base.printer}/${m.id}`}, el('i', {class: 'chip', vars: {background: m.colour_hex ?? 'transparent'}}), m.name)))))],
  foot: [{label: t('back'), go: base.back}]});

/** @param {Docket} d */
const addressOf = (d) => `#/dockets/${d.printer}/${d.material}`;

/** @param {Page} p @param {Docket} d @param {any} base @returns {Sheet} */
function whole(p, d, base) {
  const due = d.due[0], go = due ? wayTo(due.do, d.printer, d.material) : '';
  return {...base, key: addressOf(d), end: 'through', question: shortName(p.state.materials[d.material] ?? null), reason: [t('docket.on', {name: base.head.name, n: d.setup_version}), due ? t('docket.due', {what: doWord(due.do), text: due.text}) : t('docket.nothing')].join(' '),
    long: [el('div', {class: 'docket'}, thread('tip'), el('div', {class: 'controls'}, due && go && action({label: capital(doWord(due.do)), go}), el('p', {class: 'note'}, heldBy(p, d))), el('ul', null, d.rows.map((r) => line(d, r))))],
    foot: [{label: t('docket.over'), go: `${addressOf(d)}/hand-over`}, {label: t('docket.changed'), go: `${addressOf(d)}/change`}, {label: t('docket.others'), go: `#/dockets/${d.printer}`}, {label: t('back'), go: base.back}]};
}

/** @param {DocketRow} r */
const spreadOf = (r) => [r.u95 ? `±\u00a0${plusMinus(r.u95)}` : '', unitOf(r)].filter(Boolean).join('\u00a0');

/** @param {number} v @param {DocketRow} r */
const shown = (v, r) => r.kind === 'steps_per_mm' ? v.toFixed(2) : toItsDigit(v, r.u95);

/** In the list two decimals are enough; a value's own page has as many as its ± bears out. @param {number} v @param {DocketRow} r */
const listed = (v, r) => r.kind === 'steps_per_mm' ? v.toFixed(2) : mm(v);

/** Why a value is as it is, in a sentence or two. @param {DocketRow} r @returns {Kid[]} */
function standing(r) {
  const from = [isWorkingFlow(r) ? t('docket.work') : '', t('docket.rests', {how: r.from.how}), r.from.entry ? t('docket.entry', {id: r.from.entry}) : '', r.standing && r.standing !== 'verified' ? `${capital(r.standing)}.` : ''].filter(Boolean).join(' ');
  if (r.value === undefined) return [t('docket.unknown')];
  if (r.fresh) return [el('b', null, t('docket.fresh')), `: ${[from, r.again_by ? t('drift.by', {day: dayOf(r.again_by, true)}) : ''].filter(Boolean).join(' ')}`];
  return [el('b', null, t('docket.stale')), `: ${r.stale.map((s) => s.text).join(', ')}.`, r.again ? ` ${t('docket.again', {what: doWord(r.again)})}` : ''];
}

/** One value on the strand: hollow where it is stale. @param {Docket} d @param {DocketRow} r */
function line(d, r) {
  const known = r.value !== undefined;
  return el('li', {class: 'value'}, known ? beadOf(r.fresh ? 'ring' : 'hollow') : null, el('a', {href: `${addressOf(d)}/${r.kind}`}, el('span', {class: 'name'}, r.label),
    known && el('span', {class: `number ${r.fresh ? '' : 'hollow'}`}, el('b', null, listed(r.value ?? 0, r)), ' ', el('span', null, spreadOf(r))), el('span', {class: 'why'}, standing(r))));
}

/** @param {Page} p @param {Docket} d @param {DocketRow} r @param {any} base @returns {Sheet} */
function value(p, d, r, base) {
  const key = `docket/${d.printer}/${d.material}/${r.kind}`, sheaf = sheafOf(key), path = `/v1/printers/${d.printer}/dockets/${d.material}`, text = sheaf.fields.value ?? '';
  const send = (/** @type {string} */ to, /** @type {object} */ body) => void p.deeds.ask(key, 'POST', `${path}/${to}`, body, (docket) => { p.deeds.write(key, {fields: {}}); p.deeds.tell({type: 'docket', docket}); p.deeds.go(addressOf(d)); });
  const field = r.typed && {name: 'value', label: `${t('value.type')}, ${t('value.range', {min: mm(r.typed.min), max: mm(r.typed.max), unit: unitOf(r)})}`.trim(), kind: /** @type {const} */ ('number'), unit: unitOf(r)};
  const record = () => { const v = parseNumber(text); if (v === null) p.deeds.write(key, {problem: {type: '', title: t('value.cannot'), status: 0, detail: '', code: 'typed'}}); else send('values', {kind: r.kind, value: v}); };
  const again = r.again ? wayTo(r.again, d.printer, d.material) : '';
  return {...base, key, end: 'tip', question: `${r.label}.`, reason: '', long: [el('div', {class: 'controls'},
    bigLine(r.value === undefined ? {value: t('none'), unit: '', hollow: true} : {value: shown(r.value, r), unit: unitOf(r), hollow: !r.fresh}), r.value !== undefined && r.u95 ? el('p', null, spreadOf(r)) : null, el('p', null, standing(r)),
    r.fresh || r.value === undefined ? null : el('p', {class: 'note'}, t('docket.rests', {how: capital(r.from.how)})),
    el('div', {class: 'links'}, [again && {label: capital(doWord(r.again ?? '')), go: again}, r.from.run && {label: t('value.run'), go: `#/runs/${r.from.run}`},
      r.kind === 'steps_per_mm' && {label: t('drift.feed'), go: `#/drift/${d.printer}`}, r.kind === 'filament_diameter_mm' && !again && {label: t('width.this'), go: wayTo('filament_diameter', d.printer, d.material)}, r.kind === 'flow_limit_mm3_per_s' && !again && {label: t('flow.this'), go: wayTo('flow_limit', d.printer, d.material)}].filter(Boolean).map((x) => link(/** @type {any} */ (x)))),
    field && form([field], sheaf.fields, (name, v) => p.deeds.write(key, {fields: {[name]: v}, problem: null}), sheaf.problem), sheaf.problem && trouble(field ? beside(sheaf.problem) : sheaf.problem),
    field && action({label: t('value.record'), act: record, busy: sheaf.sending}),
    r.earlier.length ? [el('h2', {class: 'label speed'}, t('value.earlier')), el('ul', {class: 'choices'}, r.earlier.map((e) => el('li', null, el('button', {type: 'button', class: 'choice port', on: {click: () => send('revert', {entry: e.entry})}},
      t('value.back', {value: `${shown(e.value, r)}\u00a0${unitOf(r)}`.trim()}), el('small', null, `${capital(e.how)}. ${t('docket.entry', {id: e.entry})}`)))))] : null)],
    foot: [{label: t('value.to'), go: addressOf(d)}]};
}

const CHANGES = ['new_gear', 'idler_tension', 'motor_setting', 'new_nozzle', 'new_hot_end', 'temperature', 'tube', 'coupler', 'new_material', 'new_spool', 'acceleration', 'pressure_compensation', 'fan', 'firmware'];
const OF_MATERIAL = ['new_material', 'new_spool'];

/** @param {string} what */
const changeWord = (what) => t(/** @type {any} */ (`change.${what}`));

/** @param {Page} p @param {Docket} d @param {any} base @returns {Sheet} */
function change(p, d, base) {
  const key = `change/${d.printer}`, sheaf = sheafOf(key), what = sheaf.pick, kindOf = (/** @type {string} */ k) => d.rows.find((r) => r.kind === k)?.label.toLowerCase() ?? k.replace(/_/g, ' ');
  const record = () => { if (what) void p.deeds.ask(key, 'POST', `/v1/printers/${d.printer}/changes`, {what, material: OF_MATERIAL.includes(what) ? d.material : undefined, note: sheaf.fields.note || undefined},
    (b) => p.deeds.write(key, {pick: '', fields: {}, text: [t('change.done', {what: changeWord(what)}), b.makes_stale?.length ? t('change.stale', {what: b.makes_stale.map(kindOf).join(', ')}) : t('change.none'), b.again?.length ? t('change.again', {what: b.again.map(doWord).join(', ')}) : '', b.compares ? t('change.compares') : ''].filter(Boolean).join(' ')})); };
  return {...base, key, end: 'tip', question: t('change.q'), reason: t('change.reason'), long: [el('div', {class: 'controls'}, sheaf.text ? el('p', {class: 'done-so', role: 'status'}, sheaf.text) : null,
    el('ul', {class: 'choices two'}, CHANGES.map((c) => el('li', null, el('button', {type: 'button', class: 'choice', 'aria-pressed': c === what ? 'true' : 'false', on: {click: () => p.deeds.write(key, {pick: c === what ? '' : c, text: '', problem: null})}}, changeWord(c))))),
    el('div', {class: 'gap'}), form([{name: 'note', label: t('change.note'), kind: 'text'}], sheaf.fields, (name, v) => p.deeds.write(key, {fields: {[name]: v}}), null), sheaf.problem && trouble(sheaf.problem),
    action({label: what ? t('change.do', {what: changeWord(what)}) : t('change.do0'), act: record, busy: sheaf.sending}))],
    foot: [{label: t('value.to'), act: () => { p.deeds.write(key, {text: ''}); p.deeds.go(addressOf(d)); }}]};
}
