// The keys of the words that the script shows; the words are the server's.

export const textKeys = [
  "announce",
  "unreachable",
  "shown",
  "chart.title",
  "chart.summary",
  "chart.a",
  "chart.b",
  "chart.L",
  "chart.delta_e",
  "chart.dose",
  "chart.path",
  "chart.predicted",
  "chart.acceptable",
  "chart.rung",
  "chart.measured",
  "chart.target",
  "chart.tolerance",
  "chart.now",
] as const;

export type TextKey = (typeof textKeys)[number];

/** Gives the words of a key. */
export type Say = (key: TextKey) => string;

/** Puts values in the places of a text: {name}. A place without one stays. */
export function fill(text: string, value: (name: string) => string | undefined): string {
  return text.replace(/\{(\w+)\}/g, (place, name: string) => value(name) ?? place);
}
