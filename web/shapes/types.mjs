// The shapes that the agent sends, as its openapi.yaml has them. Types alone: nothing here runs.

/** @typedef {{value: string, label: string}} Choice */

/**
 * @typedef {object} Field
 * @property {string} name            snake_case with the unit
 * @property {string} label
 * @property {'number'|'choice'|'yes'|'text'} kind
 * @property {string} [unit]
 * @property {number} [min]
 * @property {number} [max]
 * @property {number} [step]
 * @property {any} [default]
 * @property {Choice[]} [choices]
 * @property {boolean} [must]         the only answer that is accepted
 * @property {boolean} [optional]
 * @property {string} [out_of]        why a number outside the limits cannot be
 */

/** @typedef {{name: string, unit: string, a: number, b: number, u95: number, unlikely: [number, number]}} Derived */

/**
 * @typedef {object} Question
 * @property {number} number
 * @property {string} name
 * @property {string} figure
 * @property {string} text
 * @property {string} reason
 * @property {string[]} [warning]
 * @property {Field[]} fields
 * @property {boolean} [one_of]
 * @property {Derived} [derived]
 * @property {any} [shown]            numbers the figure is drawn from, each with its unit in its name
 * @property {string} asked
 * @property {string} [cools_at]       when a heater goes off by itself if nobody answers, RFC 3339
 */

/** of_lines: a program is streamed. @typedef {{what: string, target_c?: number, fed_mm?: number, of_mm?: number, lines?: number, of_lines?: number, bytes?: number, of_bytes?: number, lasted_s?: number, of_s?: number, left_s?: number}} Doing */
/** @typedef {{question: number, name: string, answer: Record<string, any>, who?: string, at: string}} Given */
/** @typedef {{name: string, unit: string, value: number, u95?: number}} Value */
/** @typedef {{name: string, type: string, distribution: string, limit: number, u: number, unit: string, limit_unit?: string, common: boolean}} BudgetRow */
/** @typedef {{kind: string, headline: string, reason: string, values?: Value[], budget?: BudgetRow[], notes?: string[]}} Finding */

/**
 * @typedef {object} Run
 * @property {string} id
 * @property {string} printer
 * @property {string} routine
 * @property {string} [material]
 * @property {'underway'|'asking'|'finished'|'stopped'|'interrupted'|'failed'} state
 * @property {Doing} [doing]
 * @property {Question} [question]
 * @property {Finding} [finding]
 * @property {string} [cause]
 * @property {Record<string, any>} [inputs]
 * @property {string} [from]
 * @property {string} [who]
 * @property {string} begun
 * @property {string} [ended]
 * @property {number} last_seq
 * @property {Given[]} answers
 */

/** @typedef {{c: number, target_c: number, age_s: number, outdated: boolean}} Reading */
/** @typedef {{bore_mm: number, length_mm: number, quarter_turns: number, coupler_play_mm: number, outer_mm?: number}} Tube */

/**
 * @typedef {object} Setup
 * @property {number} version
 * @property {string} drive
 * @property {number} filament_diameter_mm
 * @property {number} nozzle_bore_mm
 * @property {Tube} [tube]
 * @property {any} [gear]
 * @property {string} liner
 * @property {number} nozzle_max_c
 * @property {number} bed_max_c
 * @property {number} feed_max_mm_per_s
 * @property {number} build_x_mm
 * @property {number} build_y_mm
 * @property {number} build_z_mm
 * @property {string} [switch]
 * @property {string[]} [before]   the printer's own lines before a print
 * @property {string[]} [after]
 * @property {number} [cold_side_mm]
 * @property {string} [retracts]
 */

/** What a printer calls itself. @typedef {{firmware: string, machine: string, uuid: string}} Fingerprint */

/** A fault in plain words. @typedef {{kind: string, heater: string, means: string, look: string}} Fault */

/** @typedef {{state: string, why?: string, since: string, occupied: boolean, fault?: string, plain?: Fault, firmware?: string}} Line */

/**
 * @typedef {object} Printer
 * @property {string} id
 * @property {string} name
 * @property {string} port
 * @property {number} baud
 * @property {boolean} [dtr]
 * @property {boolean} [rts]
 * @property {Fingerprint} [fingerprint]
 * @property {{mark: string, kept: Fingerprint, answers: Fingerprint, text: string}} [another_printer]
 * @property {Line} line
 * @property {Reading} [nozzle]
 * @property {Reading} [bed]
 * @property {Setup} [setup]
 * @property {string} [run]
 * @property {string[]} owed
 * @property {string[]} due
 * @property {string} [someone_else]
 * @property {Difference[]} [differs]     docket and printer say two numbers
 * @property {{confirmed: boolean}} [stop]
 */

/**
 * @typedef {object} Material
 * @property {string} id
 * @property {string} name
 * @property {number} nozzle_c
 * @property {number} nozzle_min_c
 * @property {number} nozzle_max_c
 * @property {number} [bed_c]
 * @property {boolean} [flexible]
 * @property {string} [colour_hex]
 * @property {boolean} [invented]
 */

/** @typedef {{seq: number, run?: string, printer?: string, kind: string, name?: string, who?: string, question?: number, boot: string, mono_ms: number, wall_ms: number, wall_trusted: boolean, body?: any}} Event */
/** @typedef {{id: number, seq: number, run?: string, printer: string, setup_version?: number, material?: string, who?: string, kind: string, value?: number, unit?: string, u95?: number, standing?: string, body?: any, supersedes?: number, wall_ms: number}} Entry */
/** @typedef {{word: string, letter: string, label: string, unit: string, docket?: number, printer?: number, from?: string, text: string}} Difference */
/** @typedef {{kind: string, label: string, unit: string, value?: number, u95?: number, standing?: string, from: {source: string, how: string, entry?: number, run?: string, who?: string, at?: string}, fresh: boolean, again_by?: string, stale: Array<{what: string, text: string, entry?: number, at?: string}>, again?: string, typed?: {min: number, max: number}, earlier: Array<{entry: number, value: number, u95?: number, how: string, at: string}>}} DocketRow */
/** @typedef {{printer: string, setup_version: number, material: string, material_name: string, active: string, retracts: string, handed_over?: {to: string, entry: number, at: string, who?: string, standing?: string, changed: string[], replaced_by?: string}, rows: DocketRow[], due: Array<{do: string, text: string}>}} Docket */
/** A check as drift sees it: value is what was true, limits are by the gauge's own ±. @typedef {{entry: number, run?: string, at?: string, value: number, u95: number, finding?: string, material?: string, method?: string, gauge?: string, low?: number, high?: number, ewma: number, ewma_low?: number, ewma_high?: number, stretch: number}} DriftCheck */
/** @typedef {{rule: string, chart: string, from: number, to: number, side?: string}} DriftSignal */
/** @typedef {{printer: string, setup_version: number, material?: string, setups: Array<{version: number, checks: number}>, unit: string, tolerance_percent: number, tolerance?: number, checks: DriftCheck[], splices: Array<{before: number, entry: number, at?: string, what: string, text: string}>, centre?: number, signals: DriftSignal[], per_day?: number, per_day_u95?: number, again?: string, why: string, untimed?: number, unmeasured?: number, notes: string[]}} Drift */
/** @typedef {{n: number, boot: string, at: string, out: boolean, text: string}} WireLine */
/** Its own words, and where it is known by. @typedef {{name: string, device: string, by_id?: string, by_path?: string, vendor_id?: string, product_id?: string, vendor?: string, product?: string, serial?: string}} Port */
/** @typedef {{name: string, title: string, program: string, fields: Field[]}} Routine */
/** @typedef {{pointer?: string, field?: string, detail: string, accept: string}} FieldFault */
/** @typedef {{type: string, title: string, status: number, detail: string, code: string, errors?: FieldFault[], tries_left?: number, winner?: {question: number, answer: Record<string, any>, who?: string}}} Problem */
/** @typedef {{program: string, version: string, build: string, store_id: string, boot: string, last_seq: number, demo: boolean, notice: string, paired?: boolean, name?: string, right?: string, network?: string, stops?: string[]}} About */

export {};
