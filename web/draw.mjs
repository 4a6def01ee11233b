// Puts a sheet on the screen: the column and the dock, fitted to the height, with focus where a new question begins.

import {column} from './column.mjs';
import {dock, rememberPrinter} from './dock.mjs';
import {el, show} from './el.mjs';
import {beside} from './pages/wire.mjs';
import {remeasure} from './stage.mjs';

const MOST = 7; // steps in which a short screen gives way; style.css says what each gives

const AIR = 8; // px between the action and the dock
const NEAR = 160; // px from the end that still count as being there

const desk = /** @type {HTMLElement} */ (document.getElementById('desk'));
const foot = /** @type {HTMLElement} */ (document.getElementById('dock'));

let fitted = '', give = 0, key = '';

/** @param {Page} p @param {Sheet} s */
export function draw(p, s) {
  const still = matchMedia('(prefers-reduced-motion: reduce)').matches;
  const wide = innerWidth >= 1000 && s.printer && !s.key.startsWith('wire/');
  const side = wide ? beside(p.state.printers[s.printer ?? '']?.name ?? '') : null;
  const put = () => show(desk, [trouble(p, column(s, give, still)), side]);
  show(foot, dock(p, s.printer));
  if (s.printer) rememberPrinter(s.printer);
  fit(s, put);
  put();
  if (remeasure(desk)) put();
  if (s.key !== key) arrive(s);
  newestLowest(s);
}

/** The record fails: said above all else. @param {Page} p @param {Node_} node */
function trouble(p, node) {
  return p.state.trouble ? el('div', {class: 'column-with'}, el('p', {class: 'record-fails', role: 'alert'}, p.state.trouble), node) : node;
}

/** Gives way step by step until question, figure and action stand together above the dock. Only long pages scroll. @param {Sheet} s @param {() => void} put */
function fit(s, put) {
  const now = [s.key, innerWidth, innerHeight, s.past?.length, s.future?.length, s.reason?.length, s.problem?.code, s.body?.length, s.quiet].join('|');
  if (now === fitted) return;
  fitted = now;
  for (give = 0; give <= MOST; give++) {
    put();
    remeasure(desk);
    if (s.long || fits()) return;
  }
  give = MOST;
}

function fits() {
  const box = desk.querySelector('.column');
  const act = box?.querySelector('.action')?.getBoundingClientRect().bottom ?? 0;
  return !box || (box.scrollHeight <= desk.clientHeight + 1 && act <= foot.getBoundingClientRect().top - AIR && apart(box));
}

/** What stands over a figure ends above the cells in the dock's place. @param {Element} box */
function apart(box) {
  const over = box.querySelector('.stage.over > .controls'), cells = box.querySelector('.grades');
  return !over || !cells || Math.max(0, ...Array.from(over.children, (e) => e.getBoundingClientRect().bottom)) <= cells.getBoundingClientRect().top;
}

/** Another page: its question is read out and the keyboard begins there. @param {Sheet} s */
function arrive(s) {
  const first = key === '';
  key = s.key;
  document.title = `${s.question.replace(/\.$/, '')} · ${s.head?.name ?? 'Fettle'}`;
  desk.scrollTop = 0;
  if (!first) /** @type {HTMLElement|null} */ (desk.querySelector('h1'))?.focus({preventScroll: true});
  stays = true;
}

/** The person is at the newest line: scrolling away leaves it, scrolling back takes it up again. */
let stays = true;
desk.addEventListener('scroll', () => { stays = desk.scrollHeight - desk.scrollTop - desk.clientHeight < NEAR; }, {passive: true});

/** The newest stands lowest: on the wire, beside the column, in the logbook. @param {Sheet} s */
function newestLowest(s) {
  const beside = desk.querySelector('.side .wire');
  if (beside) beside.scrollTop = beside.scrollHeight;
  if (stays && (s.key === 'logbook' || s.key.startsWith('wire/'))) desk.scrollTop = desk.scrollHeight;
}
