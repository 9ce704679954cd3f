/** Work that reads the newest state, never run twice at once. */
export interface Latest {
  /**
   * Asks for a run. A call during one is answered by one more, which all callers meanwhile share: the promise resolves
   * after a run that began after the call.
   */
  (): Promise<void>;
  isRunning: () => boolean;
}

export function latest(work: () => Promise<void>): Latest {
  let running: Promise<void> | null = null;
  let next: Promise<void> | null = null;
  const run = () => {
    next = null;
    running = work().finally(() => (running = null));
    return running;
  };
  const ask = () => (running ? (next ??= running.then(run, run)) : run());
  return Object.assign(ask, { isRunning: () => running !== null });
}
