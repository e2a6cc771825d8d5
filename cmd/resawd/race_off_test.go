//go:build !race

package main

// underRace says that the race detector watches, which takes memory of its own.
const underRace = false
