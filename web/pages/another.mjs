// Another printer answers where one was known: both names, and the two ways on. Until a person has said which it is,
// nothing is sent to it but questions.

import {sheafOf} from '../draft.mjs';
import {el} from '../el.mjs';
import {t} from '../texts.mjs';

/** What it calls itself, the most telling first. It is shown as text and believed by nobody. @param {Fingerprint} f */
const saysOf = (f) => [f.machine, f.firmware, f.uuid].filter(Boolean);

/** @param {string} title @param {Fingerprint} f @param {boolean} now */
function one(title, f, now) {
  const [name, ...more] = saysOf(f);
  return el('section', {class: `told ${now ? 'now' : ''}`}, el('h2', null, title), el('p', {class: 'name'}, name ?? t('another.nothing')), more.length ? el('p', {class: 'gives'}, more.join(', ')) : null);
}

/** @param {Page} p @param {Printer} pr @returns {Partial<Sheet>} */
export function another(p, pr) {
  const both = pr.another_printer, key = `start/${pr.id}`, name = pr.name;
  if (!both) return {};
  const sheaf = sheafOf(key), open = (/** @type {boolean} */ is) => p.deeds.write(key, {open: is, problem: null});
  const same = () => void p.deeds.ask(key, 'POST', `/v1/printers/${pr.id}/same-printer`, {mark: both.mark}, () => open(false));
  const back = [{label: t('start.elseWire'), go: `#/wire/${pr.id}`}];
  if (sheaf.open) {
    return {key: `${key}/another/own`, question: t('another.own', {name}), reason: t('another.own2'), figure: undefined, body: [one(t('another.kept'), both.kept, true)],
      action: {label: t('another.ports'), go: '#/ports'}, links: [{label: t('back'), act: () => open(false)}]};
  }
  return {question: t('another', {name}), reason: t('another.why'), figure: undefined, body: [one(t('another.kept'), both.kept, false), one(t('another.answers'), both.answers, true)],
    action: {label: t('another.same'), act: same, busy: sheaf.sending}, links: [{label: t('another.is'), act: () => open(true)}, ...back]};
}
