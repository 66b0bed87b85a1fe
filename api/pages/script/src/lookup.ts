// Look-up in a path and straight lines between its doses. Nothing here computes
// a colour: all values are the server's.

import type { Colour, Levels, Trace, Value } from "./data.js";

/** After which dose of a path, and how much of the way to the next. */
export interface Place {
  index: number;
  rest: number;
}

export function placeOf(trace: Trace, dose: number): Place {
  const last = trace.dose.length - 1;
  const end = trace.dose[last] ?? 0;
  if (!(end > 0)) return { index: 0, rest: 0 };
  const at = Math.min(Math.max((dose / end) * last, 0), last);
  const index = Math.floor(at);
  return { index, rest: at - index };
}

/** The value of a column at a place; null where it is not to be had. */
export function valueAt(trace: Trace, key: string, { index, rest }: Place): Value {
  const column = trace.columns[key];
  const from = column?.[index] ?? null;
  if (rest === 0 || from === null) return from;
  const to = column?.[index + 1] ?? null;
  if (to === null) return null;
  if (key !== "h") return from + rest * (to - from);
  // Hues are an angle: from 359 to 1 is two degrees.
  const turn = to - from - 360 * Math.round((to - from) / 360);
  return (from + rest * turn + 360) % 360;
}

/** The dose at a share of the blend in %: the inverse of the column of shares. */
export function doseAtPercent(trace: Trace, percent: number): number {
  const column = trace.columns.percent ?? [];
  const last = trace.dose.length - 1;
  let low = 0;
  let high = last;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if ((column[middle] ?? 0) <= percent) low = middle;
    else high = middle;
  }
  const from = column[low] ?? 0;
  const to = column[high] ?? 0;
  const rest = to > from ? Math.min(Math.max((percent - from) / (to - from), 0), 1) : 0;
  const start = trace.dose[low] ?? 0;
  return start + rest * ((trace.dose[high] ?? start) - start);
}

/** Colours as bytes: red, green, blue of the first, of the second, ... */
export function bytesOf(hex: string): Uint8Array {
  const bytes = new Uint8Array(hex.length / 2);
  for (let i = 0; i < bytes.length; i++) bytes[i] = parseInt(hex.slice(2 * i, 2 * i + 2), 16);
  return bytes;
}

/** A colour between two of a list, channel by channel, as #rrggbb. */
export function colourBetween(bytes: Uint8Array, from: number, to: number, rest: number): string {
  let colour = 0x1000000;
  for (let channel = 0; channel < 3; channel++) {
    const low = bytes[3 * from + channel] ?? 0;
    const high = bytes[3 * to + channel] ?? low;
    colour += Math.floor(low + rest * (high - low) + 0.5) << (8 * (2 - channel));
  }
  return "#" + colour.toString(16).slice(1);
}

export function colourAt(bytes: Uint8Array, { index, rest }: Place): string {
  return colourBetween(bytes, index, rest > 0 ? index + 1 : index, rest);
}

/** Whether the screen cannot show the colour of the nearer dose. */
export function clippedAt(trace: Trace, colour: Colour, { index, rest }: Place): boolean {
  return trace.clipped[colour][rest < 0.5 ? index : index + 1] === "1";
}

/** The colour of one depth of the drawn glass; bytes are those of the levels. */
export function levelAt(levels: Levels, bytes: Uint8Array, level: number, { index, rest }: Place): string {
  const rows = bytes.length / 3 / levels.count;
  const row = Math.floor(index / levels.every);
  const next = Math.min(row + 1, rows - 1);
  const way = ((index % levels.every) + rest) / levels.every;
  return colourBetween(bytes, row * levels.count + level, next * levels.count + level, way);
}

/** The word that holds at a dose. */
export function wordAt(trace: Trace, dose: number): string {
  let word = "";
  for (const [from, text] of trace.words) if (from <= dose) word = text;
  return word;
}

export type Standing = "acceptable" | "nominal" | "outside";

/** How a dose stands to the tolerance. */
export function standingAt(trace: Trace, dose: number): Standing {
  const within = (span: [number, number] | null) => span !== null && span[0] <= dose && dose <= span[1];
  if (within(trace.chart.acceptable)) return "acceptable";
  return within(trace.chart.nominal) ? "nominal" : "outside";
}
