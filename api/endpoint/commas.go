package endpoint

import "bytes"

// withCommas gives the numbers in a sentence a decimal comma, in place. What stands in
// quotes is somebody's own words, and paths such as readings.0.1 are no numbers.
func withCommas(text []byte) []byte {
	quoted := false
	for i, b := range text {
		if b == '"' {
			quoted = !quoted
		}
		if b == '.' && !quoted && i+1 < len(text) && isDigit(text[i+1]) && endsNumber(text[:i]) {
			text[i] = ','
		}
	}
	return text
}

// endsNumber tells whether a text ends in the digits of a number.
func endsNumber(text []byte) bool {
	head := bytes.TrimRight(text, "0123456789")
	return len(head) < len(text) && !bytes.ContainsAny(head[max(0, len(head)-1):], namely)
}

// namely is what stands before the digits of a name.
const namely = "._abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ"

func isDigit(b byte) bool { return '0' <= b && b <= '9' }
