// Make a port a printer: what is plugged in, by its own words and numbers; what it is called; how fast it talks. What is
// plugged in meanwhile appears by itself.

import {trouble} from '../column.mjs';
import {drop, sheafOf} from '../draft.mjs';
import {el} from '../el.mjs';
import {beside, bodyOf, cells, form} from '../form.mjs';
import {scene} from '../page.mjs';
import {plugged} from '../plugged.mjs';
import {count, t} from '../texts.mjs';
import {apart, remedy} from './faults.mjs';

/** @typedef {Partial<Sheet>} Base */

const KEY = 'ports';
const SPEEDS = ['115200', '250000'], OTHER = 'other'; // baud, the usual ones; common practice, no source

/** @param {Page} p @returns {Sheet} */
export function ports(p) {
  const sheaf = sheafOf(KEY), {list, problem} = plugged();
  const base = {end: /** @type {const} */ ('none'), pointer: true, head: {name: t('port.head'), note: list ? '' : t('port.looking')}};
  if (sheaf.pick) return sheaf.open ? how(p, sheaf, base) : called(p, sheaf, base, (list ?? []).find((x) => x.name === sheaf.pick));
  const taken = Object.values(p.state.printers).map((x) => x.port);
  const free = (list ?? []).filter((x) => !taken.includes(x.name));
  return {...base, key: KEY, question: free.length ? t('port.which') : t('port.none'), reason: t(free.length ? 'port.which2' : 'port.none2'),
    long: [el('div', {class: 'controls'}, el('ul', {class: 'choices'}, free.map((x) => choice(p, x))), problem && trouble(problem))],
    foot: [{label: t('back'), go: '#/'}]};
}

/** @param {Page} p @param {Port} x */
const choice = (p, x) => el('li', {key: x.name}, el('button', {class: 'choice port', type: 'button', on: {click: () => p.deeds.write(KEY, {pick: x.name})}},
  el('b', null, named(x)), [[x.vendor, ids(x)], [x.serial && t('port.serial', {serial: x.serial}), x.device], [!x.serial && x.by_path && last(x.by_path)]].map((said) => said.filter(Boolean).join(', ')).filter(Boolean).map((said) => el('small', null, said))));

/** @param {Port} x */
const named = (x) => x.product || (x.serial ? t('port.serial', {serial: x.serial}) : last(x.device));

/** Vendor and product by number, as the system lists them. @param {Port} x */
const ids = (x) => x.vendor_id && x.product_id ? `${x.vendor_id}:${x.product_id}` : '';

/** @param {string} path */
const last = (path) => path.split('/').pop() ?? path;

/** All that is known of a line, each beside its name. @param {Port|undefined} x */
function known(x) {
  if (!x) return null;
  const rows = [[t('port.vendor'), x.vendor], [t('port.product'), x.product], [t('port.number'), x.serial], [t('port.id'), ids(x)], [t('port.device'), x.device], [t('port.byId'), x.by_id && last(x.by_id)], [t('port.byPath'), x.by_path && last(x.by_path)]];
  return el('div', {class: 'controls'}, el('dl', {class: 'ids'}, rows.filter(([, said]) => said).flatMap(([name, said]) => [el('dt', null, name), el('dd', null, said)])));
}

/** @returns {Field[]} */
const fields = () => [{name: 'name', label: t('port.name'), kind: 'text'}, {name: 'baud', label: t('port.baud'), kind: 'number', unit: t('port.baud2'), default: 115200}];

/** @returns {Field[]} */
const lifted = () => [{name: 'dtr', label: t('port.dtr'), kind: 'yes', default: true}, {name: 'rts', label: t('port.rts'), kind: 'yes', default: true}];

/** @param {Page} p @returns {(name: string, text: string) => void} */
const setter = (p) => (name, text) => p.deeds.write(KEY, {fields: {...sheafOf(KEY).fields, [name]: text}, problem: null});

/** @param {Page} p @param {import('../draft.mjs').Sheaf} sheaf @param {Base} base @param {Port|undefined} port @returns {Sheet} */
function called(p, sheaf, base, port) {
  const set = setter(p), name = (sheaf.fields.name ?? '').trim(), [named_, speed] = fields();
  const order = () => ({...bodyOf([...fields(), ...lifted()], sheaf.fields), port: sheaf.pick});
  const open = () => void p.deeds.ask(KEY, 'POST', '/v1/printers', order(), (printer) => { drop(KEY); p.deeds.go(`#/setup/${printer.id}`); });
  const baud = sheaf.fields.baud ?? SPEEDS[0], other = sheaf.fields.speed === OTHER || !SPEEDS.includes(baud);
  const pick = (/** @type {string} */ v) => p.deeds.write(KEY, {fields: {...sheafOf(KEY).fields, speed: v, baud: v === OTHER ? '' : v}, problem: null});
  const speeds = [...SPEEDS.map((v) => ({value: v, label: count(Number(v))})), {value: OTHER, label: t('port.otherSpeed')}];
  return {...base, key: `${KEY}/name`, question: t('port.called'), reason: t('port.called2'), figure: 'port', scene: scene({shown: port ?? {name: last(sheaf.pick)}}),
    entry: [form(named_ ? [named_] : [], sheaf.fields, set, sheaf.problem), el('p', {class: 'label speed'}, `${t('port.baud')}, ${t('port.baud2')}`), cells(t('port.baud'), speeds, other ? OTHER : baud, pick),
      other && speed && form([speed], {...sheaf.fields, baud: sheaf.fields.baud ?? ''}, set, sheaf.problem), el('p', {class: 'gap'})],
    problem: sheaf.problem && (apart(sheaf.problem.detail).length > 1 ? {...sheaf.problem, detail: ''} : beside(sheaf.problem)), action: {label: name ? t('port.open', {name}) : t('port.open0'), act: open, busy: sheaf.sending},
    links: [{label: t('port.how'), act: () => p.deeds.write(KEY, {open: true})}, {label: t('port.other'), act: () => p.deeds.write(KEY, {pick: '', problem: null})}],
    long: [apart(sheaf.problem?.detail ?? '').length > 1 && el('div', {class: 'controls remedy'}, remedy(sheaf.problem?.detail ?? '')), known(port)]};
}

/** The two lines that many boards take for a restart. @param {Page} p @param {import('../draft.mjs').Sheaf} sheaf @param {Base} base @returns {Sheet} */
const how = (p, sheaf, base) => ({...base, key: `${KEY}/how`, question: t('port.how'), reason: t('port.how2'),
  entry: [form(lifted(), sheaf.fields, setter(p), sheaf.problem), el('p', {class: 'gap'})], action: {label: t('port.so'), act: () => p.deeds.write(KEY, {open: false})}});
