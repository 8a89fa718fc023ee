// What a load is logged with, in short words; what changes most often comes first. Keys and units are the engine's.

export const FIELDS: Record<string, string> = {
  ampere_hours: 'target counter',
  cathode_v: 'cathode volts',
  current_a: 'cathode current',
  nitrogen_sccm: 'nitrogen',
  oxygen_sccm: 'oxygen',
  acetylene_sccm: 'acetylene',
  argon_sccm: 'argon',
  pressure_pa: 'pressure',
  bias_v: 'bias',
  rpm: 'table turns',
  part_temperature_c: 'part',
};
