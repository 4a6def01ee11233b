// What every beginning of a run has: where, with which filament, by whose gauge, and how it is ordered.

import {sheafOf} from '../draft.mjs';
import {inputsOf, keepMine, mineOf} from '../mine.mjs';
import {head, loadedOn, materialOf, printerOf, shortName} from '../page.mjs';
import {t} from '../texts.mjs';

/** What every beginning has: where, with what, how it is ordered; or the sheet of what is missing. @param {Page} p @param {string} name of the routine @param {TextID} heading */
export function order(p, name, heading) {
  const printer = printerOf(p, p.route[1]), home = `begin/${printer?.id}`, key = [home, p.route[2]].filter(Boolean).join('/'), sheaf = sheafOf(key), routine = p.state.routines.find((r) => r.name === name);
  const material = materialOf(p, p.route[3] || sheafOf(home).pick) ?? loadedOn(p, printer?.id ?? '') ?? null, back = {label: t('back'), go: `#/printers/${printer?.id ?? ''}`};
  /** @type {Sheet} */
  const base = {key, printer: printer?.id, colour: material?.colour_hex, head: head(p, printer, t(heading), printer?.line.state ?? ''), question: t('run.reading')};
  if (!routine || !printer) return {missing: /** @type {Sheet} */ ({...base, end: 'none', pointer: false})};
  if (!material) return {missing: {...base, question: t('begin.none'), reason: t('begin.none2'), action: {label: t('material.add'), go: '#/materials/new'}, links: [back]}};
  const fields = mineOf(routine.fields, sheaf.fields);
  const set = (/** @type {string} */ field, /** @type {string} */ text) => p.deeds.write(key, {fields: {...sheafOf(key).fields, [field]: text}, problem: null});
  const go = () => {
    const inputs = inputsOf(routine.fields, sheafOf(key).fields);
    keepMine(routine.fields, inputs);
    p.deeds.begin(key, {printer: printer.id, routine: name, material: material.id, inputs});
  };
  return {printer, key, sheaf, routine: {...routine, fields}, material, back, base, set, go, action: {label: t('begin.with', {material: shortName(material)}), act: go, busy: sheaf.sending}};
}
