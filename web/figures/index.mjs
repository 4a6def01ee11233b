// Which figure draws what. A name that is not here is drawn by nothing: the page shows question, pad and choices alone.

import {across} from './across.mjs';
import {air, handsAway} from './air.mjs';
import {interrupted, mains, port} from './away.mjs';
import {bite} from './bite.mjs';
import {both} from './both.mjs';
import {budget} from './budget.mjs';
import {cable} from './cable.mjs';
import {caution} from './caution.mjs';
import {diameter, uneven} from './diameter.mjs';
import {path} from './coldpath.mjs';
import {differs} from './differs.mjs';
import {drift} from './drift.mjs';
import {drive} from './drive.mjs';
import {enough} from './enough.mjs';
import {feeding} from './feeding.mjs';
import {cannotTell, change, failed, leave} from './finding.mjs';
import {flow} from './flow.mjs';
import {flags, nearFlag} from './flags.mjs';
import {grades, judged} from './grades.mjs';
import {bed, cooling, heating} from './heating.mjs';
import {farFlag, leftover, lengths, mark} from './inlet.mjs';
import {limit} from './limit.mjs';
import {look} from './look.mjs';
import {next} from './next.mjs';
import {printing} from './printing.mjs';
import {residuals} from './residuals.mjs';
import {rungs} from './rungs.mjs';
import {soFar} from './sofar.mjs';
import {streaming} from './streaming.mjs';
import {tube} from './tube.mjs';
import {coupler, cut, cutPiece, unload} from './tubeend.mjs';
import {verify} from './verify.mjs';

/**
 * By the `figure` of a question, by what the machine does, by the kind of a finding, or by what a page shows.
 * @type {Readonly<Record<string, Figure>>}
 */
export const figures = Object.freeze({
  caution, air, hands_away: handsAway, mark, strand: look, leftover, differs, verify,
  flags, near_flag: nearFlag, far_flag: farFlag, lengths, path, unload, coupler, cut, cut_piece: cutPiece, enough, residuals,
  heating, cooling, feeding, pre_feed: feeding, streaming, go_on: soFar, so_far: soFar,
  piece: next, grades, judged, printing, rungs, both, heating_bed: bed,
  bite, flow_limit: flow,
  fit: cable, noisy: cable, slow: cable,
  finding: change, leave, cannot_tell: cannotTell, ratio: change, failed,
  across, diameter, uneven, wrong_size: diameter, drift,
  budget, port, interrupted, switch: mains, drive, tube, liner: limit,
});

/** @param {string} name @returns {Figure|null} */
export const figureOf = (name) => Object.hasOwn(figures, name) ? figures[name] ?? null : null;
