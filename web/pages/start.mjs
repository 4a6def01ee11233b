// A printer between runs: what is so, one reason, one number with its age, one way on. Each state of its line has its page.

import {sheafOf} from '../draft.mjs';
import {el} from '../el.mjs';
import {plusMinus} from '../entry.mjs';
import {head, loadedOn, materialOf, nozzleOf, printerOf, scene, shortName, switchOf} from '../page.mjs';
import {OUTDATED_S, ageS, silent} from '../state.mjs';
import {ago, capital, mm, t} from '../texts.mjs';
import {another} from './another.mjs';
import {doWord, wayTo} from './docket.mjs';
import {faultOf, unreached} from './faults.mjs';
import {bigLine} from './working.mjs';

/** @param {Page} p @returns {Sheet} */
export function start(p) {
  const printer = printerOf(p, p.route[1]);
  if (!printer) return nobody(p);
  const several = Object.keys(p.state.printers).length > 1;
  const entries = p.state.entries[printer.id] ?? [];
  const material = loadedOn(p, printer.id);
  /** @type {Sheet} */
  const sheet = {
    key: `start/${printer.id}/${printer.line.state}/${printer.another_printer ? 'another' : printer.someone_else ? 'else' : ''}/${printer.due[0] ?? ''}`,
    printer: printer.id, colour: printer.someone_else ? undefined : material?.colour_hex, posts: several ? posts(p, printer) : undefined,
    head: head(p, printer, '', taken(printer) ? 'occupied' : printer.line.state), past: recordsOf(entries, printer.setup?.version ?? 0),
    question: '', figure: `line ${printer.line.state}`, scene: scene({printer, nozzleC: nozzleOf(printer)}), foot: feet(printer, Object.keys(p.state.printers).length > MOST_POSTS, material?.id, entries.some((e) => e.kind === 'feed_check')),
    problem: sheafOf(`start/${printer.id}`).problem,
  };
  return {...sheet, ...stateOf(p, printer)};
}

const MOST_POSTS = 3; // side by side on a phone; all of them are behind a link

/** The one that is meant, then the others. @param {Page} p @param {Printer} first @returns {Post[]} */
function posts(p, first) {
  const others = Object.values(p.state.printers).filter((x) => x.id !== first.id);
  return [first, ...others].slice(0, MOST_POSTS).map((x) => ({id: x.id, name: x.name, state: stateWord(p, x),
    colour: materialOf(p, (p.state.entries[x.id] ?? []).findLast((e) => e.material)?.material)?.colour_hex}));
}

/** All printers, where they are too many to hang side by side. @param {Page} p @returns {Sheet} */
export function all(p) {
  const row = (/** @type {Printer} */ x) => el('li', null, el('a', {class: 'choice', href: `#/printers/${x.id}`}, el('b', null, x.name), el('small', null, stateWord(p, x))));
  return {key: 'all', end: 'tip', head: head(p, null, '', ''), question: t('all'), reason: t('all2'),
    long: [el('div', {class: 'controls'}, el('ul', {class: 'choices'}, Object.values(p.state.printers).map(row)))], foot: [{label: t('back'), go: '#/'}]};
}

/** @param {Page} p @param {Printer} x */
const stateWord = (p, x) => silent(p.state, p.now) ? t('silent') : taken(x) ? t('occupied') : x.line.state;

/** Another program holds its line, or somebody else its heaters and axes. @param {Printer} x */
const taken = (x) => x.line.occupied || Boolean(x.someone_else);

/** No printer yet. @param {Page} p @returns {Sheet} */
function nobody(p) {
  const known = p.state.store !== '';
  return {key: 'start/none', end: 'none', pointer: known, head: head(p, null, '', ''), question: known ? t('start.none') : t('start.waiting'),
    reason: known ? t('start.none2') : t('start.waiting2'), action: known ? {label: t('start.port'), go: '#/ports'} : undefined};
}

/** What stands on a printer's own strand, in a word; the rest is in its docket. @type {Record<string, string>} */
const RECORDS = {steps_per_mm: 'record.steps', feed_check: 'record.check', cable_check: 'record.cable', travel_speed_mm_per_s: 'record.travel', retraction_length_mm: 'record.length', flow_limit_mm3_per_s: 'record.flow', filament_diameter_mm: 'record.diameter'};

/** The last records as rings: number, what, entry; hollow above a splice. @param {Entry[]} entries @param {number} version of the setup now @returns {Row[]} */
function recordsOf(entries, version) {
  const newest = new Map(entries.filter((e) => e.value !== undefined && RECORDS[e.kind]).map((e) => [e.kind, e]));
  const stale = (/** @type {Entry} */ e) => (e.setup_version ?? version) < version;
  const splice = [...newest.values()].some(stale) ? [{bead: /** @type {const} */ ('splice'), words: t('record.splice'), right: t('record.version', {n: version})}] : [];
  return [...[...newest.values()].map((e) => (/** @type {Row} */ ({bead: stale(e) || (e.kind === 'steps_per_mm' && e.standing !== 'verified') ? 'hollow' : 'ring',
    strong: `${e.kind === 'steps_per_mm' ? e.value?.toFixed(2) : mm(e.value ?? 0)}\u00a0${e.unit ?? ''}`, words: t(/** @type {any} */ (RECORDS[e.kind])),
    right: t('record.entry', {id: e.id}), href: '#/logbook'}))), ...splice];
}

/** @param {Printer} pr @param {boolean} many @param {string|undefined} material @param {boolean} checked there are checks whose drift can be told */
const feet = (pr, many, material, checked) => [...(many ? [{label: t('foot.all'), go: '#/all'}] : []), {label: t('docket'), go: `#/dockets/${pr.id}/${material ?? ''}`}, {label: t('foot.logbook'), go: '#/logbook'}, ...(checked ? [{minor: true, label: t('drift.link'), go: `#/drift/${pr.id}`}] : []), {label: t('foot.wire'), go: `#/wire/${pr.id}`},
  {label: t('foot.setup'), go: `#/setup/${pr.id}`}, {label: t('foot.materials'), go: '#/materials'}, {label: t('foot.add'), go: '#/ports', minor: true}];

/** @param {Page} p @param {Printer} pr @returns {Partial<Sheet>} */
function stateOf(p, pr) {
  const key = `start/${pr.id}`, wake = () => p.deeds.wake(pr.id, key), name = pr.name, busy = sheafOf(key).sending;
  const since = ago((p.now - Date.parse(pr.line.since)) / 1000);
  if (unconfirmed(pr)) return stopping(p, pr);
  if (pr.run) return {question: t('start.running'), reason: t('start.running2'), action: {label: t('start.toRun'), go: `#/runs/${pr.run}`}};
  if (pr.another_printer) return another(p, pr);
  if (pr.someone_else) return {question: t('start.else', {name}), reason: t('start.else2', {what: pr.someone_else}), pointer: false, body: read(p, pr), links: [{label: t('start.elseWire'), go: `#/wire/${pr.id}`}]};
  switch (pr.line.state) {
    case 'unplugged': return unreached(pr) ?? {question: t('start.unplugged', {name}), reason: t('start.unplugged2'), end: 'ragged', pointer: false, body: read(p, pr), links: [{label: t('start.notFound'), go: '#/ports'}]};
    case 'greeting': return greeting(p, pr);
    case 'halted': return {question: t('start.halted'), ...(pr.line.fault ? faultOf(pr, pr.line.fault) : {reason: `${pr.line.why || t('start.halted2').replace(/\.$/, '')}.`, body: [el('div', {class: 'gives'}, read(p, pr))]}),
      action: {label: t('start.wake'), act: wake, busy}, links: [{label: t('start.before'), go: `#/wire/${pr.id}`}]};
    case 'out of step': return {question: t('start.lost'), reason: t('start.lost2'), body: [...(read(p, pr) ?? []), pr.line.why && el('p', {class: 'because'}, t('start.lost3', {ago: since, why: pr.line.why}))], action: {label: t('start.count'), act: wake, busy}};
  }
  return due(p, pr);
}

const GREETING_S = 15; // a board that has not greeted by then was asked as well

/** @param {Page} p @param {Printer} pr @returns {Partial<Sheet>} */
function greeting(p, pr) {
  const waitedS = Math.max(0, Math.round((p.now - Date.parse(pr.line.since)) / 1000)), long = waitedS >= GREETING_S && pr.line.why;
  return {question: t('start.greeting'), reason: t('start.greeting2'), body: [bigLine({value: String(waitedS), unit: 's'}), el('p', null, long ? t('start.greeting4', {why: pr.line.why ?? ''}) : t('start.greeting3'))],
    links: [{label: t('start.elseWire'), go: `#/wire/${pr.id}`}, ...(long ? [{label: t('start.notFound'), go: '#/ports'}] : [])]};
}

/** A stop that the printer's own report has not confirmed. A halted printer reports nothing. @param {Printer} pr */
export const unconfirmed = (pr) => pr.stop !== undefined && !pr.stop.confirmed && pr.line.state !== 'halted';

/** @param {Page} p @param {Printer} pr @returns {Partial<Sheet>} */
export function stopping(p, pr) {
  if (ageS(p.state, pr, p.now) > OUTDATED_S) return silentStop(pr);
  return {question: t('stop.asked'), reason: t('stop.asked2'), end: 'tip', figure: undefined, action: undefined, links: [], future: [{bead: 'none', words: t('stop.twice')}, {bead: 'none', words: t('stop.kept')}], body: read(p, pr)};
}

/** Nothing has been heard since Stop: only the printer's own switch is left. @param {Printer} pr @returns {Partial<Sheet>} */
const silentStop = (pr) => ({action: undefined, links: [], future: [], question: pr.setup?.switch ? t('stop.switch', {name: pr.name, where: pr.setup.switch}) : t('stop.switch0', {name: pr.name}), reason: t('stop.switch2'), end: 'ragged', pointer: false, figure: 'switch', scene: scene({printer: pr, shown: {switch: pr.setup?.switch}})});

/** "retraction_ladder: new nozzle since then" is because of the new nozzle. @param {string} d */
const whyOf = (d) => d.replace(/^\w+: /, '');

/** @param {Page} p @param {Printer} pr @returns {Partial<Sheet>} */
function due(p, pr) {
  const [first = '', ...others] = pr.due, what = first.split(':')[0];
  const future = others.map((d) => ({bead: /** @type {const} */ ('none'), words: NEXT[d.split(':')[0]] ? `${capital(doWord(d.split(':')[0]))}, ${whyOf(d)}` : whyOf(d)}));
  if (what === 'setup') return {question: t('due.setup', {name: pr.name}), reason: t('due.setup2'), action: {label: t('due.setup3'), go: `#/setup/${pr.id}`}, future};
  if (what === 'feed_check') return {question: t('due.check'), reason: t('due.check2', {why: whyOf(first)}), action: {label: t('due.check3'), go: `#/begin/${pr.id}`}, note: t('due.needs'), future, links: checks(pr)};
  const next = NEXT[what], material = loadedOn(p, pr.id);
  if (next && material) return {question: t(next), reason: t('due.what', {material: shortName(material), why: whyOf(first)}), action: {label: t(what === 'hand_over' ? 'docket.over' : 'due.ladder'), go: wayTo(what, pr.id, material.id)}, note: what === 'hand_over' ? undefined : t('ladder.needs'), future, links: checks(pr)};
  const last = (p.state.entries[pr.id] ?? []).findLast((e) => e.kind === 'feed_check');
  if (!first && last && (last.setup_version ?? 0) < (pr.setup?.version ?? 0)) return {question: t('due.check'), reason: t('due.changed', {id: last.id}), action: {label: t('due.check3'), go: `#/begin/${pr.id}`}, note: t('due.needs'), future, links: checks(pr)};
  return {question: first ? whyOf(first) : t('due.none', {name: pr.name}), reason: first ? '' : t('due.none2'), body: held(p, pr) ?? read(p, pr), action: {label: t('due.again'), go: `#/begin/${pr.id}`}, future, links: checks(pr)};
}

/** @type {Record<string, TextID>} */
const NEXT = {travel_ladder: 'due.travel', retraction_ladder: 'due.retraction', confirm: 'due.confirm', hand_over: 'due.over'};

/** What else can be run, in the order of the work; and first what asks for a look. @param {Printer} pr */
const checks = (pr) => [...(pr.differs?.length ? [{label: t('differs.link'), go: `#/differs/${pr.id}`}] : []), 
  ...(pr.due[0]?.startsWith('feed_check') || !pr.due[0] ? [] : [{label: t('check.feed'), go: `#/begin/${pr.id}`}]), {label: t('flow.link'), go: `#/begin/${pr.id}/flow_limit`}, {label: t('check.travel'), go: `#/begin/${pr.id}/travel_ladder`}, {label: t('check.retraction'), go: `#/begin/${pr.id}/retraction_ladder`}, {minor: true, label: t('width.link'), go: `#/begin/${pr.id}/filament_diameter`}, {label: t('cable.link'), go: `#/begin/${pr.id}/cable_check`}];

/** The value that holds, with what it rests on; hollow where the printer does not keep it. @param {Page} p @param {Printer} pr */
function held(p, pr) {
  const e = (p.state.entries[pr.id] ?? []).findLast((x) => x.kind === 'steps_per_mm' && x.value !== undefined);
  if (!e) return null;
  return [bigLine({value: e.value?.toFixed(2) ?? '', unit: e.unit ?? '', hollow: e.standing !== 'verified'}),
    el('p', null, t('record.held', {u95: plusMinus(e.u95 ?? 0), id: e.id, ago: ago((p.now - e.wall_ms) / 1000)}), e.standing && e.standing !== 'verified' ? t('record.standing', {standing: e.standing}) : null)];
}

/** The temperature with its age, hollow where it is too old. @param {Page} p @param {Printer} pr */
function read(p, pr) {
  if (!pr.nozzle) return undefined;
  const age = ageS(p.state, pr, p.now), old = age > OUTDATED_S || pr.line.state === 'unplugged';
  return [bigLine({value: String(Math.round(pr.nozzle.c)), unit: '°C', hollow: old}),
    el('p', null, old ? t('read.old', {ago: ago(age)}) : t('read.now', {ago: ago(age)}), ' ', old && pr.nozzle.target_c > 0 ? t('read.hot') : null, ' ', old && pr.nozzle.c > 50 ? switchOf(pr) : null)];
}
