// The data block of the page: all that the script may have to show.

import type { Marks } from "./written.js";

/** A number, or null where it is not to be had. */
export type Value = number | null;

export type Colour = "cell" | "glass";

export interface Data {
  /** One for each addition; none where the page shows no ladder. */
  sliders: SliderData[];
  /** Every word that the script shows, by key. */
  texts: Record<string, string>;
  /** Of its numbers. */
  marks: Marks;
}

export interface SliderData {
  /** Of the field and of the address. */
  name: string;
  /** One graduation of the tool, in mL per 100 mL of base, like all doses. */
  step: number;
  largest: number;
  dose: number;
  rungs: number[];
  trace: Trace;
}

/** A path along one addition, at doses that are evenly apart from 0 on. */
export interface Trace {
  dose: number[];
  columns: Record<string, Value[]>;
  /** Digits to show after the decimal point; a missing key has none. */
  decimals: Record<string, number>;
  /** Six hexadecimal digits for each dose, joined. */
  colours: Record<Colour, string>;
  /** A 1 for each dose whose colour a screen cannot show, else a 0. */
  clipped: Record<Colour, string>;
  levels: Levels;
  /** A word that holds from a dose on. */
  words: [number, string][];
  chart: ChartData;
}

/** Colours of the depths in the drawn glass, for every so-many-th dose. */
export interface Levels {
  every: number;
  count: number;
  colours: string;
}

export interface Lab {
  L: number;
  a: number;
  b: number;
}

export interface RungMark extends Lab {
  dose: number;
  /** What was added in the glass, in mL. */
  label?: string;
  hex?: string;
}

/** A glass that was poured and read, with standard uncertainties (k = 1). */
export interface MeasuredMark extends Lab {
  dose: number;
  uL: Value;
  ua: Value;
  ub: Value;
  delta_e: Value;
}

export interface TargetMark extends Lab {
  tolerance: Value;
  /** Where the difference is the tolerance, as points (a*, b*). */
  outline: [number, number][];
}

export interface ChartData {
  rungs: RungMark[];
  measured: MeasuredMark[];
  target: TargetMark | null;
  nearest: { dose: number } | null;
  acceptable: [number, number] | null;
  nominal: [number, number] | null;
  predicted: { L: number[]; a: number[]; b: number[] } | null;
}

/** The data block of a document, or null where it has none. */
export function readData(from: Document): Data | null {
  const text = from.getElementById("path-data")?.textContent;
  return text ? (JSON.parse(text) as Data) : null;
}
