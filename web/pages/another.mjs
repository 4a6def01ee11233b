// Another printer answers where one was known: both names, and the two ways on. Until a person has said which it is,
// nothing is sent to it but questions.

import {sheafOf} from '../draft.mjs';
import {el} from '../el.mjs';
import {t} from '../texts.mjs';

/** @typedef {import('../types.mjs').Printer} Printer */
/** @typedef {import('../types.mjs').Fingerprint} Fingerprint */

/** What it calls itself, as words of its own: they are shown as text and believed by nobody. @param {Fingerprint|undefined} f @returns {[string, string][]} */
const saysOf = (f) => /** @type {[string, string][]} */ ([['another.machine', f?.machine], ['another.firmware', f?.firmware], ['another.uuid', f?.uuid]].filter(([, said]) => said));

/** @param {string} title @param {Fingerprint} f @param {boolean} solid */
const one = (title, f, solid) => el('section', {class: `told ${solid ? 'now' : ''}`}, el('h2', null, title), saysOf(f).length
  ? el('dl', {class: 'ids'}, saysOf(f).flatMap(([id, said]) => [el('dt', null, t(/** @type {any} */ (id))), el('dd', null, said)]))
  : el('p', null, t('another.nothing')));

/** @param {import('../page.mjs').Page} p @param {Printer} pr @returns {Partial<import('../sheet.mjs').Sheet>} */
export function another(p, pr) {
  const both = pr.another_printer, key = `start/${pr.id}`;
  if (!both) return {};
  const same = () => void p.deeds.ask(key, 'POST', `/v1/printers/${pr.id}/same-printer`, {mark: both.mark}, () => p.deeds.write(key, {problem: null}));
  return {question: t('another', {name: pr.name}), reason: t('another.why'), pointer: true, figure: undefined,
    long: [el('div', {class: 'controls'}, one(t('another.kept'), both.kept, false), one(t('another.answers'), both.answers, true), el('p', {class: 'because'}, t('another.other', {name: pr.name})))],
    action: {label: t('another.same'), act: same, busy: sheafOf(key).sending}, links: [{label: t('another.own'), go: '#/ports'}, {label: t('start.elseWire'), go: `#/wire/${pr.id}`}]};
}
