package endpoint

import (
	"mime"
	"strconv"
	"strings"
)

// Negotiate chooses a form by an Accept header (RFC 9110 section 12.5.1): each form has
// the quality of the most specific range that covers it, and of equals the first
// offered wins. ok is false if no form is acceptable.
func Negotiate(accept string, offers []Form) (best Form, ok bool) {
	if accept == "" || accept == "*/*" {
		return offers[0], true
	}
	ranges := strings.Split(accept, ",")
	quality := 0.0
	for _, offer := range offers {
		if q := qualityOf(offer.MediaType, ranges); q > quality {
			best, quality = offer, q
		}
	}
	return best, quality > 0
}

// qualityOf is the quality of a media type among the ranges of an Accept header, 0 if
// it is not acceptable.
func qualityOf(mediaType string, ranges []string) float64 {
	mediaType, _, _ = strings.Cut(mediaType, ";")
	kind, _, _ := strings.Cut(mediaType, "/")
	quality, specific := 0.0, 0
	for _, text := range ranges {
		name, params, err := mime.ParseMediaType(text)
		if err != nil {
			continue
		}
		fit := 0
		switch name {
		case mediaType:
			fit = 3
		case kind + "/*":
			fit = 2
		case "*/*":
			fit = 1
		}
		if fit > specific {
			quality, specific = Weight(params["q"]), fit
		}
	}
	return quality
}

// Weight reads a q parameter. A value that is not a weight counts as absent.
func Weight(q string) float64 {
	w, err := strconv.ParseFloat(q, 64)
	if err != nil || !(w >= 0 && w <= 1) {
		return 1
	}
	return w
}
