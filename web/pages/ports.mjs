// Make a port a printer: what is plugged in, what it is called, how fast it talks. Opening a line may restart its board.

import {link, trouble} from '../column.mjs';
import {drop, sheafOf} from '../draft.mjs';
import {el} from '../el.mjs';
import {bodyOf, form} from '../form.mjs';
import {scene} from '../page.mjs';
import {t} from '../texts.mjs';

/** @typedef {import('../page.mjs').Page} Page */
/** @typedef {import('../types.mjs').Port} Port */

const KEY = 'ports';

/** @type {{list: Port[]|null}} */
const found = {list: null}; // what was plugged in when it was last looked for

/** @param {Page} p */
export const lookForPorts = (p) => void p.deeds.ask(KEY, 'GET', '/v1/ports', undefined, (body) => { found.list = body.ports; });

/** @param {Page} p @returns {import('../sheet.mjs').Sheet} */
export function ports(p) {
  const sheaf = sheafOf(KEY);
  const base = {end: /** @type {const} */ ('none'), pointer: true, head: {name: t('port.head'), note: sheaf.sending ? t('port.looking') : ''}};
  if (sheaf.pick) return called(p, sheaf, base);
  const taken = Object.values(p.state.printers).map((x) => x.port);
  const free = (found.list ?? []).filter((x) => !taken.includes(x.name));
  return {...base, key: KEY, question: free.length ? t('port.which') : t('port.none'), reason: t(free.length ? 'port.which2' : 'port.none2'),
    long: [el('div', {class: 'controls'}, el('ul', {class: 'choices'}, free.map((x) => el('li', null, el('button',
      {class: 'choice', type: 'button', on: {click: () => p.deeds.write(KEY, {pick: x.name})}}, named(x), el('small', null, last(x.device)))))),
      sheaf.problem && trouble(sheaf.problem), link({label: t('port.again'), act: () => lookForPorts(p)}))],
    foot: [{label: t('back'), go: '#/'}]};
}

/** @param {Port} x */
const named = (x) => x.product || (x.serial ? t('port.serial', {serial: x.serial}) : last(x.name));

/** @param {string} path */
const last = (path) => path.split('/').pop() ?? path;

/** @param {Page} p @param {import('../draft.mjs').Sheaf} sheaf @param {Partial<import('../sheet.mjs').Sheet>} base @returns {import('../sheet.mjs').Sheet} */
function called(p, sheaf, base) {
  /** @type {import('../types.mjs').Field[]} */
  const fields = [{name: 'name', label: t('port.name'), kind: 'text'}, {name: 'baud', label: t('port.baud'), kind: 'number', unit: t('port.baud2'), default: 115200}];
  const set = (/** @type {string} */ name, /** @type {string} */ text) => p.deeds.write(KEY, {fields: {...sheafOf(KEY).fields, [name]: text}, problem: null});
  const name = (sheaf.fields.name ?? '').trim();
  const open = () => void p.deeds.ask(KEY, 'POST', '/v1/printers', {...bodyOf(fields, sheaf.fields), port: sheaf.pick}, (printer) => { drop(KEY); p.deeds.go(`#/setup/${printer.id}`); });
  return {...base, key: `${KEY}/name`, question: t('port.called'), reason: t('port.called2'), reasonGives: false,
    figure: 'port', scene: scene({shown: (found.list ?? []).find((x) => x.name === sheaf.pick) ?? {name: last(sheaf.pick)}}),
    entry: [form(fields, sheaf.fields, set, sheaf.problem)], problem: sheaf.problem,
    action: {label: name ? t('port.open', {name}) : t('port.open0'), act: open, busy: sheaf.sending},
    links: [{label: t('port.other'), act: () => p.deeds.write(KEY, {pick: ''})}]};
}
