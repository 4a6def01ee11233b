// What went over a line, as it is told live, with a meaning in words where it is plain. Repeats are wound into a coil.

import {follow, socketURL} from './live.mjs';

/** A coil is of heat readings, or of lines of a program that were taken. @typedef {{line: WireLine, means: string}|{coil: number, of: 'heat'|'program', from: WireLine, to: WireLine, low: number, high: number}} Turn */

const MOST = 600; // lines that are kept

/** @type {{printer: string, lines: WireLine[], end: () => void}} */
const open = {printer: '', lines: [], end: () => {}};

/** Follows one printer's wire, or none. @param {string} printer @param {() => void} again */
export function followWire(printer, again) {
  if (open.printer === printer) return;
  open.end();
  Object.assign(open, {printer, lines: [], end: () => {}});
  if (!printer) return;
  const s = follow({
    url: () => { const last = open.lines.at(-1); return socketURL(`/v1/printers/${printer}/wire${last ? `?after=${last.n}&boot=${last.boot}` : ''}`); },
    hear: (/** @type {WireLine} */ l) => { if (open.lines.push(l) > 2 * MOST) open.lines.splice(0, MOST); again(); },
    link: () => {}, failed: () => {},
  });
  open.end = s.close;
}

export const wireLines = () => open.lines.slice(-MOST);

const HEAT = /T:(-?\d+(?:\.\d+)?)/;

/** @param {WireLine[]} lines @returns {Turn[]} */
export function wind(lines) {
  /** @type {Turn[]} */
  const turns = [];
  for (let i = 0; i < lines.length; i++) {
    const j = until(lines, i, idle), k = until(lines, i, plain);
    if (j - i >= 6) {
      const heats = lines.slice(i, j).map((l) => HEAT.exec(l.text)?.[1]).filter(Boolean).map(Number);
      turns.push({coil: heats.length, of: 'heat', from: lines[i], to: lines[j - 1], low: Math.min(...heats), high: Math.max(...heats)});
      i = j - 1;
    } else if (k - i >= 8) {
      turns.push({coil: lines.slice(i, k).filter((l) => !l.out).length, of: 'program', from: lines[i], to: lines[k - 1], low: NaN, high: NaN});
      i = k - 1;
    } else {
      turns.push({line: lines[i], means: meaning(lines[i])});
    }
  }
  return turns;
}

/** Asking for the heat and hearing it: the most common talk of all. @param {WireLine} l */
const idle = (l) => l.out ? /\bM105\b/.test(l.text) : HEAT.test(l.text);

/** A line of a program, and its plain yes. @param {WireLine} l */
const plain = (l) => l.out ? /^N\d+ G[0-3] /.test(l.text) : l.text.trim() === 'ok';

/** Where the lines end of which something holds. @param {WireLine[]} lines @param {number} i @param {(l: WireLine) => boolean} holds */
function until(lines, i, holds) {
  while (i < lines.length && holds(lines[i])) i++;
  return i;
}

/** Commands and replies in words, by common practice of this dialect. @type {[RegExp, (m: RegExpExecArray) => string][]} */
const MEANS = [
  [/\bM105\b/, () => 'ask for the heat'], [/\bM104 S0\b/, () => 'nozzle heater off'], [/\bM104 S(\d+)/, (m) => `nozzle to ${m[1]} °C`],
  [/\bM140 S0\b/, () => 'bed heater off'], [/\bM110\b/, () => 'count lines from here'], [/\bM115\b/, () => 'ask what it is'], [/\bM114\b/, () => 'ask where it is'],
  [/\bM503\b/, () => 'ask for its settings'], [/\bM500\b/, () => 'store the settings'], [/\bM501\b/, () => 'load the stored settings'],
  [/\bM92 .*E([\d.]+)/, (m) => `extruder to ${m[1]} steps/mm`], [/\bM400\b/, () => 'say when the moves are done'], [/\bM8[23]\b/, (m) => m[0] === 'M82' ? 'lengths count from one zero' : 'lengths count each from the last'],
  [/\bG92 E0\b/, () => 'here is the zero'], [/\bG1 .*E(-?[\d.]+) F([\d.]+)/, (m) => `on to ${m[1]} mm, ${m[2]} mm a minute`], [/\bM112\b/, () => 'give up everything'],
  [/\bM220\b/, () => 'speed factor'], [/\bM221\b/, () => 'flow factor'], [/\bM302\b/, () => 'cold feed allowed or not'], [/\bM106\b|\bM107\b/, () => 'fan'],
  [/^ok.*T:(-?[\d.]+) ?\/(-?[\d.]+)/, (m) => `taken; nozzle ${m[1]} °C, target ${m[2]}`], [/^ok/, () => 'taken'], [/Resend: ?(\d+)/i, (m) => `say line ${m[1]} again`], [/busy/i, () => 'alive, not done'],
];

/** @param {WireLine} l */
export function meaning(l) {
  for (const [pattern, words] of MEANS) {
    const m = pattern.exec(l.text);
    if (m) return words(m);
  }
  return '';
}
