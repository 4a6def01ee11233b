// The words of the pages come from several files: none may take the place of another's.

import assert from 'node:assert/strict';
import {test} from 'node:test';
import {CHART} from '../texts-chart.mjs';
import {DRAWN} from '../texts-drawn.mjs';
import {FLOW} from '../texts-flow.mjs';
import {SAID} from '../texts-said.mjs';
import {WAYS} from '../texts-ways.mjs';

test('no text has the name of another', () => {
  const names = [SAID, DRAWN, WAYS, FLOW, CHART].flatMap((words) => Object.keys(words));
  assert.deepEqual(names.filter((n, i) => names.indexOf(n) !== i), []);
});
