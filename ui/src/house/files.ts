// Files to and from the person's own disk.

/** Largest file that is read, bytes: no spectrum or workshop is larger. */
export const LARGEST = 4_000_000;

export function save(name: string, content: string | Blob, type = 'text/plain') {
  const blob = typeof content === 'string' ? new Blob([content], { type }) : content;
  const link = document.createElement('a');
  link.href = URL.createObjectURL(blob);
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 10_000);
}

/** The text of a dropped file. */
export async function textOf(file: File): Promise<string> {
  if (file.size > LARGEST) throw new Error(`${file.name} holds ${file.size} bytes; at most ${LARGEST} are read`);
  const bytes = new Uint8Array(await file.arrayBuffer());
  if (isUtf16(bytes)) throw new Error(`${file.name} is text in UTF-16, which is not read; save it as UTF-8 (in a spreadsheet: "CSV UTF-8")`);
  try {
    if (!bytes.includes(0)) return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    // Said below.
  }
  throw new Error(`${file.name} is not a text file; give the CSV or TOML file itself`);
}

/** Text of two bytes a letter: by the mark at its beginning and an even length, or by letters every other byte of which is zero. */
export function isUtf16(bytes: Uint8Array): boolean {
  if (bytes.length < 2 || bytes.length % 2 === 1) return false;
  const start = bytes.subarray(0, 2000);
  const zeros = (odd: number) => start.filter((b, i) => i % 2 === odd && b === 0).length;
  const [high, low] = [zeros(0), zeros(1)];
  const marked = (bytes[0] === 0xff && bytes[1] === 0xfe) || (bytes[0] === 0xfe && bytes[1] === 0xff);
  // Letters of a table are plain: one of the two bytes is zero for nearly all of them, the other for none.
  return Math.max(high, low) > (marked ? 0.1 : 0.4) * start.length && Math.min(high, low) === 0;
}

/** What a CSV holds, by the names of its columns; nothing where it is no table that this page knows. */
export function tableKind(text: string): 'a spectrum' | 'a lamp' | undefined {
  const lines = text.replace(/^\ufeff/, '').split(/\r?\n/, 50);
  const head = lines.find((line) => line.trim() !== '' && !line.trimStart().startsWith('#')) ?? '';
  const columns = head.split(/[,;\t]/).map((column) => column.trim().replace(/^"|"$/g, '').toLowerCase());
  if (!columns.includes('wavelength_nm')) return undefined;
  if (columns.some((column) => column.startsWith('reflectance'))) return 'a spectrum';
  return columns.includes('power') ? 'a lamp' : undefined;
}
/** Where such a table is given. */
export const GIVEN_AT = { 'a spectrum': 'give it on the page Wanted, under "A measured spectrum"', 'a lamp': 'give it under "A lamp of your own", where light and observer are chosen' };

/** A name for a file: letters and digits of a title. */
export function fileName(title: string, ending: string): string {
  const stem = title.toLowerCase().replace(/[^a-z0-9]+/g, '-').replace(/^-|-$/g, '').slice(0, 60);
  return `${stem || 'huewright'}.${ending}`;
}

/** An SVG made by the engine, as pixels. */
export async function png(svg: string, scale: number): Promise<Blob> {
  const image = new Image();
  const address = URL.createObjectURL(new Blob([svg], { type: 'image/svg+xml' }));
  try {
    image.src = address;
    await image.decode();
    const canvas = document.createElement('canvas');
    canvas.width = Math.round(image.naturalWidth * scale);
    canvas.height = Math.round(image.naturalHeight * scale);
    const pen = canvas.getContext('2d');
    if (!pen) throw new Error('this browser draws no pictures; save SVG instead');
    pen.drawImage(image, 0, 0, canvas.width, canvas.height);
    return await new Promise((settle, refuse) => {
      canvas.toBlob((blob) => (blob ? settle(blob) : refuse(new Error('the picture could not be made; save SVG instead'))), 'image/png');
    });
  } finally {
    URL.revokeObjectURL(address);
  }
}
