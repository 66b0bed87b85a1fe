// A table of the page as cells for a spreadsheet: a number alone in its cell, its
// uncertainty and the ends of an interval in cells of their own. Each column has a
// header with its unit. The decimal mark stays as the page has it.

/** A cell as the page has it. */
export interface Shown {
  text: string;
  /** What stands small below the text: the unit of a header, a remark on a value. */
  notes: string[];
  /** Whether these are words, however they look: a lot may be called 0012. */
  words?: boolean;
  /** A moment in UTC, as "2026-05-01 10:00"; a day alone has no time. */
  moment?: string;
}

/** The words of the headers that the page has no room for. */
export interface Words {
  from: string;
  to: string;
  note: string;
}

/** A header row, where it is wanted, and the rows below it; all equally long. */
export interface Table {
  head: string[] | null;
  rows: Cell[][];
}

/** What a spreadsheet gets; words are not to be taken for a number or a date. */
export interface Cell {
  text: string;
  words: boolean;
}

const number = String.raw`[+\-−]?\d+(?:[ \u00a0\u2007\u2009\u200a\u202f]\d{3})*(?:[.,]\d+)?(?:e[+-]?\d+)?`;
const aNumber = new RegExp(`^${number}$`);
const withUncertainty = new RegExp(`^(${number})\\s*±\\s*(${number})$`);
const aDay = String.raw`\d{4}-\d\d-\d\d`;
const isDay = new RegExp(`^${aDay}$`);
const aSpan = new RegExp(`^(${number}|${aDay}|–)\\s*[…–]\\s*(${number}|${aDay}|–)$`);

/** What a column has beside its value. */
interface Column {
  uncertainty: boolean;
  span: boolean;
  notes: boolean;
  time: boolean;
}

export function tableOf(head: Shown[] | null, rows: Shown[][], words: Words): Table {
  const wide = Math.max(head?.length ?? 0, ...rows.map((row) => row.length));
  const columns = Array.from({ length: wide }, (_, i) => columnOf(rows.flatMap((row) => row[i] ?? [])));
  return {
    head: head && columns.flatMap((column, i) => headers(column, head[i], words)),
    rows: rows.map((row) => columns.flatMap((column, i) => cells(column, row[i]))),
  };
}

function columnOf(column: Shown[]): Column {
  return {
    uncertainty: column.some((cell) => withUncertainty.test(cell.text)),
    span: column.some((cell) => aSpan.test(cell.text)),
    notes: column.some((cell) => cell.notes.length > 0 && standsAlone(cell)),
    time: column.some((cell) => cell.moment?.includes(":") ?? false),
  };
}

/** Whether a spreadsheet shall take a cell for a number or a date, which a remark in it would prevent. */
function standsAlone(cell: Shown): boolean {
  return cell.moment !== undefined || [aNumber, withUncertainty, aSpan].some((is) => is.test(cell.text));
}

function headers(column: Column, cell: Shown | undefined, words: Words): string[] {
  // "Value ± u" is of two columns now, and "±" alone of uncertainties.
  const name = (cell?.text ?? "").replace(/ ± ?u?$/, "").replace(/^±/, "u");
  const unit = [...(cell?.notes ?? []), ...(column.time ? ["UTC"] : [])].join(", ");
  const withUnit = (text: string) => guarded(unit ? `${text} (${unit})` : text);
  const out = column.span ? [withUnit(`${name}, ${words.from}`), withUnit(`${name}, ${words.to}`)] : [withUnit(name)];
  // The sign of JCGM 100 for a standard uncertainty.
  if (column.uncertainty) out.push(withUnit(`u(${name})`));
  if (column.notes) out.push(guarded(`${name}, ${words.note}`));
  return out;
}

function cells(column: Column, cell: Shown | undefined): Cell[] {
  const { text = "", notes = [], words = false } = cell ?? {};
  const aside = cell !== undefined && (standsAlone(cell) || text === "");
  const value = cell?.moment ?? (aside ? text : [text, ...notes].join("; "));
  const [, x, u] = withUncertainty.exec(value) ?? [];
  const [, lower, upper] = aSpan.exec(value) ?? [];
  const out = [lower ?? x ?? value];
  if (column.span) out.push(upper ?? "");
  if (column.uncertainty) out.push(u ?? "");
  const plain = out.map((part) => plainOf(part, words && cell?.moment === undefined));
  if (column.notes) plain.push({ text: aside ? guarded(notes.join("; ")) : "", words: true });
  return plain;
}

/** A number without what keeps a spreadsheet from taking it; a dash for what there is not is an empty cell. */
function plainOf(text: string, words: boolean): Cell {
  if (text === "–") return { text: "", words };
  if (words || !aNumber.test(text)) return { text: guarded(text), words: words && !isDay.test(text) };
  return { text: text.replace(/[ \u00a0\u2007\u2009\u200a\u202f]/g, "").replace("−", "-").replace(/^\+/, ""), words };
}

/** A text that a spreadsheet would run as a formula, made a text (OWASP, CSV Injection). */
function guarded(text: string): string {
  return /^['"\s\p{Cc}\p{Cf}]*[=+\-@＝＋－＠﹦﹢﹣﹫]/u.test(text) ? `'${text}` : text;
}

/** The table as text, as spreadsheets put it on the clipboard themselves. */
export function textOf(table: Table): string {
  const quoted = (cell: string) => (cell.startsWith('"') ? `"${cell.replaceAll('"', '""')}"` : cell);
  const rows = table.rows.map((row) => row.map((cell) => cell.text));
  return [...(table.head ? [table.head] : []), ...rows].map((row) => row.map(quoted).join("\t") + "\n").join("");
}

/** A cell of words, as LibreOffice marks it in HTML of its own. */
const asWords = ` sdnum="1033;0;@"`;

/** The table as HTML. */
export function htmlOf(table: Table): string {
  const escaped = (text: string) => text.replaceAll("&", "&amp;").replaceAll("<", "&lt;").replaceAll(">", "&gt;");
  const row = (cells: string[]) => `<tr>${cells.join("")}</tr>`;
  const head = table.head ? `<thead>${row(table.head.map((text) => `<th>${escaped(text)}</th>`))}</thead>` : "";
  const rows = table.rows.map((cells) => row(cells.map((cell) => `<td${cell.words ? asWords : ""}>${escaped(cell.text)}</td>`)));
  return `<table>${head}<tbody>${rows.join("")}</tbody></table>`;
}
