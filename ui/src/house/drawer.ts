// The browser's own store, which may be full, switched off, or filled by an older page: reading gives nothing then, and
// writing says whether it was kept.

export function drawn(key: string): string | null {
  try {
    return localStorage.getItem(key);
  } catch {
    return null;
  }
}

export function put(key: string, text: string): boolean {
  try {
    localStorage.setItem(key, text);
    return true;
  } catch {
    return false;
  }
}

export function empty(key: string) {
  try {
    localStorage.removeItem(key);
  } catch {
    // What cannot be reached is not there.
  }
}

/** Every key that begins so. */
export function keys(begin: string): string[] {
  try {
    return Object.keys(localStorage).filter((k) => k.startsWith(begin));
  } catch {
    return [];
  }
}

/** What this tab alone remembers, also after a reload. */
export function remembered(key: string): string | null {
  try {
    return sessionStorage.getItem(key);
  } catch {
    return null;
  }
}

export function remember(key: string, text: string) {
  try {
    sessionStorage.setItem(key, text);
  } catch {
    // Then a reload goes by the address.
  }
}
