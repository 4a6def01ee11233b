// The words of the questions about what a printer is fitted with.

export const FITTED = Object.freeze({
  'setup.record': 'Record {value}', 'setup.choose': 'Record: {value}', 'setup.back': 'The question before', 'setup.whole': 'Is that how {name} is?', 'setup.whole2': 'It is kept as a new version; earlier ones stay with what was measured on them.', 'setup.store': 'Store this setup', 'setup.range': '{min} to {max}\u00a0{unit} can be.',
  'fit.drive': 'Where does the gear sit?', 'fit.drive.why': 'Direct drive has it at the nozzle; Bowden drive has it at the far end of a tube.', 'fit.drive.short': 'drive', 'fit.drive.direct': 'at the nozzle', 'fit.drive.bowden': 'behind a tube',
  'fit.bore_mm': 'How wide is the tube inside?', 'fit.bore_mm.why': 'What is wider than the filament is slack.', 'fit.bore_mm.short': 'bore of the tube',
  'fit.length_mm': 'How long is the tube?', 'fit.length_mm.why': 'From coupler to coupler.', 'fit.length_mm.short': 'its length',
  'fit.quarter_turns': 'How many quarter turns in the tube?', 'fit.quarter_turns.why': 'Head over the piece; all turns count, left or right.', 'fit.quarter_turns.short': 'quarter turns', 'fit.turns': '{n}\u00a0turns', 'fit.turn': 'one turn',
  'fit.coupler_play_mm': 'How far does the tube move when you pull it?', 'fit.coupler_play_mm.why': 'What moves is lost before the melt feels any pull.', 'fit.coupler_play_mm.short': 'play of the couplers',
  'fit.liner': 'Does the liner reach the heated part?', 'fit.liner.why': 'A fluoropolymer liner gives off toxic fumes when it is overheated.', 'fit.liner.short': 'liner', 'fit.liner.all_metal': 'ends above it', 'fit.liner.fluoropolymer': 'reaches it', 'fit.liner.unknown': 'not known',
  'fit.filament_diameter_mm': 'How thick is the filament?', 'fit.filament_diameter_mm.why': 'As its maker gives it.', 'fit.filament_diameter_mm.short': 'filament',
  'fit.nozzle_bore_mm': 'How wide is the nozzle?', 'fit.nozzle_bore_mm.why': 'It is stamped on it, as a rule.', 'fit.nozzle_bore_mm.short': 'nozzle',
  'fit.nozzle_max_c': 'What may the nozzle be told?', 'fit.nozzle_max_c.why': 'The most that the maker’s manual allows.', 'fit.nozzle_max_c.short': 'nozzle at most',
  'fit.bed_max_c': 'What may the bed be told?', 'fit.bed_max_c.why': 'The most that the maker’s manual allows; 0 where it has no heater.', 'fit.bed_max_c.short': 'bed at most',
  'fit.feed_max_mm_per_s': 'How fast may filament be fed?', 'fit.feed_max_mm_per_s.why': 'At the gear, by the maker’s manual.', 'fit.feed_max_mm_per_s.short': 'feed at most',
  'fit.build_x_mm': 'How wide can it print?', 'fit.build_x_mm.why': 'From left to right.', 'fit.build_x_mm.short': 'wide',
  'fit.build_y_mm': 'How deep can it print?', 'fit.build_y_mm.why': 'From front to back.', 'fit.build_y_mm.short': 'deep',
  'fit.build_z_mm': 'How high can it print?', 'fit.build_z_mm.why': 'From the bed up.', 'fit.build_z_mm.short': 'high',
  'fit.switch': 'Where is the printer’s own switch?', 'fit.switch.why': 'Stop here is a request by cable; if anything looks wrong, use the switch.', 'fit.switch.short': 'its own switch',
});
