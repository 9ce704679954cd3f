import { useEffect, useState } from "preact/hooks";

/** Code that a page can begin without: null until it has come. The worker has kept it, so that this works without a signal. */
export function useLater<T>(load: () => Promise<T>): T | null {
  const [module, set] = useState<{ it: T } | null>(null);
  useEffect(() => {
    load().then((it) => set({ it }), () => undefined);
  }, []);
  return module?.it ?? null;
}
