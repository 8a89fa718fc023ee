// Small pieces of TOML that the page writes itself: its own records. What is read, the engine reads.

/** A text in quotes. */
export const quoted = (value: string) => `"${[...value].map((c) => (c === '"' || c === '\\' ? `\\${c}` : c < ' ' || c === '\u007f' ? `\\u${c.charCodeAt(0).toString(16).padStart(4, '0')}` : c)).join('')}"`;

/** A number where decimals may come: a decimal number in TOML has a point or an exponent. */
export const decimal = (value: number) => (/^-?\d+$/.test(String(value)) ? `${value}.0` : String(value));

/** What was typed into a field as the file holds it: a bare number as it stands, anything with a unit in quotes. */
export function asTyped(text: string): string {
  const plain = text.trim().replace(/^([-+]?\d+),(\d+)$/, '$1.$2').replace(/^\u2212/, '-');
  return /^[-+]?(\d+\.?\d*|\.\d+)(e[-+]?\d+)?$/i.test(plain) ? String(Number(plain)) : quoted(text.trim());
}
