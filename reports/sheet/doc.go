// Package sheet prints what is kept of a trial: the bench sheet before pouring
// (Bench), the trial report after it (Trial) and the order for the cellar
// (WorkOrder); and of a bottled lot its statement of conformity (Statement). Each
// is PDF on A4 and one page of HTML.
//
// A document is put together as blocks, which two writers set: what it says, in
// which order and with which digits is decided once. It computes no colour but
// the differences of colours that it is given. All words come from Texts.
//
// The page of HTML has no script and no inline style, so that the policy
// default-src 'self' lets all of it pass: it links to one style sheet, whose
// address is given and whose content is Stylesheet, and its swatches and figure
// are SVG with presentation attributes. It reads without the style sheet too.
package sheet
