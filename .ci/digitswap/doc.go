// Command digitswap checks whether the tests of a package would notice a wrong digit.
// It changes every digit of every number in the package's Go files and embedded CSV
// tables, one at a time, and runs the tests with that one change. A change that no test
// notices is a survivor: a missing row in a test.
//
//	go run ./.ci/digitswap [-list] [-v] [-dependants] [-parallel 2] [-timeout 30s] PACKAGE...
//
// The tree is never touched: the changed file reaches the compiler through
// go test -overlay. A change is killed by a failing test, by a test that runs
// past -timeout, or by the compiler. A survivor of the short tests gets the
// full tests and, with -dependants, the tests of every package of the module
// that imports the changed one, before it is reported.
//
// Not changed, because no test could tell:
//
//   - digits that leave the float64 value as it was;
//   - the capacity in make([]T, n, capacity) and the hint in make(map[K]V, hint);
//   - a plain 0 returned beside an error that is not nil, or beside false where
//     the last result is a bool called ok;
//   - a line that ends in the comment "digitswap: REASON" (the reason is
//     demanded: without one the tool stops).
//
// In a CSV table lines that begin with # and the first record, its header, are
// left alone, and so are cells that are not a number.
//
// The exit code is 0 without survivors, 1 with any, 2 when nothing could be said.
package main
