// Reads pairs of colours with parametric factors as JSON,
// [[L1, a1, b1, L2, a2, b2, kL, kC, kH], ...], from standard input and prints
// culori's answer for each as JSON, [[CIEDE2000 at 1:1:1, CIE76, CIEDE2000 with
// the factors], ...].
//
// culori's mode lab65 is CIELAB on the CIE scale (L* 0-100); both differences
// are functions of the six numbers alone, so the white they refer to plays no
// part.
import { readFileSync } from 'node:fs';
import { differenceCiede2000, differenceEuclidean } from 'culori';

const ciede2000 = differenceCiede2000();
const cie76 = differenceEuclidean('lab65');

const pairs = JSON.parse(readFileSync(0, 'utf8'));
const answers = pairs.map(([L1, a1, b1, L2, a2, b2, kL, kC, kH]) => {
  const reference = { mode: 'lab65', l: L1, a: a1, b: b1 };
  const sample = { mode: 'lab65', l: L2, a: a2, b: b2 };
  return [ciede2000(reference, sample), cie76(reference, sample), differenceCiede2000(kL, kC, kH)(reference, sample)];
});
process.stdout.write(JSON.stringify(answers));
