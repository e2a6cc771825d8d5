// Package uses imports the toy.
package uses

import "toy"

// Last is the toy's last record.
func Last() string { return toy.Table()[3] }
