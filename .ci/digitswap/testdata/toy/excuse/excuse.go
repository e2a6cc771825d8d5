// Package excuse opts out and does not say why.
package excuse

const Pages = 12 // digitswap:
