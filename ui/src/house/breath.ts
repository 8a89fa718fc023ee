// Long work on the page's own thread is cut in pieces, so that a finger never waits for all of it.

/** Resolves in a task of its own, after the page had a chance to paint. A hidden page paints no frames: it does not wait for one. */
export function breath(): Promise<void> {
  return new Promise((done) => {
    if (document.hidden) setTimeout(done);
    else requestAnimationFrame(() => setTimeout(done));
  });
}
