// Numbers as the page writes them, but for the marks of its language.

import type { Value } from "./data.js";

const none = "–";

/** Doses are kept to this many decimals of a mL per 100 mL. */
const doseDigits = 4;

/**
 * A number with a fixed count of decimals. Halves go to the even digit, as they
 * do where the server writes the same number, and there is no -0.
 */
export function fixed(x: number, decimals: number): string {
  let text = x.toFixed(decimals);
  if (isTie(x, decimals)) {
    const unit = 10 ** decimals;
    const low = Math.floor(x * unit);
    text = ((low % 2 === 0 ? low : low + 1) / unit).toFixed(decimals);
  }
  return text.startsWith("-") && Number(text) === 0 ? text.slice(1) : text;
}

/** Whether x lies exactly between two numbers of so many decimals. */
function isTie(x: number, decimals: number): boolean {
  if (!Number.isInteger(x * 2 ** (decimals + 1))) return false;
  return Math.abs((x * 10 ** decimals) % 1) === 0.5;
}

/** A number that may be missing, without or with its sign. */
export function figure(x: Value, decimals: number, sign = false): string {
  if (x === null) return none;
  const text = fixed(x, decimals);
  return sign && Number(text) > 0 ? "+" + text : text;
}

export function roundDose(dose: number): number {
  return Number(dose.toFixed(doseDigits));
}

/** A dose as a field or an address has it: 9.5, not 9.500. */
export function plainDose(dose: number): string {
  return String(roundDose(dose));
}

/** A dose with at least so many decimals, and more where it has them. */
export function doseFigure(dose: number, decimals: number): string {
  const own = plainDose(dose).split(".")[1]?.length ?? 0;
  return fixed(roundDose(dose), Math.max(decimals, own));
}
