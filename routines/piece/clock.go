package piece

import (
	"math"
	"time"
)

// lasts is how long a move from rest to rest takes: distances along X, Y, Z and E, mm, at a speed along the way of the axes,
// or of the filament where no axis moves, held to what each axis may do.
func (m Machine) lasts(d [4]float64, mmPerS, accelMMPerS2 float64) time.Duration {
	way := math.Sqrt(d[0]*d[0] + d[1]*d[1] + d[2]*d[2])
	if way == 0 {
		way = math.Abs(d[3])
	}
	if way == 0 {
		return 0
	}
	for i, axis := range d {
		if share := math.Abs(axis) / way; share > 0 {
			mmPerS = math.Min(mmPerS, m.MaxFeedMMPerS[i]/share)
			accelMMPerS2 = math.Min(accelMMPerS2, m.MaxAccelMMPerS2[i]/share)
		}
	}
	seconds := way/mmPerS + mmPerS/accelMMPerS2
	if mmPerS*mmPerS/accelMMPerS2 >= way {
		seconds = 2 * math.Sqrt(way/accelMMPerS2)
	}
	return time.Duration(seconds * float64(time.Second))
}
