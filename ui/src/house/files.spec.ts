// What a dropped file is, before anything is asked about it.
import { describe, expect, it } from 'vitest';
import { tableKind, textOf } from './files';

const TABLE = 'wavelength_nm,reflectance\n400,0.5\n700,0.6\n';
function utf16(text: string, big: boolean, mark: boolean): Uint8Array<ArrayBuffer> {
  const view = new DataView(new ArrayBuffer(2 * (text.length + (mark ? 1 : 0))));
  [...(mark ? '\ufeff' : '') + text].forEach((c, i) => view.setUint16(2 * i, c.charCodeAt(0), !big));
  return new Uint8Array(view.buffer);
}
const read = (bytes: Uint8Array<ArrayBuffer>) => textOf(new File([bytes], 'mine.csv'));

describe('a dropped file', () => {
  it('is read as UTF-8', async () => expect(await read(new TextEncoder().encode(TABLE))).toBe(TABLE));
  it('in UTF-16 is to be saved as UTF-8', async () => {
    for (const big of [false, true]) for (const mark of [false, true]) await expect(read(utf16(TABLE, big, mark))).rejects.toThrow(/mine\.csv is text in UTF-16.*save it as UTF-8/);
  });
  it('that is no text says so', async () => {
    for (const bytes of [[0x89, 0x50, 0xff, 0xfe, 0x00], [0xff, 0xfe, 0x00, 0x81, 0x42], [0, 0, 0, 0], [0x41, 0, 0x42]]) await expect(read(new Uint8Array(bytes))).rejects.toThrow(/is not a text file/);
  });
  it('is known by its columns', () => {
    expect(tableKind(TABLE)).toBe('a spectrum');
    expect(tableKind('\ufeff# of a ring\r\n\r\n"Wavelength_nm";"reflectance_percent"\r\n400;50\r\n')).toBe('a spectrum');
    expect(tableKind('wavelength_nm,power\n400,1\n')).toBe('a lamp');
    for (const text of ['', 'schema = 1\n# wavelength_nm,reflectance\n', 'wavelength_nm,n,k\n400,1,0\n']) expect(tableKind(text)).toBeUndefined();
  });
});
