// The logbook: what was measured, decided and changed, as rings by day. Nothing is edited; a later entry takes the place of
// an earlier one.

import {saveTable} from '../csv.mjs';
import {plusMinus} from '../entry.mjs';
import {el} from '../el.mjs';
import {toItsDigit} from '../figures/words.mjs';
import {head} from '../page.mjs';
import {row} from '../strand.mjs';
import {mm, t} from '../texts.mjs';

/** @param {Page} p @returns {Sheet} */
export function logbook(p) {
  const entries = Object.values(p.state.entries).flat().sort((a, b) => a.id - b.id);
  const several = Object.keys(p.state.printers).length > 1;
  /** @type {Kid[]} */
  const rows = [];
  let day = '';
  for (const e of entries) {
    const d = new Date(e.wall_ms).toLocaleDateString(undefined, {day: 'numeric', month: 'long', year: 'numeric'});
    if (d !== day) rows.push(el('li', {class: 'day'}, day = d));
    rows.push(row({bead: e.standing && e.standing !== 'verified' ? 'hollow' : 'ring', strong: number(e), words: words(e, several ? p.state.printers[e.printer]?.name ?? e.printer : ''), right: String(e.id), href: e.run ? `#/runs/${e.run}` : undefined}));
  }
  return {key: 'logbook', end: 'tip', head: head(p, null, '', ''), colour: Object.values(p.state.materials)[0]?.colour_hex,
    rows, question: entries.length ? t('logbook.end') : t('logbook.empty'), reason: t('logbook.end2'), long: [el('div', null)],
    foot: [{label: t('logbook.table'), act: () => void saveTable('/v1/logbook', 'fettle-logbook.csv')}, ...Object.values(p.state.printers).filter((x) => entries.some((e) => e.printer === x.id && e.kind === 'feed_check')).map((x) => ({label: several ? `${t('drift.link')}, ${x.name}` : t('drift.link'), go: `#/drift/${x.id}`})), {label: t('back'), go: '#/'}]};
}

/** @param {Entry} e */
const number = (e) => e.value === undefined ? '' : `${e.kind === 'steps_per_mm' ? e.value.toFixed(2) : toItsDigit(e.value, e.u95)}${e.u95 ? `\u00a0±\u00a0${plusMinus(e.u95)}` : ''}\u00a0${e.unit ?? ''}`;

/** @param {Entry} e @param {string} printer */
function words(e, printer) {
  const kind = {feed_pass: t('record.pass'), feed_check: t('record.check'), steps_per_mm: t('record.steps'), cable_check: t('record.cable'), flow_block: t('record.block', {flow: mm(e.body?.flow_mm3_per_s ?? 0)}), flow_limit_mm3_per_s: t('record.flow'), flow_short: t('record.short'), filament_diameter_mm: [t('record.diameter'), e.body?.spool].filter(Boolean).join(', '), grades: `${t('past.grades')}, ${t('past.piece', {n: e.body?.piece ?? ''}).toLowerCase()}`, change: e.body?.what ? t(/** @type {any} */ (`change.${e.body.what}`)) : undefined}[e.kind] ?? e.kind.replace(/_/g, ' ');
  return [kind, e.standing && e.standing !== 'verified' ? e.standing : '', printer].filter(Boolean).join(', ');
}
