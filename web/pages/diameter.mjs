// The diameter of a filament: begin, what was found, and its readings as a table. It heats nothing and moves nothing.

import {trouble} from '../column.mjs';
import {el} from '../el.mjs';
import {countedOf} from '../figures/diameter.mjs';
import {num} from '../figures/words.mjs';
import {beside, cells, form, usual} from '../form.mjs';
import {gaugeOf} from '../mine.mjs';
import {ofRun, shortName} from '../page.mjs';
import {table} from '../table.mjs';
import {t} from '../texts.mjs';
import {order} from './order.mjs';

/** The routine by its name. @param {string|undefined} routine */
export const isDiameter = (routine) => routine === 'filament_diameter';

const OFFERED = ['4', '10', '20']; // a quick look, the usual, a spool that is not trusted

/** @param {Page} p @returns {Sheet} */
export function beginDiameter(p) {
  const o = order(p, 'filament_diameter', 'width.head');
  if (o.missing) return o.missing;
  const {key, sheaf, routine, material, base, set, go} = o, field = (/** @type {string} */ name) => routine.fields.find((f) => f.name === name);
  const gauge = field('gauge'), readings = field('readings'), spool = field('spool'), own = routine.fields.filter((f) => f.name.startsWith('own_')), n = sheaf.fields.readings ?? (readings ? usual(readings) : '10');
  const keys = (/** @type {string} */ k) => { if (k === 'enter') go(); }, begin = (/** @type {string} */ text) => p.deeds.write(key, {text, problem: null});
  if (sheaf.text === 'own' && own.length) {
    return {...base, key: `${key}/own`, question: t('width.own2'), reason: t('width.own3'), reasonGives: true, entry: [form(own, sheaf.fields, set, sheaf.problem), sheaf.problem && trouble(beside(sheaf.problem)), el('p', {class: 'gap'})],
      action: o.action, keys, links: [{label: t('back'), act: () => begin('')}]};
  }
  const vague = own.length > 0 && own.some((f) => !(sheaf.fields[f.name] ?? usual(f)));
  return {...base, question: t('width.begin', {material: shortName(material)}), reason: t('width.begin2', {places: Math.round(Number(n) / 2) || '…'}), reasonGives: true, keys,
    entry: [gauge && el('p', {class: 'label'}, t('width.gauge')), gauge && cells(t('width.gauge'), gauge.choices ?? [], gaugeOf(routine.fields, sheaf.fields), (v) => set('gauge', v)),
      readings && el('p', {class: 'label then'}, t('width.readings')), readings && cells(t('width.readings'), OFFERED.map((v) => ({value: v, label: v})), n, (v) => set('readings', v)),
      spool && el('div', {class: 'label then'}, form([spool], sheaf.fields, set, null)), sheaf.problem && trouble(sheaf.problem), el('p', {class: 'gap'})],
    action: vague ? {label: t('own.first'), act: () => begin('own')} : o.action,
    links: [...(own.length && !vague ? [{label: t('width.own'), act: () => begin('own')}] : []), {label: t('begin.other'), go: `#/materials/for/${o.printer.id}/filament_diameter`}, o.back]};
}

/** What to do after a finding. @param {Run} run @param {string} kind @returns {Partial<Sheet>} */
export function afterDiameter(run, kind) {
  const docket = `#/dockets/${run.printer}/${run.material ?? ''}`, again = {minor: true, label: t('width.again'), go: `#/begin/${run.printer}/filament_diameter/${run.material ?? ''}`};
  const action = kind === 'wrong_size' ? {label: t('width.setup'), go: `#/setup/${run.printer}`} : {label: t('width.docket'), go: docket};
  return {action, links: [{label: t('width.table'), go: `#/runs/${run.id}/readings`}, ...(run.finding?.budget?.length ? [{label: t('width.budget'), go: `#/runs/${run.id}/budget`}] : []), again]};
}

/** What counts in print: the area, beside that of the size the setup has. @param {Finding} f @param {Setup|undefined} setup */
export function sectionOf(f, setup) {
  const of = f.values?.find((v) => v.name === 'section_mm2')?.value, nominal = setup?.filament_diameter_mm;
  if (of === undefined) return [];
  return [nominal ? t('diameter.section', {section: num(of, 3, true), nominal: num(nominal), round: num(Math.PI / 4 * nominal * nominal, 3, true)}) : t('diameter.section0', {section: num(of, 3, true)})];
}

/** The readings, place by place. @param {Page} p @param {Run} run @returns {Sheet} */
export function readings(p, run) {
  const all = countedOf(run), fine = all.some((v) => v !== undefined && Math.abs(v * 100 - Math.round(v * 100)) > 1e-6), read = (/** @type {number|undefined} */ v) => v === undefined ? '' : num(v, fine ? 3 : 2, true), places = Array.from({length: Math.ceil(all.length / 2)}, (_, i) => ({n: i + 1, one: all[2 * i], two: all[2 * i + 1]}));
  const rows = places.map((x) => [[String(x.n), read(x.one), read(x.two), x.one !== undefined && x.two !== undefined ? num((x.one + x.two) / 2, 3, true) : '', x.one !== undefined && x.two !== undefined ? read(Math.abs(x.one - x.two)) : '']]);
  const value = (/** @type {string} */ name) => run.finding?.values?.find((v) => v.name === name)?.value, mean = value('filament_diameter_mm');
  return {key: `${run.id}/readings`, ...ofRun(p, run), end: 'tip', question: places.length ? t('width.table.q') : t('width.none'), reason: [run.inputs?.spool ? t('width.spool', {spool: run.inputs.spool}) : '', places.length ? t('width.table.why') : ''].filter(Boolean).join(' '),
    long: [places.length ? el('div', {class: 'controls wide'}, table({caption: t('width.caption'), heads: [[t('width.place'), t('width.one'), t('width.two'), t('width.mean'), t('width.apart')]],
      parts: [...rows, ...(mean === undefined ? [] : [[[t('width.all'), '', '', num(mean, 3, true), num(value('oval_mm') ?? NaN, 3)]]])]})) : null],
    foot: [{label: t('budget.back'), go: `#/runs/${run.id}`}]};
}
