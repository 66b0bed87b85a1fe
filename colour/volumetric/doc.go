// Package volumetric describes the tools that wine is measured with at the
// bench, cylinders, pipettes, syringes and kitchen measures, and says how well
// a volume poured with one is known.
//
// What is uncertain about a pour has two parts, which add up differently:
//
//   - the bias is the tool's own error. All pours with one tool share it, so it
//     adds linearly: five pours of 2 mL carry five times the bias of one.
//   - the reading error is each pour's own, so it adds in quadrature: five pours
//     carry √5 times that of one.
//
// The bias follows from the maximum permissible error a of the tool's class,
// which the published tables give. Glass made and inspected to a class is more
// likely near its nominal volume than at the limit, so the distribution is
// triangular and u = a/√6 (JCGM100, 4.3.9; QUAM does the same). Of a syringe, of
// glass without a class and of a kitchen measure nothing but limits is known:
// rectangular, u = a/√3 (JCGM100, 4.3.7). The reading error follows from the
// graduation g, half of which either way is read as the same line: u = g/√12
// (JCGM100, F.2.2.1).
//
// Not modelled: temperature (10 °C move a glass's volume by 0.03 % and the wine's
// by about 0.2 %, both wines alike, from memory), and what clings to a cylinder
// that is marked In or TC: it holds what it says and pours out less. Rinse such a
// cylinder with the blend.
package volumetric
