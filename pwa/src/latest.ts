/**
 * Keeps work that reads the newest state from running twice at once: a call during a run is answered by one more run,
 * which all callers meanwhile share. The promise resolves after a run that began after the call.
 */
export function latest(work: () => Promise<void>): () => Promise<void> {
  let running: Promise<void> | null = null;
  let next: Promise<void> | null = null;
  const run = () => {
    next = null;
    running = work().finally(() => (running = null));
    return running;
  };
  return () => (running ? (next ??= running.then(run, run)) : run());
}
