//go:build !race

package main

// underRace reports whether the race detector is on, which takes memory of its own.
const underRace = false
