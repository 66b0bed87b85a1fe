// Package ladder plans the glasses of a dosing ladder and keeps the arithmetic of
// what is poured into them:
//
//   - Rungs and Plan lay out rungs at given doses, at even steps, or at steps that
//     are equally visible on the graduation of the measuring tool.
//   - Kit proposes the tool and the volume of base with which one graduation stays
//     below what an eye sees, or says by how much the kit misses.
//   - TopUp walks a few glasses up the ladder in turn and says when a fresh glass
//     would be better.
//   - Glass is what a glass holds after pours and withdrawals; Filling is that with
//     how well its dose is known.
//   - ClosingIn chooses the next rung from what was measured so far, and says when
//     measuring more is pointless.
//   - Slips lists what may lie behind a total that contradicts the pours.
package ladder
