// Package reports draws what people read: figures of a dosing ladder for a
// screen, a report or a bench note. It decides what is said, in which order,
// with which units and digits; it computes no colour of its own beyond the
// tolerance outline and the differences that a figure marks.
//
// A figure is one drawing with three ways out: SVG, PNG and PDF. The output
// depends on the input alone, so the same figure gives the same bytes.
package reports
