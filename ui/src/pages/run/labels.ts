// Settings in words: as the table of limits calls them.
import type { Limit } from '../../house/answers';

export function settingLabel(key: string, limits: Limit[] | undefined): string {
  return limits?.find((l) => l.key === key)?.words ?? key.replaceAll('_', ' ');
}

export function settingUnit(key: string, limits: Limit[] | undefined): string {
  const unit = limits?.find((l) => l.key === key)?.unit ?? '';
  return unit === '1' ? '' : unit;
}
