// Which address is which page. The hash keeps the place over a reload.

import {printerOf} from '../page.mjs';
import {beginFlow} from './begin-flow.mjs';
import {beginCable, beginLadder} from './begin.mjs';
import {begin} from './check.mjs';
import {dockets} from './docket.mjs';
import {beginDiameter} from './diameter.mjs';
import {drift} from './drift.mjs';
import {differing} from './handover.mjs';
import {isLadder} from './ladder.mjs';
import {logbook} from './logbook.mjs';
import {materials} from './materials.mjs';
import {pair} from './pair.mjs';
import {ports} from './ports.mjs';
import {run} from './run.mjs';
import {setup} from './setup.mjs';
import {all, start, unconfirmed} from './start.mjs';
import {wire} from './wire.mjs';

/** @type {Readonly<Record<string, (p: Page) => Sheet>>} */
const pages = Object.freeze({
  all, dockets, drift, logbook, materials, ports, setup, wire, pair,
  begin: (p) => p.route[2] === 'cable_check' ? beginCable(p) : p.route[2] === 'flow_limit' ? beginFlow(p) : p.route[2] === 'filament_diameter' ? beginDiameter(p) : isLadder(p.route[2]) ? beginLadder(p) : begin(p),
  differs: differing,
  runs: (p) => run(p, p.route[1] ?? ''),
});

/** @param {string} hash */
export const routeOf = (hash) => hash.replace(/^#\/?/, '').split('/').map(decode);

/** @param {string} part */
function decode(part) {
  try { return decodeURIComponent(part); } catch { return part; }
}

/** The page of an address. Stop stands on each: a page about no printer has that of the likeliest one. @param {Page} p */
export function pageOf(p) {
  const sheet = sheetOf(p);
  return sheet.printer ? sheet : {...sheet, printer: printerOf(p)?.id};
}

/** A printer that is at work shows its run: a second phone follows by itself. @param {Page} p */
function sheetOf(p) {
  if (p.state.unpaired) return pair(p);
  const page = Object.hasOwn(pages, p.route[0]) ? pages[p.route[0]] : null;
  if (page) return page(p);
  const named = p.state.printers[p.route[1] ?? ''] ?? Object.values(p.state.printers).find((x) => x.run);
  if (named?.run && p.state.runs[named.run] && !unconfirmed(named)) {
    history.replaceState(null, '', `#/runs/${named.run}`);
    return run({...p, route: ['runs', named.run]}, named.run);
  }
  return start(p);
}
