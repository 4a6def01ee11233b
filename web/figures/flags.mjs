// Two flags of tape on the filament: how far apart they are set, and where the near one is once the play is taken up.

import {el} from '../el.mjs';
import {arrow} from './marks.mjs';
import {SWELL, SWOLLEN, dimension, px} from './pen.mjs';
import {flag, handle, lengthOf, lie, strandAndScale, tape} from './reading.mjs';
import {between, known} from './words.mjs';
import {mm, t} from '../texts.mjs';

const FLAGS_MM = 100, NEAR_MM = 25; // where the agent does not say

/** @type {Omit<Figure, 'draw'|'title'|'desc'>} */
const BESIDE = {place: 'beside', strand: 'carries', least: 250, most: 470, inset: (f) => f.sx + (f.narrow ? 64 : 78)};

/** @param {Scene} s */
const proposed = (s) => ({near: lengthOf(s.shown.near_mm, NEAR_MM), apart: lengthOf(s.shown.flags_mm, FLAGS_MM)});

/** The near flag stands where it is proposed; the far one follows what is typed. @type {Figure} */
export const flags = {
  ...BESIDE,
  title: () => t('flags.title'),
  desc: (s) => { const {near, apart} = proposed(s); return t(s.draft.value === null ? 'flags.desc' : 'flags.desc2', {near: mm(near), apart: mm(s.draft.value ?? apart)}); },
  draw(f, s) {
    const {near, apart} = proposed(s), on = lie(f, near + apart, 40), value = s.draft.value, low = on.at(near);
    const y = value === null || !known(value) ? null : on.at(between(near + value, near, near + apart + 30 / on.perMM)), far = y ?? on.at(near + apart);
    return [
      ...strandAndScale(f, on, near + apart, {hides: (_, at) => Math.abs(at - low) < 20 || Math.abs(at - far) < 18}),
      dimension(f.sx - 24, low, far), ...tape(f, low, true), ...(y === null ? tape(f, far, false) : flag(f, y, s.draft.verdict)),
      handle(f, s, (at) => on.of(at) - near, apart * 1.2),
    ];
  },
};

const REACH_MM = 40; // drawn above the inlet: the near flag is read over a short way alone

/** Drawn closer: over so short a way half a millimetre is seen. The far flag is out of sight. @type {Figure} */
export const nearFlag = {
  ...BESIDE,
  title: () => t('near_flag.title'),
  desc: (s) => s.draft.value === null ? t('near_flag.desc') : t('near_flag.desc2', {near: mm(s.draft.value)}),
  draw(f, s) {
    const on = lie(f, REACH_MM, 26), value = s.draft.value, x = f.sx + SWOLLEN / 2 + 12;
    const y = value === null || !known(value) ? null : on.at(between(value, -4, REACH_MM + 18 / on.perMM));
    return [
      ...strandAndScale(f, on, REACH_MM, {ticks: {tick: 1, long: 5, label: 10}, hides: (v, at) => v > REACH_MM - 5 || (y !== null && Math.abs(at - y) < 18)}),
      ...(y === null || y > SWELL + 40 ? [arrow(x, SWELL - 12, -90), el('path', {class: 'stroke', d: `M${px(x)} ${SWELL + 6}V${SWELL - 12}`})] : []),
      ...(y === null ? [] : [dimension(f.sx - 24, on.inlet, y), ...flag(f, y, s.draft.verdict)]),
      handle(f, s, on.of, REACH_MM),
    ];
  },
};
