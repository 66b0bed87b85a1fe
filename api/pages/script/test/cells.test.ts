import assert from "node:assert/strict";
import { test } from "node:test";
import { htmlOf, type Shown, type Table, tableOf, textOf } from "../src/cells.js";

const words = { from: "from", to: "to", note: "remark" };
const cell = (text: string, ...notes: string[]): Shown => ({ text, notes });
const textsOf = (table: Table) => table.rows.map((row) => row.map((cell) => cell.text));
const row = (...texts: string[]) => texts.map((text) => cell(text));

test("a value and its uncertainty are two columns, with the unit in both headers", () => {
  const got = tableOf([cell("Lot"), cell("L*"), cell("Dose", "mL per 100 mL of base")],
    [row("A", "82.4 ± 0.6", "9.5"), row("B", "81.0", "4 ± 1")], words);
  assert.deepEqual(got.head, ["Lot", "L*", "u(L*)", "Dose (mL per 100 mL of base)", "u(Dose) (mL per 100 mL of base)"]);
  assert.deepEqual(textsOf(got), [["A", "82.4", "0.6", "9.5", ""], ["B", "81.0", "", "4", "1"]]);
});

test("a header says ± of a column only where it is one of its own", () => {
  assert.deepEqual(tableOf(row("Value ± u", "± (k = 1)"), [row("1 ± 2", "3")], words).head, ["Value", "u(Value)", "u (k = 1)"]);
});

test("numbers are plain and keep the decimal mark of the page", () => {
  for (const [shown, want] of [
    ["+0.3", "0.3"], ["−0.3", "-0.3"], ["-0,3", "-0,3"], ["12\u202f345,6", "12345,6"], ["1\u00a0234\u00a0567.25", "1234567.25"], ["1.5e-3", "1.5e-3"],
    ["–", ""], ["", ""], ["12-fold", "12-fold"], ["> 0.999", "> 0.999"], ["12 34", "12 34"],
  ] as const) {
    assert.deepEqual(textsOf(tableOf(null, [row(shown)], words)), [[want]], shown);
  }
});

test("the ends of an interval are two columns", () => {
  const got = tableOf(row("95 %"), [row("0.1 … 0.2"), row("0,1–0,2"), row("– … 2.5"), row("2026-05-01 … 2026-06-01"), row("–"), row("before then")], words);
  assert.deepEqual(got.head, ["95 %, from", "95 %, to"]);
  assert.deepEqual(textsOf(got), [["0.1", "0.2"], ["0,1", "0,2"], ["", "2.5"], ["2026-05-01", "2026-06-01"], ["", ""], ["before then", ""]]);
});

test("what is remarked on a number has a column, on a text it stands with it", () => {
  const got = tableOf(row("In the glass", "Wine"), [[cell("6.2", "closest"), cell("Red", "barrel 7")], [cell("5.0"), cell("Red")]], words);
  assert.deepEqual(got.head, ["In the glass", "In the glass, remark", "Wine"]);
  assert.deepEqual(textsOf(got), [["6.2", "closest", "Red; barrel 7"], ["5.0", "", "Red"]]);
});

test("a time says in the header that it is in UTC, a day does not", () => {
  const at = (moment: string): Shown => ({ text: "as people read it", notes: [], moment });
  const got = tableOf(row("Read", "Bottled"), [[at("2026-05-01 10:00"), at("2026-05-02")]], words);
  assert.deepEqual(got.head, ["Read (UTC)", "Bottled"]);
  assert.deepEqual(textsOf(got), [["2026-05-01 10:00", "2026-05-02"]]);
});

test("a text that would be run as a formula is made a text", () => {
  for (const text of ["=1+1", " @SUM(A1)", "+cmd", "-x", "'=1", "＝1"]) {
    assert.deepEqual(textsOf(tableOf(null, [row(text)], words)), [[`'${text}`]]);
  }
  assert.deepEqual(tableOf(row("-x"), [row("1 ± 1")], words).head, ["'-x", "u(-x)"]);
});

test("as text and as HTML nothing breaks a cell", () => {
  const table = tableOf(row("a", "b"), [row('"x" y', "<b> & c")], words);
  assert.equal(textOf(table), 'a\tb\n"""x"" y"\t<b> & c\n');
  assert.equal(htmlOf(table), "<table><thead><tr><th>a</th><th>b</th></tr></thead><tbody><tr><td>\"x\" y</td><td>&lt;b&gt; &amp; c</td></tr></tbody></table>");
});

test("rows may be shorter than others", () => {
  assert.deepEqual(textsOf(tableOf(row("a", "b"), [row("1"), row("2", "3 ± 1")], words)), [["1", "", ""], ["2", "3", "1"]]);
});

test("a name that looks like a number or a date stays as it is", () => {
  const named = (text: string): Shown => ({ text, notes: [], words: true });
  const got = tableOf(row("Lot"), [[named("+0012")], [named("2026-05")], [named("2026-05-01")], [{ ...named("1 May"), moment: "2026-05-01" }], [cell("12")]], words);
  assert.deepEqual(got.rows, [
    [{ text: "'+0012", words: true }], [{ text: "2026-05", words: true }], [{ text: "2026-05-01", words: false }], [{ text: "2026-05-01", words: false }], [{ text: "12", words: false }],
  ]);
  assert.match(htmlOf(got), /<td sdnum="1033;0;@">2026-05<\/td>/);
});
