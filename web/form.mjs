// Fields of a form, drawn from their descriptions: the same ones that the agent prints as JSON Schema.

import {el} from './el.mjs';
import {parseNumber} from './entry.mjs';
import {t} from './texts.mjs';

/**
 * @param {Field[]} fields @param {Record<string, string>} values as typed
 * @param {(name: string, text: string) => void} set @param {Problem|null} problem
 */
export function form(fields, values, set, problem) {
  return el('div', {class: 'form'}, fields.map((f) => {
    const fault = problem?.errors?.find((e) => e.field === f.name || e.pointer?.endsWith(`/${f.name}`));
    return el('div', {class: 'field'}, one(f, values[f.name] ?? usual(f), (text) => set(f.name, text)),
      fault && el('p', {class: 'fault', role: 'alert'}, t('fault', {field: '', detail: fault.detail, accept: fault.accept}).trim()));
  }));
}

/** What stands at its field need not be said again below. @param {Problem} problem */
export const beside = (problem) => problem.errors?.length ? {...problem, errors: undefined, detail: ''} : problem;

/** What a field holds until somebody says otherwise, as typed. @param {Field} f */
export const usual = (f) => f.default === undefined ? '' : typeof f.default === 'boolean' ? (f.default ? 'yes' : 'no') : String(f.default);

/** @param {Field} f @param {string} value @param {(text: string) => void} set */
function one(f, value, set) {
  if (f.kind === 'choice') return [el('p', {class: 'label', id: `l-${f.name}`}, f.label), cells(f.label, f.choices ?? [], value, set)];
  if (f.kind === 'yes') return [el('p', {class: 'label'}, f.label), cells(f.label, [{value: 'yes', label: t('yes')}, {value: 'no', label: t('no')}], value, set)];
  return [el('label', {for: `f-${f.name}`}, f.label), el('div', {class: 'box'},
    el('input', {id: `f-${f.name}`, type: 'text', inputmode: f.kind === 'number' ? 'decimal' : null, autocomplete: 'off', value,
      on: {input: (/** @type {any} */ e) => set(e.target.value)}}), f.unit && el('span', null, f.unit))];
}

/** One of few, side by side, with its drawing where it has one; arrow keys go from one to the next. @param {string} label @param {Array<Choice & {drawing?: Kid, test?: string}>} choices @param {string} value @param {(v: string) => void} set */
export function cells(label, choices, value, set) {
  return el('div', {class: `cells ${choices.length > 3 && !choices[0].drawing ? 'two' : ''}`, role: 'radiogroup', 'aria-label': label}, choices.map((c, i) => el('button', {type: 'button', class: 'cell', role: 'radio',
    'aria-checked': c.value === value ? 'true' : 'false', tabindex: c.value === value || (i === 0 && !choices.some((x) => x.value === value)) ? 0 : -1,
    on: {click: () => set(c.value), keydown: (/** @type {KeyboardEvent} */ e) => arrow(e, choices, i, set)}}, c.drawing, unbroken(c.label), c.test && el('small', null, c.test))));
}

/** A unit never breaks from its number. @param {string} label @returns {Kid[]} */
const unbroken = (label) => label.split(/(\d[\d.,]* (?:mm|%|°C))/).map((part, i) => i % 2 ? el('span', {class: 'as-one'}, part) : part);

/** @param {KeyboardEvent} e @param {Choice[]} choices @param {number} i @param {(v: string) => void} set */
function arrow(e, choices, i, set) {
  const by = {ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1}[e.key];
  if (!by) return;
  e.preventDefault();
  const next = (i + by + choices.length) % choices.length;
  set(choices[next].value);
  /** @type {HTMLElement|undefined} */ (/** @type {HTMLElement} */ (e.currentTarget).parentElement?.children[next])?.focus();
}

/** What was typed, in the fields' own kinds; what was left empty is left out. @param {Field[]} fields @param {Record<string, string>} values */
export function bodyOf(fields, values) {
  /** @type {Record<string, any>} */
  const body = {};
  for (const f of fields) {
    const text = (values[f.name] ?? usual(f)).trim();
    if (text === '') continue;
    if (f.kind === 'number') body[f.name] = parseNumber(text) ?? text;
    else if (f.kind === 'yes') body[f.name] = text === 'yes';
    else body[f.name] = text;
  }
  return body;
}
