// Records: kept by the server where there is one, else in this browser. Both hold the same files.
import { drawn, empty, keys, put } from './drawer';

export type Kind = 'workshop' | 'finish' | 'part' | 'recipe' | 'wanted';
export interface Record { kind: Kind; name: string }

/** Whether a server keeps what is kept. */
export const hasServer = document.querySelector('meta[name="huewright-keeps"]') !== null;

const key = (kind: Kind, name: string) => `huewright/${kind}/${name}`;

/** There is a record of that name; nothing was kept. */
export class Taken extends Error {}

/** The record is not what it was when it was last seen here: another tab or machine changed or removed it. Nothing was done. */
export class Changed extends Error {}

class Missing extends Error {}

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
  if (response.status === 412) throw new Headers(options.headers).has('if-none-match') ? new Taken(told.error) : new Changed(told.error);
  throw response.status === 404 ? new Missing(told.error) : new Error(told.error);
}

/** What the server last gave or took of each record: a change by another tab since then is not overwritten in silence. */
const tags = new Map<string, string>();

const place = (kind: Kind, name: string) => `/${kind}/${encodeURIComponent(name)}`;

/** Keeps a file under a name. An earlier one of that name is replaced only when `replace` is said. */
export async function keep(kind: Kind, name: string, text: string, replace: boolean): Promise<void> {
  if (hasServer) {
    const headers: HeadersInit = { 'content-type': 'application/toml' };
    const tag = tags.get(key(kind, name));
    if (!replace) headers['if-none-match'] = '*';
    else if (tag) headers['if-match'] = tag;
    const response = await call(place(kind, name), { method: 'PUT', body: text, headers });
    remember(kind, name, response);
    return;
  }
  if (!replace && drawn(key(kind, name)) !== null) throw new Taken(`'${name}' is there already; put it in its place, or take another name`);
  if (!put(key(kind, name), text)) throw new Error('the browser does not keep it (its store is full or switched off): save the file instead');
}

/** Looks at what another one made of a record, so that it may be replaced or removed: it is known that it was changed. */
async function lookAgain(kind: Kind, name: string): Promise<void> {
  tags.delete(key(kind, name));
  const response = await call(place(kind, name), { cache: 'no-store' }).catch((error: unknown) => {
    // It is there no more: nothing is to be replaced.
    if (error instanceof Missing) return undefined;
    throw error;
  });
  if (response) remember(kind, name, response);
}

/** Replaces a record that another one has changed meanwhile, as it stands now. */
export async function keepOver(kind: Kind, name: string, text: string): Promise<void> {
  await lookAgain(kind, name);
  await keep(kind, name, text, tags.has(key(kind, name)));
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
    const response = await call(place(kind, name), {});
    remember(kind, name, response);
    return response.text();
  }
  const text = drawn(key(kind, name));
  if (text === null) throw new Error(`'${name}' is not kept here`);
  return text;
}

/** Removes a record, as it was last seen here; with `anyway`, as it stands now. */
export async function forget(kind: Kind, name: string, anyway = false): Promise<void> {
  if (!hasServer) return empty(key(kind, name));
  if (anyway || !tags.has(key(kind, name))) await lookAgain(kind, name);
  const tag = tags.get(key(kind, name));
  await call(place(kind, name), { method: 'DELETE', ...(tag ? { headers: { 'if-match': tag } } : {}) });
  tags.delete(key(kind, name));
}
