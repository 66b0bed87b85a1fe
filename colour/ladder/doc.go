// Package ladder lays out the glasses of a dosing ladder: rungs at given doses,
// at even steps, or at steps that are equally visible on the graduation of the
// measuring tool.
package ladder
