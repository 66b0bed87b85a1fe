// The chart has no colour but that of the wines, so that nothing beside them
// changes how they look.

export const ink = "#22262b";
export const quiet = "#5b636b";
export const mild = "#b4bac1";
export const hairline = "#d9dde1";
export const white = "#ffffff";

/** Of all text, in px. */
export const textSize = 12;
/** No digit of a usual face is wider, in px. */
export const digitWidth = 7.7;
