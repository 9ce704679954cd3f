import type { ComponentChildren } from "preact";
import { useEffect, useRef } from "preact/hooks";
import { unsaved } from "../book";

interface PageProps {
  title: string;
  /** Beside the title. */
  aside?: ComponentChildren;
  /** Instead of the line with the title; the title is still said. */
  head?: ComponentChildren;
  cls?: string;
  foot?: ComponentChildren;
  dock?: boolean;
  children?: ComponentChildren;
}

/** A screen: its title takes the focus when it opens, so that a screen reader starts there. */
export function Page({ title, aside, head, cls = "fill", foot, dock, children }: PageProps) {
  const top = useRef<HTMLHeadingElement>(null);
  useEffect(() => {
    document.title = `${title} · Roadproof`;
  }, [title]);
  useEffect(() => {
    scrollTo(0, 0);
    // A page that is for one field has put the focus there already.
    if (!top.current?.closest("main")?.contains(document.activeElement)) top.current?.focus({ preventScroll: true });
  }, []);
  const h1 = (c = "") => <h1 ref={top} tabIndex={-1} class={c}>{title}</h1>;
  return (
    <main class={cls}>
      <div class="page">
        {head ? <>{h1("sr")}{head}</> : <header class="top">{h1()}{aside && <span class="s">{aside}</span>}</header>}
        {children}
      </div>
      {foot && <div class={dock ? "foot dock" : "foot"}>{unsaved.value && <p class="note stop" role="alert">{unsaved.value}</p>}{foot}</div>}
    </main>
  );
}
