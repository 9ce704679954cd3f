import type { ComponentType, FunctionComponent } from "preact";
import { useEffect, useState } from "preact/hooks";
import { Page } from "./page";

/** A screen whose code comes only when it is opened; the worker has kept it, so that this works without a signal. */
export function late<P extends object>(title: string, load: () => Promise<ComponentType<P>>): FunctionComponent<P> {
  let kept: ComponentType<P> | null = null;
  return function Late(props: P) {
    const [state, set] = useState<{ screen: ComponentType<P> | null; failed: boolean }>({ screen: kept, failed: false });
    const open = () => load().then((screen) => set({ screen: (kept = screen), failed: false }), () => set({ screen: null, failed: true }));
    useEffect(() => {
      if (!kept) void open();
    }, []);
    if (state.screen) return <state.screen {...props} />;
    return (
      <Page title={title}>
        {state.failed
          ? <p class="note">{title} could not be opened. <button type="button" onClick={open}>Try again</button></p>
          : <p class="s" role="status">Opening {title}…</p>}
      </Page>
    );
  };
}
