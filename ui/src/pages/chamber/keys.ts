// Lines of a workshop file that tell how a coater's chamber is built (docs/files.md); invented numbers.

export const LOAD = [
  '[coater.load]',
  'rotation = 2              # 0 still, 1 table, 2 table and satellites, 3 and pins',
  'rpm = 3                   # of the table',
  'table_radius_mm = 250     # axis of the table to the axes of the satellites',
  'satellite_radius_mm = 60  # axis of a satellite to its parts',
  'height_mm = 400           # of the load',
  '[[coater.target]]',
  'bearing_deg = 0           # where it stands around the chamber',
  'axis_mm = 380             # axis of the table to its face',
  'track_height_mm = 500',
  'track_width_mm = 80',
];

export const GAS = [
  '[[coater.gas]]',
  'gas = "nitrogen"          # or oxygen, acetylene',
  'film = "tin"              # whose composition it governs',
  'current_a = 8',
  'up_sccm_v = [[2, 420], [4, 417], [8, 408], [12, 392], [13, 355]]',
  'down_sccm_v = [[13, 351], [10, 353], [7, 357], [6, 412], [4, 417]]',
  '[[coater.gas.colour]]     # a thick film that was laid at a known flow',
  'flow_sccm = 9',
  'lab = [73, 4, 31]',
];

export const CONTROL = ['rate_nm_per_min = 8', 'shutter_s = 1.0           # how far its shutter time strays, one standard deviation'];
