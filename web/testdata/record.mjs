// Records testdata/feed_check.jsonl: what GET /v1/live says through one feed check on the demo. Start one that is fresh,
// then: node --experimental-websocket web/testdata/record.mjs http://127.0.0.1:7340

import {writeFileSync} from 'node:fs';

const base = process.argv[2] ?? 'http://127.0.0.1:7340';

/** @type {string[]} */
const said = [];
const socket = new WebSocket(`${base.replace('http', 'ws')}/v1/live`);
socket.onmessage = (e) => said.push(e.data);
await new Promise((ok) => { socket.onopen = ok; });

/** @param {string} path @param {object} [body] */
const ask = async (path, body) => (await fetch(base + path, body && {method: 'POST', headers: {'Content-Type': 'application/json'}, body: JSON.stringify(body)})).json();

let run = await ask('/v1/runs', {printer: 'window', routine: 'feed_check', material: 'plum-pla', attended: true, inputs: {gauge: 'caliper'}});
const id = run.id;

/** What a person would say to each question, by its figure. @type {Record<string, object>} */
const ANSWERS = {air: {air: true}, hands_away: {hands_away: true}, mark: {mark_mm: 120}, strand: {strand: 'smooth'},
  leftover: {leftover_mm: 23.04}, finding: {apply: 'write'}, verify: {verify: false}};

for (;;) {
  run = await ask(`/v1/runs/${id}?until=asking,ended&within=60s`);
  if (!run.question) break;
  await ask(`/v1/runs/${id}/answers`, {question: run.question.number, ...ANSWERS[run.question.figure]});
}
await new Promise((ok) => setTimeout(ok, 1500)); // for the last views to be told
socket.close();
writeFileSync(new URL('feed_check.jsonl', import.meta.url), `${said.join('\n')}\n`);
console.log(`${said.length} messages, run ${run.state}`);
