// Numbers as the page's language writes them. What is computed has a decimal point;
// the marks come in where it is shown.

/** The marks of a language. */
export interface Marks {
  decimal: string;
  /** Between thousands, from five digits on. */
  group: string;
}

let marks: Marks = { decimal: ".", group: "" };

/** Takes the marks of the page. */
export function writeWith(of: Marks): void {
  marks = of;
}

/** A text with the language's marks in its numbers, and a true minus. */
export function written(text: string): string {
  return text
    .replace(/(^|[^\d.])(\d{5,})/g, (_, before: string, whole: string) => before + whole.replace(/\B(?=(\d{3})+$)/g, marks.group))
    .replace(/(^|[^\p{L}\p{N}.,])-(?=\d)/gu, "$1−")
    .replace(/(\d)\.(\d)/g, `$1${marks.decimal}$2`);
}

/** A dose for a field: no group, which is for reading alone. */
export function writtenInField(text: string): string {
  return text.replace(".", marks.decimal);
}

/** A comma that may part thousands, where the language does not write decimal commas. */
const likeThousands = /^[1-9]\d{0,2},\d{3}$/;

/** A dose as it was typed, or null where it is no plain number or may be meant in two ways. */
export function typedDose(text: string): number | null {
  const bare = text.trim();
  if (!/^(\d+[.,]?\d*|[.,]\d+)$/.test(bare) || (marks.decimal !== "," && likeThousands.test(bare))) return null;
  return Number(bare.replace(",", "."));
}
