package gcode

// The smallest pieces of reading a reply. None of them allocates.

// cutFold cuts a prefix, in any case, off a text. The prefix is given in small letters or as it is.
func cutFold(line []byte, prefix string) ([]byte, bool) {
	if len(line) < len(prefix) {
		return line, false
	}
	for i := range len(prefix) {
		if lower(line[i]) != lower(prefix[i]) {
			return line, false
		}
	}
	return line[len(prefix):], true
}

// indexFold finds a text in any case, or returns -1.
func indexFold(line []byte, want string) int {
	first := lower(want[0])
	for i := 0; i+len(want) <= len(line); i++ {
		if lower(line[i]) != first { // most do not
			continue
		}
		if _, ok := cutFold(line[i:], want); ok {
			return i
		}
	}
	return -1
}

func lower(c byte) byte {
	if c >= 'A' && c <= 'Z' {
		return c | 0x20
	}
	return c
}

// number reads a whole number of at most 15 digits and returns what stands behind it.
func number(text []byte) (int64, []byte, bool) {
	var n int64
	i := 0
	negative := len(text) > 1 && text[0] == '-'
	if negative {
		i++
	}
	begin := i
	for ; i < len(text) && i-begin < 15 && text[i] >= '0' && text[i] <= '9'; i++ {
		n = n*10 + int64(text[i]-'0')
	}
	if i == begin {
		return 0, text, false
	}
	if negative {
		n = -n
	}
	return n, text[i:], true
}

// decimal reads "-12.5" and returns what stands behind it. No exponent, at most 15 digits.
func decimal(text []byte) (float64, []byte, bool) {
	i, digits, mantissa, scale := 0, 0, int64(0), 1.0
	negative := false
	if i < len(text) && (text[i] == '-' || text[i] == '+') {
		negative = text[i] == '-'
		i++
	}
	point := false
	for ; i < len(text) && digits < 15; i++ {
		switch c := text[i]; {
		case c >= '0' && c <= '9':
			mantissa = mantissa*10 + int64(c-'0')
			digits++
			if point {
				scale *= 10
			}
			continue
		case c == '.' && !point:
			point = true
			continue
		}
		break
	}
	if digits == 0 {
		return 0, text, false
	}
	v := float64(mantissa) / scale
	if negative {
		v = -v
	}
	return v, text[i:], true
}

// text reports whether a line is printable ASCII, blanks included.
func text(line []byte) bool {
	for _, c := range line {
		if (c < 0x20 && c != '\t') || c > 0x7e {
			return false
		}
	}
	return true
}
