// A run, whatever it is at: asking, working, ended. The page follows by itself; a second phone sees the same.

import {sheafOf} from '../draft.mjs';
import {isFlow} from '../climb.mjs';
import {el} from '../el.mjs';
import {action, link} from '../column.mjs';
import {head, ofRun} from '../page.mjs';
import {ended as isEnded} from '../state.mjs';
import {pastOf} from '../steps.mjs';
import {capital, mm, t} from '../texts.mjs';
import {budget} from './budget.mjs';
import {caution} from './caution.mjs';
import {curve} from './curve.mjs';
import {readings} from './diameter.mjs';
import {ended} from './ended.mjs';
import {flowQuestion} from './flow.mjs';
import {grades, judgedPiece} from './grades.mjs';
import {nextPiece} from './ladder.mjs';
import {lengths} from './lengths.mjs';
import {keyOf, question} from './question.mjs';
import {stopping, unconfirmed} from './start.mjs';
import {bigLine, working} from './working.mjs';

/** Questions with a page of their own, by their figure. @type {Record<string, typeof question>} */
const PAGES = {caution, grades, piece: nextPiece};

/** @param {Page} p @param {string} id @returns {Sheet} */
export function run(p, id) {
  const r = p.state.runs[id];
  if (!r && p.state.gone[id]) return {key: `${id}/gone`, head: head(p, null, '', ''), question: t('run.gone'), reason: t('run.gone2'), end: 'tip', action: {label: t('ended.back'), go: '#/'}};
  if (!r) return {key: `${id}/reading`, head: head(p, null, '', ''), question: t('run.reading'), end: 'none', pointer: false};
  if (p.route[2] === 'budget') return budget(p, r);
  if (p.route[2] === 'readings') return readings(p, r);
  if (p.route[2] === 'curve') return curve(p, r);
  if (p.route[2] === 'lengths') return lengths(p, r);
  if (p.route[2] === 'graded') return judgedPiece(p, r);
  const lost = lostTo(p, r);
  if (lost) return lost;
  const printer = p.state.printers[r.printer];
  if (r.state === 'stopped' && printer && unconfirmed(printer)) return {...ended(p, r), key: `${r.id}/stopping`, ...stopping(p, printer)};
  if (isEnded(r)) return ended(p, r);
  if (!r.question) return working(p, r);
  return (PAGES[r.question.figure] ?? (isFlow(r.routine) ? flowQuestion : question))(p, r, r.question);
}

/** Two people: who answered first, and what. It stands until the person has seen it. @param {Page} p @param {Run} r @returns {Sheet|null} */
function lostTo(p, r) {
  for (const number of [r.question?.number, ...r.answers.map((a) => a.question).reverse()]) {
    const key = `${r.id}/${number}`, problem = sheafOf(key).problem;
    if (problem?.code !== 'answered' || !problem.winner) continue;
    const mine = sheafOf(key).text, theirs = words(problem.winner.answer);
    const seen = () => p.deeds.write(key, {problem: null, text: ''});
    return {key: `${key}/lost`, ...ofRun(p, r),
      past: pastOf(r, p.state.events[r.id] ?? []).slice(0, -1),
      question: t('lost.first', {who: capital(problem.winner.who || t('lost.somebody')), answer: theirs}),
      reason: mine && mine !== theirs ? t('lost.yours', {mine}) : t('lost.same'),
      body: [bigLine({value: theirs, unit: ''}), el('p', null, t('lost.recorded')), el('p', {class: 'gap'}), action({label: t('lost.goOn', {answer: theirs}), act: seen}), el('div', {class: 'links'}, link({label: t('lost.back'), act: () => { seen(); p.deeds.takeBack(keyOf(r), r.id); }}))]};
  }
  return null;
}

/** @param {Record<string, any>} answer */
const words = (answer) => Object.keys(answer).length > 3 ? t('past.graded') : Object.values(answer).map((v) => typeof v === 'number' ? mm(v) : v === true ? t('yes') : v === false ? t('no') : String(v).replace(/_/g, ' ')).join(', ');
