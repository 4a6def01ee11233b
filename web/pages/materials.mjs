// Materials: choose one for a printer, look at them, add one by its maker's data sheet.

import {action, trouble} from '../column.mjs';
import {drop, sheafOf} from '../draft.mjs';
import {el} from '../el.mjs';
import {beside, bodyOf, form} from '../form.mjs';
import {head, printerOf} from '../page.mjs';
import {t} from '../texts.mjs';

/** @returns {Field[]} */
const fields = () => [
  {name: 'name', label: t('material.name'), kind: 'text'},
  {name: 'nozzle_c', label: t('material.nozzle'), kind: 'number', unit: '°C'},
  {name: 'nozzle_min_c', label: t('material.min'), kind: 'number', unit: '°C'},
  {name: 'nozzle_max_c', label: t('material.max'), kind: 'number', unit: '°C'},
  {name: 'bed_c', label: t('material.bed'), kind: 'number', unit: '°C', default: 60},
  {name: 'modulus_mpa', label: t('material.modulus'), kind: 'number', unit: 'MPa'},
  {name: 'flexible', label: t('material.soft'), kind: 'yes', default: false},
];

/** @param {Page} p @returns {Sheet} */
export function materials(p) {
  if (p.route[1] === 'new') return add(p);
  const forPrinter = p.route[1] === 'for' ? p.route[2] : '', begin = `#/${['begin', forPrinter, p.route[3]].filter(Boolean).join('/')}`;
  const at = printerOf(p), list = Object.values(p.state.materials).sort((a, b) => a.name.localeCompare(b.name));
  const row = (/** @type {Material} */ m) => el('li', null, el(forPrinter ? 'a' : 'div', {class: 'choice', href: forPrinter ? begin : null,
    on: {click: () => { if (forPrinter) p.deeds.write(`begin/${forPrinter}`, {pick: m.id}); }}},
    el('i', {class: 'chip', vars: {background: m.colour_hex ?? 'transparent'}}), m.name, el('small', null, `${m.nozzle_c}\u00a0°C`, el('br', null), `${m.nozzle_min_c} to ${m.nozzle_max_c}`)));
  return {key: 'materials', printer: forPrinter || undefined, end: 'tip', head: head(p, p.state.printers[forPrinter] ?? null, t('foot.materials'), ''),
    question: t(forPrinter ? 'material.which' : 'material.all'), reason: t('material.reason'),
    long: [el('div', {class: 'controls'}, el('ul', {class: 'choices'}, list.map(row)))],
    foot: [{label: t('material.add'), go: '#/materials/new'}, ...(forPrinter || !at ? [] : [{label: t('width.measure'), go: `#/materials/for/${at.id}/filament_diameter`}]), {label: t('back'), go: forPrinter ? begin : '#/'}]};
}

/** @param {Page} p @returns {Sheet} */
function add(p) {
  const key = 'materials/new', sheaf = sheafOf(key), colour = sheaf.fields.colour_hex ?? '#7C5AA6';
  const set = (/** @type {string} */ name, /** @type {string} */ text) => p.deeds.write(key, {fields: {...sheafOf(key).fields, [name]: text}, problem: null});
  const store = () => {
    const body = bodyOf(fields(), sheaf.fields);
    void p.deeds.ask(key, 'POST', '/v1/materials', {...body, id: slug(String(body.name ?? '')), colour_hex: colour}, () => { drop(key); history.back(); });
  };
  return {key, colour, end: 'tip', head: head(p, null, t('foot.materials'), ''), question: t('material.new'), reason: t('material.new2'),
    long: [el('div', {class: 'controls'}, form(fields(), sheaf.fields, set, sheaf.problem),
      el('div', {class: 'field'}, el('label', {for: 'f-colour'}, t('material.colour')), el('input', {id: 'f-colour', type: 'color', value: colour, on: {input: (/** @type {any} */ e) => set('colour_hex', e.target.value)}})),
      sheaf.problem && trouble(beside(sheaf.problem)), action({label: t('material.store'), act: store, busy: sheaf.sending}))],
    foot: [{label: t('back'), act: () => history.back()}]};
}

/** @param {string} name */
const slug = (name) => name.toLowerCase().replace(/[^a-z0-9]+/g, '-').replace(/^-|-$/g, '').slice(0, 40);

