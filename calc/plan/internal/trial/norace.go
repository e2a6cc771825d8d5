//go:build !race

package trial

const raced = false
