; docket of plum-pla for p1, setup 2
; Not handed over yet.
; restart_surplus_mm = 0 mm (common practice, not measured)
; shortest_travel_mm = 1 mm (common practice, not measured)
; lift_mm = 0 mm (common practice, not measured)
; wipe_mm = 0 mm (common practice, not measured)
; nozzle_c = 210 C (by the material's data sheet)
; bed_c = 60 C (by the material's data sheet)
; filament_diameter_mm = 1.75 mm (as the setup says)
; nozzle_bore_mm = 0.4 mm (as the setup says)
; no retraction length is known yet: nothing is set here
