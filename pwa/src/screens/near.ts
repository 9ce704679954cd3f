import { useEffect, useRef, useState } from "preact/hooks";

/** Less than a screen away: what is scrolled to is there before it comes into view. */
const AHEAD = "50%";

const told = new WeakMap<Element, () => void>();
let watch: IntersectionObserver | undefined;
const watcher = () => (watch ??= new IntersectionObserver((seen) => {
  for (const { target, isIntersecting } of seen) if (isIntersecting) told.get(target)?.();
}, { rootMargin: AHEAD }));

/** Whether an element has come near to what is seen; once so, it stays so. Long lists work out no more than that. */
export function useNear<E extends Element>() {
  const at = useRef<E>(null);
  const [near, setNear] = useState(false);
  useEffect(() => {
    const element = at.current!;
    told.set(element, () => setNear(true));
    watcher().observe(element);
    return () => watcher().unobserve(element);
  }, []);
  return [at, near] as const;
}
