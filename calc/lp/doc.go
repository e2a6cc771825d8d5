// Package lp solves linear programs whose columns are found one after the other:
// minimise cost over columns that are not negative, subject to rows of "at least",
// "at most" or "exactly". It is the revised simplex method, primal and dual, over
// a sparse LU factorisation of the basis, with reference weights.
//
// Every row has an artificial column of a large cost, so that there is always a point
// to start from: [Program.Unmet] tells what the columns do not give. Columns and rows may
// be added at any time, and the method goes on from the point it has.
//
// Numbers are floats, so nothing here proves anything: whoever wants a bound takes the
// dual prices Y, makes them whole numbers, and weighs them exactly.
//
// Sources:
//
//	D63   Dantzig, Linear Programming and Extensions (1963) (from memory).
//	CH83  Chvatal, Linear Programming (1983), whose example stands beside the tests.
//
// Left out: upper bounds on columns, presolving, and programs without a finite
// optimum: costs here are not negative.
package lp
