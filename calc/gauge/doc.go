// Package gauge tells from caliper readings of the leaves whether they are in
// tolerance, how much the saw varies, and whether to touch the dial.
//
// Lengths are [length.Length]; a result that is no whole number of nanometres is
// rounded to the nearest. Standard deviations are of the sample, with n - 1 in
// the denominator.
//
// # The saw
//
// A leaf is what lies between two sawn faces. With A the advance, s the travel of
// the carriage for a unit on the dial (1 for a true screw), K the kerf and e the
// error of each face, independent from cut to cut,
//
//	leaf[k] = s A[k] - K + e[k] - e[k-1]                                  (1)
//
// A face that came out too far forward makes its own leaf thick and the next one
// thin: neighbours are anticorrelated, with a correlation of -1/2 one apart. Three
// things follow. The leaves add up to the places of the faces, whose errors are
// independent,
//
//	face[k] - dial[k] = face[0] - K k + (s - 1) dial[k] + e[k]            (2)
//
// so that ordinary least squares over the faces gives the kerf and the scale with
// honest intervals, with n - 1 and n - 2 degrees of freedom for n leaves; the plain
// mean, with the error of independent leaves, would have a far too wide one. A
// moving range of anticorrelated leaves gives a standard deviation that is
// sqrt(3/2) = 1.22 times too large, and so are the limits of a chart made from it.
// And a dial that is corrected after every leaf by that leaf's error makes leaves
// whose standard deviation is sqrt(6/2) = 1.73 times as large. So [Fit.Next] leaves
// noise alone.
//
// Readings have errors of their own, which do not cancel. The step of the caliper
// enters the intervals as u = step / sqrt(12), the standard deviation of rounding.
// Where the leaves do not alternate as (1) has it ([Fit.Alternating]), leaves vary
// by more than their faces, and the intervals fall back on independent leaves.
//
// # Variation
//
// The same readings give different figures, which this package keeps apart:
// [Brown] has the three of size control in sawmills, [Components] the variance
// components of a one-way random model. Brown's between-leaf figure contains a
// share of the within-leaf variation, and his total is no root of the other two.
//
// # Sources
//
//   - Brown: T. D. Brown, Lumber Size Control, Part 2: Size Analysis
//     Considerations, EM 8731, Oregon State University Extension Service, 2000.
//   - e-Handbook: NIST/SEMATECH e-Handbook of Statistical Methods, sections 6.1.6
//     (capability), 6.3.1 and 6.3.2 (control charts), 7.4.4 (variance components).
//     Its sample results are checked in the tests.
//   - Western Electric: Statistical Quality Control Handbook, 1956, its four tests
//     for a chart.
//   - StRD: NIST Statistical Reference Datasets, for the accuracy of means, standard
//     deviations, autocorrelations and least squares; in the tests.
//
// Left out: correcting the dial for the error of the last face itself. By (1) it
// could halve the variance of the leaves, but it leans wholly on the model, and a
// reading that is wrong would be sawn into the next leaf. Tests for normality and
// outliers are left out too: a leaf that is out of line shows on the chart.
package gauge
