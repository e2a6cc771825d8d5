// Package broken has a test that fails.
package broken

const One = 1
