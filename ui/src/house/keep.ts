// Records: kept by the server where there is one, else in this browser. Both hold the same files.
import { drawn, empty, keys, put } from './drawer';

export type Kind = 'workshop' | 'finish' | 'part' | 'recipe' | 'wanted';
export interface Record { kind: Kind; name: string }

/** Whether a server keeps what is kept. */
export const hasServer = document.querySelector('meta[name="huewright-keeps"]') !== null;

const key = (kind: Kind, name: string) => `huewright/${kind}/${name}`;

/** There is a record of that name; nothing was kept. */
export class Taken extends Error {}

function remember(kind: Kind, name: string, response: Response) {
  const tag = response.headers.get('etag');
  if (tag) tags.set(key(kind, name), tag);
}

async function call(path: string, options: RequestInit): Promise<Response> {
  const response = await fetch(`api/records${path}`, options).catch(() => {
    throw new Error('the server does not answer: is it still running?');
  });
  if (response.ok) return response;
  const told = (await response.json().catch(() => ({ error: response.statusText }))) as { error: string };
  if (response.status === 412 && new Headers(options.headers).has('if-none-match')) throw new Taken(told.error);
  throw new Error(told.error);
}

/** What the server last gave or took of each record: a change by another tab since then is not overwritten in silence. */
const tags = new Map<string, string>();

/** Keeps a file under a name. An earlier one of that name is replaced only when `replace` is said. */
export async function keep(kind: Kind, name: string, text: string, replace: boolean): Promise<void> {
  if (hasServer) {
    const headers: HeadersInit = { 'content-type': 'application/toml' };
    const tag = tags.get(key(kind, name));
    if (!replace) headers['if-none-match'] = '*';
    else if (tag) headers['if-match'] = tag;
    const response = await call(`/${kind}/${encodeURIComponent(name)}`, { method: 'PUT', body: text, headers });
    remember(kind, name, response);
    return;
  }
  if (!replace && drawn(key(kind, name)) !== null) throw new Taken(`'${name}' is there already; put it in its place, or take another name`);
  if (!put(key(kind, name), text)) throw new Error('the browser does not keep it (its store is full or switched off): save the file instead');
}

export async function kept(kind: Kind): Promise<Record[]> {
  if (hasServer) {
    const list = (await (await call('', {})).json()) as { records: Record[] };
    return list.records.filter((r) => r.kind === kind);
  }
  const place = key(kind, '');
  return keys(place).map((k) => ({ kind, name: k.slice(place.length) })).sort((a, b) => a.name.localeCompare(b.name));
}

export async function fetchKept(kind: Kind, name: string): Promise<string> {
  if (hasServer) {
    const response = await call(`/${kind}/${encodeURIComponent(name)}`, {});
    remember(kind, name, response);
    return response.text();
  }
  const text = drawn(key(kind, name));
  if (text === null) throw new Error(`'${name}' is not kept here`);
  return text;
}

export async function forget(kind: Kind, name: string): Promise<void> {
  if (hasServer) await call(`/${kind}/${encodeURIComponent(name)}`, { method: 'DELETE' });
  else empty(key(kind, name));
}
