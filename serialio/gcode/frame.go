package gcode

import "strconv"

// Checksum is the XOR of all bytes, as the community dialect puts it behind '*' (its public page "G-code").
func Checksum(p []byte) byte {
	var sum byte
	for _, c := range p {
		sum ^= c
	}
	return sum
}

// AppendFrame prints "N<number> <block>*<checksum>" and a line feed. It does not allocate when dst has room.
func AppendFrame(dst []byte, number int64, block []byte) []byte {
	begin := len(dst)
	dst = append(dst, 'N')
	dst = strconv.AppendInt(dst, number, 10)
	dst = append(dst, ' ')
	dst = append(dst, block...)
	sum := Checksum(dst[begin:])
	dst = append(dst, '*')
	dst = strconv.AppendUint(dst, uint64(sum), 10)
	return append(dst, '\n')
}
