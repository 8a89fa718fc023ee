// A state as letters of an address, and back. What comes from outside is bounded before it is unpacked.
import { sound } from './sound';
import type { State } from './state.svelte';

/** No address holds more letters of a state: browsers and what carries links give up somewhere beyond. */
export const LONGEST_LINK = 200_000;
/** No state holds more bytes; a few letters can unpack to far more than a browser holds. */
export const LARGEST_STATE = 2_000_000;

/** Why a state goes through no address, in words for a person. */
export class Unfit extends Error {}

const BROKEN = 'This link is cut off or broken, so what it showed cannot be seen; here is what you had before. Ask for the link again.';
const TOO_LONG = `This link holds more than any state of this page (at most ${LONGEST_LINK} letters, ${LARGEST_STATE} bytes unpacked), so it was not opened; here is what you had before.`;
const TOO_LARGE = 'What you have here is too large for an address, so a link does not hold it. It is kept in this browser; to pass it on, save it as files.';
const TOO_OLD_TO_READ = 'This browser is too old for links, so what this one showed cannot be seen; here is what you had before. Open it with a newer browser.';
const TOO_OLD_TO_WRITE = 'This browser is too old for links: the address does not hold what you do here. It is kept in this browser; to pass it on, save it as files.';

/** A browser may lack these altogether, or not know this form. */
function made<Stream>(make: () => Stream, words: string): Stream {
  try {
    return make();
  } catch {
    throw new Unfit(words);
  }
}

/** All that comes out, or an error as soon as it is more than `most` bytes. */
async function through(bytes: Uint8Array<ArrayBuffer>, stream: CompressionStream | DecompressionStream, most: number, words: string): Promise<Uint8Array<ArrayBuffer>> {
  const out = new Blob([bytes]).stream().pipeThrough(stream).getReader();
  const parts: Uint8Array<ArrayBuffer>[] = [];
  let count = 0;
  for (let next = await out.read(); !next.done; next = await out.read()) {
    count += next.value.length;
    if (count > most) {
      void out.cancel().catch(() => undefined);
      throw new Unfit(words);
    }
    parts.push(next.value);
  }
  return new Uint8Array(await new Blob(parts).arrayBuffer());
}

/** Bytes as letters, a piece at a time: a function takes only so many arguments. */
function letters(bytes: Uint8Array): string {
  let text = '';
  for (let i = 0; i < bytes.length; i += 8192) text += String.fromCharCode(...bytes.subarray(i, i + 8192));
  return btoa(text).replaceAll('+', '-').replaceAll('/', '_').replaceAll('=', '');
}

/** The state as letters, or an Unfit. */
export async function pack(state: State): Promise<string> {
  const stream = made(() => new CompressionStream('deflate-raw'), TOO_OLD_TO_WRITE);
  const bytes = new TextEncoder().encode(JSON.stringify(state));
  if (bytes.length > LARGEST_STATE) throw new Unfit(TOO_LARGE);
  const packed = letters(await through(bytes, stream, LONGEST_LINK, TOO_LARGE));
  if (packed.length > LONGEST_LINK) throw new Unfit(TOO_LARGE);
  return packed;
}

/** The state that a link holds, or an Unfit. */
export async function unpack(text: string): Promise<State> {
  const stream = made(() => new DecompressionStream('deflate-raw'), TOO_OLD_TO_READ);
  if (text.length > LONGEST_LINK) throw new Unfit(TOO_LONG);
  let state: State | undefined;
  try {
    const packed = atob(text.replaceAll('-', '+').replaceAll('_', '/'));
    const bytes = await through(Uint8Array.from(packed, (c) => c.charCodeAt(0)), stream, LARGEST_STATE, TOO_LONG);
    state = sound(JSON.parse(new TextDecoder().decode(bytes)));
  } catch (error) {
    throw error instanceof Unfit ? error : new Unfit(BROKEN);
  }
  if (!state) throw new Unfit(BROKEN);
  return state;
}
