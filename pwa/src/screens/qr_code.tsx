import { useEffect, useRef } from "preact/hooks";

/** The service's drawing of a QR code, put in as elements: a text of markup would need a wider content security policy. */
export function Qr({ svg, label }: { svg: string; label: string }) {
  const place = useRef<HTMLDivElement>(null);
  useEffect(() => {
    const drawn = new DOMParser().parseFromString(svg, "text/html").querySelector("svg");
    drawn?.setAttribute("aria-label", label);
    if (drawn) place.current?.replaceChildren(document.importNode(drawn, true));
  }, [svg, label]);
  return <div ref={place} class="mt" />;
}
