package judge

import "strconv"

// letterNumber takes the first letter with its number off a text; bare: it has no number. What is no letter is passed
// over, one byte at a time.
func letterNumber(text []byte) (letter byte, number []byte, rest []byte) {
	for len(text) > 0 {
		c := text[0] &^ 0x20
		if text[0] == ' ' || text[0] == '\t' || c < 'A' || c > 'Z' {
			text = text[1:]
			continue
		}
		end := 1
		for end < len(text) && (text[end] == '.' || text[end] >= '0' && text[end] <= '9' || end == 1 && (text[end] == '-' || text[end] == '+')) {
			end++
		}
		return c, text[1:end], text[end:]
	}
	return 0, nil, nil
}

// wordOf is the word that a block begins with, "M104", and what stands behind it; "" if it begins with none. M0104 and
// m104 are the same word.
func wordOf(text []byte) (string, []byte) {
	if len(text) == 0 || text[0]&^0x20 < 'A' || text[0]&^0x20 > 'Z' {
		return "", nil
	}
	letter, digits, rest := letterNumber(text)
	switch string(digits) { // the usual ones cost nothing
	case "1":
		if letter == 'G' {
			return "G1", rest
		}
	case "105":
		if letter == 'M' {
			return "M105", rest
		}
	}
	v, err := strconv.ParseFloat(string(digits), 64)
	if err != nil {
		return "", nil
	}
	return string(letter) + strconv.FormatFloat(v, 'f', -1, 64), rest
}

// value is the number behind the first such letter that has one.
func value(text []byte, want byte) (float64, bool) {
	for len(text) > 0 {
		var letter byte
		var digits []byte
		letter, digits, text = letterNumber(text)
		if letter != want {
			continue
		}
		if v, err := strconv.ParseFloat(string(digits), 64); err == nil {
			const most = 1e6 // beyond it numbers mean nothing to a printer
			return min(max(v, -most), most), true
		}
	}
	return 0, false
}

// deed reports whether a word may do something: G, M or T with a number.
func deed(word string) bool {
	return len(word) > 1 && (word[0] == 'G' || word[0] == 'M' || word[0] == 'T')
}
