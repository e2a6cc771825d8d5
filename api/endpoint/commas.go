package endpoint

import "bytes"

// withCommas gives the numbers in a sentence a decimal comma, in place. It leaves alone
// what stands in quotes, which is the caller's own text, and paths such as
// readings.0.1.
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

// endsNumber reports whether a text ends in the digits of a number.
func endsNumber(text []byte) bool {
	head := bytes.TrimRight(text, "0123456789")
	return len(head) < len(text) && !bytes.ContainsAny(head[max(0, len(head)-1):], nameBytes)
}

// nameBytes are the bytes after which digits are part of a name.
const nameBytes = "._abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ"

func isDigit(b byte) bool { return '0' <= b && b <= '9' }
