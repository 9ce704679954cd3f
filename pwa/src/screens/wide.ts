import { useEffect, useState } from "preact/hooks";

/** Room for a column of controls beside the page, and for the open jobs too. page.css has the same widths. */
export const TABLET = "(min-width: 56rem)";
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
