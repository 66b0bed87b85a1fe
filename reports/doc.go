// Package reports draws what people read, for a screen, a report or a bench note:
// a dosing ladder (LadderFigure), charts of a series of lots (ChartFigure), lots as
// a path through the a*b* plane (LotPlaneFigure) and where one lot lies in its
// tolerance (ToleranceFigure). It decides what is said, in which order,
// with which units and digits; it computes no colour of its own beyond the
// tolerance outline and the differences that a figure marks.
//
// A figure becomes one Drawing with three ways out: SVG, PNG and PDF. The output
// depends on the input alone, so the same figure gives the same bytes.
package reports
