// What a printer that stopped itself says, and what a line that may not be opened needs. The plain sentence is ours; the
// printer's own words stand below it, quoted.

import {el} from '../el.mjs';
import {capital, t, time} from '../texts.mjs';

/** What the words of a fault mean, by what stands in them; common practice, no source. @type {ReadonlyArray<[RegExp, TextID]>} */
const MEANS = [
  [/runaway/i, 'fault.away'], [/heating[\s\w]*failed|did not (follow|heat|rise)/i, 'fault.failed'],
  [/min\s?temp/i, 'fault.low'], [/max\s?temp/i, 'fault.high'], [/bed/i, 'fault.bed'], [/heat|temp|therm/i, 'fault.heat'],
];

/** @param {string} words the printer's own */
export const meansOf = (words) => t(MEANS.find(([sign]) => sign.test(words))?.[1] ?? 'start.halted2');

/** The printer's own words. @param {string} words @param {string} when */
const quote = (words, when) => el('p', {class: 'quote'}, `“${words}”`, el('small', null, t('quote.own', {when})));

/** @param {Printer} pr @param {string} fault */
export function faultOf(pr, fault) {
  const said = quote(fault, time(Date.parse(pr.line.since))), {plain} = pr.line;
  if (plain) return {reason: plain.means, body: [said, el('p', {class: 'warn'}, plain.look)]};
  const heat = MEANS.some(([sign]) => sign.test(fault));
  return {reason: t(heat ? 'fault.before' : 'fault.before0'), body: [el('p', null, meansOf(fault)), said]};
}

/** Commands and lines of a file in words of the agent, as remedy.go of the port's room makes them: [words, to copy, words, ...]. @param {string} why */
export const apart = (why) => why.replace(/^.*may not open the port: /s, '').split(/(?<=: )(sudo \S.*?|SUBSYSTEM==.*?)(?:\s{2,}|$)/s);

/** @param {string} s */
const sentences = (s) => s.trim().split('; ').map((x) => capital(x)).join('. ').replace(/(?<![.:])$/, '.');

/** Words with what is to be copied, which one touch chooses whole. @param {string} why @returns {Kid[]} */
export const remedy = (why) => apart(why).map((part, i) => part.trim() === '' ? null : i % 2 === 1 ? el('code', {class: 'copy', tabindex: 0}, part) : el('p', null, sentences(part)));

/** @param {Printer} pr @returns {Partial<Sheet>|null} null where the line is simply not there */
export function unreached(pr) {
  const why = pr.line.why ?? '';
  if (!/may not open|service manager keeps it/.test(why)) return null;
  return {question: t('fault.rights', {name: pr.name}), reason: t('fault.rights2'), end: 'ragged', pointer: false, figure: undefined, long: [el('div', {class: 'controls remedy'}, remedy(why))]};
}
