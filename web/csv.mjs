// The logbook as a table, for a spreadsheet: fetched as text/csv and handed to the browser as a file.

/** @param {string} path @param {string} name of the file */
export async function saveTable(path, name) {
  const response = await fetch(path, {headers: {Accept: 'text/csv'}, cache: 'no-store'}).catch(() => null);
  if (!response?.ok) return;
  const url = URL.createObjectURL(await response.blob());
  const a = document.createElement('a');
  a.href = url;
  a.download = name;
  a.click();
  setTimeout(() => URL.revokeObjectURL(url), 10_000); // the browser has begun to read it by then
}
