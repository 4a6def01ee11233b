// Pairing: the code that the terminal shows, once, within ten minutes; or the longer key of a square that a camera read.

import {drop, sheafOf} from '../draft.mjs';
import {el} from '../el.mjs';
import {form} from '../form.mjs';
import {pad} from '../pad.mjs';
import {t} from '../texts.mjs';

const KEY = 'pair', DIGITS = 9;

/** @param {Page} p @returns {Sheet} */
export function pair(p) {
  const sheaf = sheafOf(KEY), full = sheaf.text.length === DIGITS;
  const enter = () => { if (full) void p.deeds.ask(KEY, 'POST', '/v1/pair', {code: sheaf.text, name: nameOf(sheaf)}, () => { drop(KEY); location.hash = '#/'; location.reload(); }); };
  const press = (/** @type {string} */ k) => {
    if (k === 'enter') enter();
    else if (k === 'back') p.deeds.write(KEY, {text: sheaf.text.slice(0, -1), problem: null});
    else if (/^\d$/.test(k) && !full) p.deeds.write(KEY, {text: sheaf.text + k, problem: null});
  };
  return {key: KEY, end: 'none', head: {name: 'Fettle', note: t('pair.not')}, question: t('pair.code'), reason: t('pair.code2'), reasonGives: true,
    entry: [code(sheaf.text), form([{name: 'name', label: t('pair.name'), kind: 'text', default: t('pair.usual')}], sheaf.fields, (name, text) => p.deeds.write(KEY, {fields: {[name]: text}}), null), pad(press, true)],
    keys: press, problem: left(sheaf.problem), action: {label: t('pair.do'), act: enter, busy: sheaf.sending},
    warn: p.state.about?.network ? t('pair.plain', {network: p.state.about.network}) : undefined};
}

/** A key that came in the address is used at once, and leaves the address. @param {Page} p @param {string} key */
export const pairByKey = (p, key) => void p.deeds.ask(KEY, 'POST', '/v1/pair', {key, name: t('pair.usual')}, () => { location.replace('#/'); location.reload(); });

/** How often it may still be tried. @param {Problem|null} problem */
const left = (problem) => problem?.tries_left === undefined ? problem : {...problem, detail: t('pair.left', {n: problem.tries_left})};

/** @param {import('../draft.mjs').Sheaf} s */
const nameOf = (s) => (s.fields.name ?? '').trim() || t('pair.usual');

/** Nine digits in threes; dots where none is yet. @param {string} text */
const code = (text) => el('p', {class: 'readout code', role: 'status'}, el('span', null, text.padEnd(DIGITS, '·').replace(/(...)(?=.)/g, '$1 ')));
