// A sheet is one page as data: pages make it from state alone, and the column draws it. One question, one reason, one
// figure, one action.

/** A way on. says: to who hears the label alone; minor: may give way. @typedef {{label: string, go?: string, act?: () => void, busy?: boolean, says?: string, minor?: boolean}} Way */

/** One of several printers. @typedef {{id: string, name: string, state: string, colour?: string}} Post */

/**
 * @typedef {object} Sheet
 * @property {string} key             another key is another page: focus goes to its question
 * @property {string} [printer]       whom heat line and Stop are about
 * @property {{name: string, sub?: string, state?: string, note?: string}} [head]
 * @property {Post[]} [posts]           several printers as short strands, the one that is meant first, instead of a head
 * @property {Row[]} [past]
 * @property {Kid[]} [rows]            the past, drawn already: by day
 * @property {'tip'|'ragged'|'none'|'through'} [end]  how the strand ends where no figure carries it on; through: the page itself does
 * @property {boolean} [pointer]      false: nobody is watching, or only the machine works
 * @property {string} [signal]        "Warning"
 * @property {string} question
 * @property {string} [reason]
 * @property {boolean} [reasonGives]  the reason may give way on a short screen
 * @property {string} [warn]
 * @property {Kid[]} [body]           between reason and figure
 * @property {string} [figure]
 * @property {Scene} [scene]
 * @property {Kid[]} [entry]          number entry, choices
 * @property {Kid[]} [grades]         drawn cells in the dock's place, above heat
 * @property {boolean} [low]          controls at the figure's foot, not at its top
 * @property {Problem|null} [problem]
 * @property {string} [quiet]          one sentence above the action: what happens if nobody answers
 * @property {Way} [action]
 * @property {string} [note]           under the action: what it takes
 * @property {boolean} [noteGives]    the note may give way on a short screen
 * @property {Way[]} [links]
 * @property {Row[]} [future]
 * @property {Way[]} [foot]
 * @property {Kid[]} [long]           a page that scrolls: logbook, wire, forms
 * @property {string} [colour]        of the material
 * @property {(key: string) => void} [keys]  hardware keys: a digit, '.', 'back', 'enter'
 * @property {(key: 'up'|'down'|'left'|'right') => void} [arrows]  hardware arrows
 */

export {};
