import { useEffect, useState } from "preact/hooks";

/** Room for a list and what is open of it side by side; workshop.css and page.css have the same width. */
export const ROOMY = "(min-width: 60rem)";
/** Room for the open jobs too, beside the page and its controls; page.css has the same width. */
export const DESKTOP = "(min-width: 84rem)";

/** Whether the window is that wide, also after it was turned or resized. */
export function useWide(query: string): boolean {
  const [wide, setWide] = useState(() => matchMedia(query).matches);
  useEffect(() => {
    const media = matchMedia(query);
    const changed = () => setWide(media.matches);
    media.addEventListener("change", changed);
    return () => media.removeEventListener("change", changed);
  }, [query]);
  return wide;
}
