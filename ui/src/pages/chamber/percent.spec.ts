import { expect, it } from 'vitest';
import { percent } from './percent';

it.each([[0.465, '46'], [0.475, '48'], [0.0525, '5'], [1, '100'], [0.994, '99']])('%d', (share, told) => expect(percent(share)).toBe(`${told}\u202f%`));
