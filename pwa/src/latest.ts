/** Work that reads the newest state, never run twice at once. */
export interface Latest {
  /** Asks for a run. The promise resolves when a run that began after the call is over, and none is left to make. */
  (): Promise<void>;
  isRunning: () => boolean;
}

export function latest(work: () => Promise<void>): Latest {
  let running: Promise<void> | null = null;
  let wanted = false;
  const runWhileWanted = async () => {
    try {
      while (wanted) {
        wanted = false;
        await work();
      }
    } finally {
      // In the same breath as the last look at `wanted`: a call in between would go unheard.
      running = null;
    }
  };
  const ask = () => {
    wanted = true;
    return (running ??= runWhileWanted());
  };
  return Object.assign(ask, { isRunning: () => running !== null });
}
