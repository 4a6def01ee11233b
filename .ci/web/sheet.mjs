// Draws all figures on sheets, light and dark, 390 and 320 px wide, and photographs them with the browser, to be looked at.
// Says which words leave their figure's frame in the browser's own fonts.
//
//   node .ci/web/sheet.mjs [word]      only figures whose name has the word; FONT='Liberation Sans' for another font, SCALE=2 for twice the pixels

import {execFileSync} from 'node:child_process';
import {mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync} from 'node:fs';
import {tmpdir} from 'node:os';
import {dirname, join} from 'node:path';
import {fileURLToPath} from 'node:url';
import {figures} from '../../web/figures/index.mjs';
import {hatches} from '../../web/figures/pen.mjs';
import {USUAL} from '../../web/test/scenes.mjs';
import {el} from '../../web/el.mjs';
import {markup} from '../../web/test/markup.mjs';
import {glyph} from '../../web/strand.mjs';

const HERE = dirname(fileURLToPath(import.meta.url)), WEB = join(HERE, '../../web'), OUT = join(HERE, '../out');
const PLUM = {'--mat': '#7C5AA6', '--mat-shine': '#BBA9D1', '--mat-left': '#664A88', '--mat-right': '#614681'};

const frame = (width, height) => width < 360 ? {width, height, sx: 26, col: 56, right: width - 14, narrow: true, still: false}
  : {width, height, sx: 34, col: 72, right: width - 20, narrow: false, still: false};

/** One figure in its paper, with the page's strand above it, so that a step between them shows. */
function paper([name, scene, words], width, tall) {
  const figure = figures[name], height = Math.round(tall ? Math.min(figure.most, figure.least + 140) : figure.least), f = frame(width, height);
  const entering = figure.strand === 'ends' ? '' : `<i class="thread" style="left:${f.sx - 7}px;top:0;bottom:auto;height:16px"></i>`;
  const svg = el('svg', {role: 'img', viewBox: `0 0 ${width} ${height}`}, hatches(), figure.draw(f, scene));
  return `<figure style="width:${width}px"><figcaption>${words}, ${height}</figcaption><div class="paper" style="height:${height + 32}px">${entering}` +
    `<div class="stage" data-name="${words}" style="top:16px;height:${height}px">${markup(svg)}</div></div></figure>`;
}

const CSS = ['style', 'figure'].map((n) => readFileSync(join(WEB, `${n}.css`), 'utf8')).join('\n');

const STATES = ['unplugged', 'greeting', 'listening', 'occupied', 'out of step', 'halted', 'underway', 'asking', 'finished', 'stopped', 'interrupted', 'failed', 'silent'];
const GLYPHS = STATES.map((s) => `<span style="display:inline-flex;gap:8px;margin:0 22px 8px 0;align-items:center">${markup(glyph(s))}${s}</span>`).join('');

function page(dark, width, columns, chosen, tall) {
  const css = dark ? CSS.replace('(prefers-color-scheme: dark)', 'all') : CSS.replace('(prefers-color-scheme: dark)', 'not all');
  const own = `html,body{height:auto;overflow:visible;display:block}body{padding:12px;width:${columns * (width + 16) + 24}px;font-family:${process.env.FONT ? `'${process.env.FONT}',` : ''}system-ui,sans-serif}
    #sheet{display:flex;flex-wrap:wrap;gap:14px}figure{margin:0}figcaption{font-size:12px;line-height:16px;color:var(--ink2)}
    .paper{position:relative;box-shadow:0 0 0 1px var(--hair)}.stage{position:absolute!important;left:0;right:0}
    :root{${Object.entries(PLUM).map(([k, v]) => `${k}:${v}`).join(';')}}`;
  const measure = `for (const s of document.querySelectorAll('.stage')) { const r = s.getBoundingClientRect();
    for (const x of s.querySelectorAll('text')) { const b = x.getBoundingClientRect(); if (b.left < r.left - 1 || b.right > r.right + 1 || b.top < r.top - 8 || b.bottom > r.bottom + 8)
      document.title += s.dataset.name + ': ' + x.textContent + '; '; } }`;
  return `<!doctype html><meta charset="utf-8"><title></title><style>${css}${own}</style><p>${GLYPHS}</p><div id="sheet">${chosen.map((c) => paper(c, width, tall)).join('')}</div><script>${measure}</script>`;
}

function photograph(name, html, width, height) {
  const profile = mkdtempSync(join(tmpdir(), 'sheet-')), file = join(profile, 'page.html');
  writeFileSync(file, html);
  const flags = ['--no-sandbox', '--headless', '--disable-gpu', '--no-first-run', '--disable-background-networking', '--disable-component-update', '--disable-sync', `--user-data-dir=${profile}/home`];
  execFileSync('/usr/bin/chromium', [...flags, '--hide-scrollbars', `--force-device-scale-factor=${process.env.SCALE ?? 1}`, `--window-size=${width},${height}`, `--screenshot=${join(OUT, name)}`, `file://${file}`], {stdio: 'ignore'});
  const dom = execFileSync('/usr/bin/chromium', [...flags, '--dump-dom', `file://${file}`], {stdio: ['ignore', 'pipe', 'ignore'], maxBuffer: 1 << 26}).toString();
  rmSync(profile, {recursive: true, force: true});
  return /<title>(.*?)<\/title>/s.exec(dom)?.[1] ?? '';
}

mkdirSync(OUT, {recursive: true});
const word = process.argv[2] ?? '', all = USUAL.filter(([name, , words]) => `${name} ${words}`.includes(word));
let fault = 0;
for (const [dark, width, tall] of [[false, 390, true], [true, 390, true], [false, 320, false], [true, 320, false]]) {
  const columns = 4, per = 12;
  for (let i = 0; i * per < all.length; i++) {
    const chosen = all.slice(i * per, (i + 1) * per);
    const heights = chosen.map(([n]) => Math.min(figures[n].most, figures[n].least + (tall ? 140 : 0)));
    let high = 110;
    for (let k = 0; k < heights.length; k += columns) high += Math.max(...heights.slice(k, k + columns)) + 64;
    const name = `figures-${width}-${dark ? 'dark' : 'light'}-${i + 1}.png`;
    const out = photograph(name, page(dark, width, columns, chosen, tall), columns * (width + 16) + 24, Math.round(high));
    if (out) { console.log(`${name}: out of its frame: ${out}`); fault = 1; }
  }
}
process.exit(fault);
