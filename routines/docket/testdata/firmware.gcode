; docket of plum-pla for p1, setup 2
; The firmware retracts and has these values.
; retraction_length_mm = 0.8 mm (reverted to entry 11 by Bob; STALE: fan since then)
; retract_speed_mm_per_s = 35 mm/s (held in run r4; STALE: fan since then)
; restart_speed_mm_per_s = 35 mm/s (held in run r4; STALE: fan since then)
; restart_surplus_mm = 0 mm (common practice, not measured)
; shortest_travel_mm = 1 mm (common practice, not measured)
; travel_speed_mm_per_s = 175 mm/s (measured by run r3; STALE: fan since then)
; lift_mm = 0 mm (common practice, not measured)
; wipe_mm = 0 mm (common practice, not measured)
; nozzle_c = 205 C (typed by a person)
; bed_c = 60 C (by the material's data sheet)
; fan_percent = 40 % (typed by a person)
; filament_diameter_mm = 1.74 mm (typed by a person)
; flow_factor = 0.98 (measured by run r2)
; flow_limit_mm3_per_s = 9.2 mm3/s (measured by run r2)
; nozzle_bore_mm = 0.4 mm (as the setup says)
; pressure_compensation = 0.05 s (typed by a person)
; steps_per_mm = 95.88 steps/mm (measured by run r1)
M207 S0.8 F2100 Z0
M208 S0 F2100
