// Package trial has small made-up problems with a brute force, for tests.
package trial
