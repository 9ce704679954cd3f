/** The pages of Workshop: what all jobs say together, and what the shop keeps. */
import { go } from "../route";

export const PAGES = [
  { id: "", label: "Charts" },
  { id: "people", label: "People and phones" },
  { id: "gauges", label: "Gauges" },
  { id: "bands", label: "Bands" },
  { id: "gauge-study", label: "Gauge study" },
  { id: "causes", label: "Causes" },
  { id: "steps", label: "Steps" },
  { id: "customers", label: "Customers" },
] as const;

/** The pages of Workshop in a row, on a desktop. */
export function Tabs({ at }: { at: string }) {
  return (
    <nav class="idx tabs" aria-label="Workshop">
      {PAGES.map((p) => <a key={p.id} href={p.id ? `#/workshop/${p.id}` : "#/workshop"} aria-current={p.id === at ? "page" : undefined}>{p.label}</a>)}
    </nav>
  );
}

/** The same on a phone: one field within the thumb's reach. */
export function PageChoice({ at }: { at: string }) {
  return (
    <div>
      <label class="sr" for="workshop-page">Page of Workshop</label>
      <select id="workshop-page" class="fld full" value={at} onChange={(e) => go(e.currentTarget.value ? `#/workshop/${e.currentTarget.value}` : "#/workshop")}>
        {PAGES.map((p) => <option key={p.id} value={p.id}>{p.label}</option>)}
      </select>
    </div>
  );
}
