// What is sent line by line: how far it is, what a pause keeps hot, what a run that broke off owns up to, and what a line
// that may not be opened needs. Run: node --test web/test/

import assert from 'node:assert/strict';
import test from 'node:test';
import {write} from '../draft.mjs';
import {dock} from '../dock.mjs';
import {toldOf} from '../figures/cable.mjs';
import {far} from '../figures/streaming.mjs';
import {ended} from '../pages/ended.mjs';
import {apart, meansOf} from '../pages/faults.mjs';
import {question} from '../pages/question.mjs';
import {start} from '../pages/start.mjs';
import {working} from '../pages/working.mjs';
import {nothing, reduce, streams} from '../state.mjs';
import {pastOf} from '../steps.mjs';
import {about, count} from '../texts.mjs';
import {wind} from '../wire.mjs';
import {markup} from './markup.mjs';
import {ended as found} from './scenes.mjs';

const at = '2026-11-25T16:30:24Z', NOW = Date.parse(at);
/** @param {any} [over] */
const printer = (over = {}) => ({id: 'window', name: 'Window', port: 'p', baud: 115200, owed: [], due: [], line: {state: 'listening', since: at, occupied: false}, run: 'r1',
  nozzle: {c: 24, target_c: 0, age_s: 1, outdated: false}, ...over});
/** @param {any} [over] */
const run = (over = {}) => ({id: 'r1', printer: 'window', routine: 'cable_check', state: 'underway', begun: at, last_seq: 1, answers: [], inputs: {lines: 5000}, ...over});

/** A page on one printer and one run. @param {any} pr @param {any} r @param {any[]} [events] */
function pageOn(pr, r, events = []) {
  const state = [{type: 'snapshot', store_id: 'S', last_seq: 1, printers: [pr], runs: [r]}, ...events.map((event, i) => ({type: 'event', event: {seq: i + 2, run: 'r1', wall_ms: NOW, ...event}}))]
    .reduce((s, m) => reduce(s, /** @type {any} */ (m), NOW), nothing);
  return /** @type {any} */ ({state, now: NOW, route: ['runs', 'r1'], deeds: {write, pause: () => {}, stop: () => {}}});
}

/** @param {any} tree */
const words = (tree) => [tree].flat(9).filter((x) => x && typeof x === 'object').map(markup).join(' ');

test('a program is streamed while its run is underway and says of how many lines', () => {
  assert.equal(streams(run({doing: {what: 'streaming', of_lines: 5000}})), true, 'the first line is still to come');
  assert.equal(streams(run({doing: {what: 'heating', target_c: 210}})), false);
  assert.equal(streams(run({state: 'asking', doing: {what: 'streaming', of_lines: 5000}})), false);
  assert.equal(streams(undefined), false);
});

test('Pause, Stop and Halt stand together while something is streamed, and Pause at no other time', () => {
  for (const [doing, names] of /** @type {[any, RegExp][]} */ ([[{what: 'streaming', of_lines: 5000}, /Pause.*Stop.*Halt/s], [{what: 'heating', target_c: 210}, /^(?!.*Pause)/s], [undefined, /^(?!.*(Pause|Halt)).*Stop/s]])) {
    const p = pageOn(printer(), run({doing}));
    assert.match(words(dock(p, 'window')), names);
  }
});

test('a stream that has sent nothing yet stands at 0, whatever the inputs say', () => {
  const sheet = working(pageOn(printer(), run({doing: {what: 'streaming', of_lines: 5000}})), run({doing: {what: 'streaming', of_lines: 5000}}));
  assert.equal(sheet.figure, 'streaming');
  assert.deepEqual(far(sheet.scene?.run?.doing?.lines ?? 0, sheet.scene?.run?.doing?.of_lines), {all: 5000, gone: 0, part: 0});
});

test('a pause says what stays hot and until when, by the minute of this phone', () => {
  const q = {number: 3, name: 'runner: go on', figure: 'go_on', text: 'Go on?', reason: '', asked: at, fields: [{name: 'go_on', label: 'Go on', kind: 'yes', must: true}], shown: {lines: 3, of_lines: 9}};
  const ask = (/** @type {any} */ pr, /** @type {any} */ over, /** @type {any[]} */ events = []) => question(pageOn(pr, run({state: 'asking', question: q}), events), run({state: 'asking', question: q}), /** @type {any} */ ({...q, ...over})).quiet;
  const hot = printer({nozzle: {c: 209, target_c: 210, age_s: 1, outdated: false}, bed: {c: 60, target_c: 60, age_s: 1, outdated: false}});
  const until = new Date(NOW + 480_000), clock = `${String(until.getHours()).padStart(2, '0')}:${String(until.getMinutes()).padStart(2, '0')}`;
  assert.equal(ask(hot, {cools_at: until.toISOString()}), `The nozzle stays at 210\u00a0°C and the bed stays at 60\u00a0°C until ${clock}.`);
  assert.equal(ask(printer(), {}), 'Nothing is heated.');
  assert.equal(ask(printer(), {}, [{kind: 'asked', name: q.name, question: 3}, {kind: 'cooled'}]), undefined, 'the warning says that it went cold');
});

test('a run that broke off says how far it came and which lines are not certain', () => {
  const broken = (/** @type {any} */ body, /** @type {string} */ kind = 'streamed') => {
    const r = run({state: 'interrupted', cause: 'the port is gone'}), sheet = ended(pageOn(printer(), r, [{kind, name: 'broken off', body}]), r);
    return {figure: sheet.figure, shown: sheet.scene?.shown, says: words(sheet.body), again: sheet.action?.go};
  };
  const some = broken({lines: 2310, of_lines: 5000, unsure: 12});
  assert.equal(some.figure, 'so_far');
  assert.deepEqual(some.shown, {lines: 2310, of_lines: 5000, unsure: 12});
  assert.match(some.says, /last 12 lines it is not certain/);
  assert.equal(some.again, '#/begin/window/cable_check');
  assert.match(broken({lines: 2310, of_lines: 5000, unsure: 0}).says, /Each of these 2\u202f310 lines was obeyed/);
  assert.match(broken({lines: 2310, of_lines: 5000}, 'streaming').says, /at least so far/, 'an agent that was killed counted no more');
});

test('the past has a row for what was sent, and none for each twentieth of it', () => {
  const events = /** @type {any[]} */ ([{kind: 'run begun'}, {kind: 'streaming', body: {lines: 250, of_lines: 5000}}, {kind: 'answered', name: 'runner: go on', body: {go_on: true}}, {kind: 'streamed', name: 'whole', body: {lines: 5000, of_lines: 5000}}]);
  assert.deepEqual(pastOf(run(), events.map((e, i) => ({seq: i, wall_ms: NOW, ...e}))).map((r) => [r.strong, r.words]), [['Cable check', 'begun'], ['Pause', 'went on'], ['5\u202f000\u00a0lines', 'sent']]);
});

test('each finding of the cable check leads with its own number', () => {
  const value = (/** @type {string} */ name, /** @type {number} */ v) => ({name, unit: '', value: v});
  const values = [value('lines', 5000), value('sent_again', 23), value('lines_per_s', 38.2), value('slowest_ms', 840)];
  assert.deepEqual([toldOf(found('noisy', values)).number, toldOf(found('slow', values)).number], ['23', '38']);
  assert.equal(toldOf(found('noisy', values)).below, 'of 5\u202f000, 38\u00a0lines/s, slowest answer 840\u00a0ms');
});

test('what lets a user open a line is taken apart into words and lines to copy', () => {
  const group = apart('this user may not open the port: it belongs to group dialout, and user fettle is not in it; run: sudo usermod -aG dialout fettle   then log in again, or restart the service');
  assert.deepEqual(group.map((s) => s.trim()), ['it belongs to group dialout, and user fettle is not in it; run:', 'sudo usermod -aG dialout fettle', 'then log in again, or restart the service']);
  const rule = apart('this user may not open the port: no udev rule gives it to a group of users: it belongs to group root with mode 0600; put this line into /etc/udev/rules.d/61-fettle.rules: SUBSYSTEM=="tty", KERNEL=="ttyS9", GROUP="dialout", MODE="0660"   then run: sudo udevadm control --reload   and plug it in again');
  assert.deepEqual([rule[1], rule[3]], ['SUBSYSTEM=="tty", KERNEL=="ttyS9", GROUP="dialout", MODE="0660"', 'sudo udevadm control --reload']);
  assert.equal(apart('the cable is out').length, 1);
});

test('a fault of the heating has its plain sentence, and any other the general one', () => {
  // The first two as the stand-in says them (serialio/standin/watch.go); the others recalled from memory.
  assert.match(meansOf('Error:Heating failed, system stopped! Heater_ID: 0'), /did not follow/);
  assert.match(meansOf('Error:Thermal Runaway, system stopped! Heater_ID: bed'), /not told to/);
  assert.match(meansOf('Error:MINTEMP triggered'), /colder/);
  assert.match(meansOf('Error:MAXTEMP triggered'), /hotter/);
  assert.match(meansOf('Error:Printer halted. kill() called!'), /obeys nothing/);
});

test('another printer on the port is one question with both names, and the answer names what was seen', () => {
  /** @type {any[]} */
  const sent = [];
  const both = {mark: '5f0c1d2e', text: '', kept: {machine: 'Invented One', firmware: '1', uuid: ''}, answers: {machine: 'Invented Two', firmware: '1', uuid: ''}};
  const p = pageOn(printer({run: undefined, another_printer: both, due: ['another_printer: x']}), run({state: 'finished'}));
  p.route = ['printers', 'window'];
  p.deeds.ask = (/** @type {any[]} */ ...a) => { sent.push(a.slice(1, 4)); };
  const sheet = start(p);
  assert.match(words(sheet.body), /Invented One.*Invented Two/s);
  sheet.action?.act?.();
  assert.deepEqual(sent, [['POST', '/v1/printers/window/same-printer', {mark: '5f0c1d2e'}]]);
});

test('counts and times as a person reads them', () => {
  assert.deepEqual([0, 999, 1000, 148201, 1e7].map(count), ['0', '999', '1\u202f000', '148\u202f201', '10\u202f000\u202f000']);
  assert.deepEqual([3, 44, 480, 7900].map(about), ['some seconds', '50\u00a0s', '8\u00a0min', '2\u00a0h 12\u00a0min']);
});

test('lines of a program that are taken are wound into one coil, and what is not so stands by itself', () => {
  const line = (/** @type {number} */ n, /** @type {boolean} */ out, /** @type {string} */ text) => ({n, boot: 'b', at, out, text});
  const lines = Array.from({length: 40}, (_, i) => line(i, i % 2 === 0, i % 2 === 0 ? `N${i} G1 F${1000 + i}*7` : 'ok'));
  const turns = wind([...lines, line(40, true, 'N40 G1 F900*7'), line(41, false, 'Resend: 40')]);
  assert.deepEqual(turns.map((x) => 'coil' in x ? [x.of, x.coil] : x.line.text), [['program', 20], 'Resend: 40']);
});
