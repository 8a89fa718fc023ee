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
  const bytes = await file.arrayBuffer();
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    throw new Error(`${file.name} is not a text file; give the CSV or TOML file itself`);
  }
}

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
