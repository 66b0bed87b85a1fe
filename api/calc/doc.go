// Package calc holds the requests and responses of the calculations, in the
// words of the JSON that travels, and the functions that answer them.
//
// Whoever asks calls the same two steps: Decode turns JSON into a request, or
// into a *Problem that lists every fault at once with its place; the function
// named for the calculation (Colour, Blend, Ladder, LadderFigure, Match, Scale,
// Check) answers it. The service, its pages and the commands differ only in how
// they carry the bytes.
//
// A field's unit is the end of its name; absorbances, L*, a*, b* and ratios
// have none. Numbers are not rounded here. A value that cannot be had is null,
// never NaN. Nothing is stored and nothing is logged.
package calc
