import type { ComponentChildren } from "preact";
import type { Faults } from "./typed";

interface FieldProps {
  name: string;
  label: string;
  hint?: ComponentChildren;
  value: string;
  put: (value: string) => void;
  faults: Faults;
  kind?: "text" | "number" | "signed" | "date" | "words";
  read?: boolean;
}

/** One field of a form; what is wrong with it is said below it and read out with it. */
export function Field({ name, label, hint, value, put, faults, kind = "text", read }: FieldProps) {
  const wrong = faults[name];
  const shared = {
    id: `field-${name}`, class: "fld", value, readOnly: read, "aria-invalid": wrong ? true : undefined,
    "aria-describedby": wrong ? `wrong-${name}` : undefined, autocomplete: "off",
    onInput: (e: { currentTarget: HTMLInputElement | HTMLTextAreaElement }) => put(e.currentTarget.value),
  } as const;
  return (
    <div class="field">
      <label for={shared.id}>{label}{hint && <span class="xs"> {hint}</span>}</label>
      {kind === "words" ? <textarea {...shared} rows={3} /> : kind === "date" ? <input {...shared} type="date" /> : <input {...shared} type="text" inputMode={kind === "number" ? "decimal" : "text"} />}
      {wrong && <p class="note stop" id={`wrong-${name}`}>{wrong}</p>}
    </div>
  );
}

interface SelectProps { name: string; label: string; value: string; put: (value: string) => void; choices: readonly { id: string; label: string }[]; hidden?: boolean }

export function Choose({ name, label, value, put, choices, hidden }: SelectProps) {
  return (
    <div class={hidden ? "w" : "field"}>
      <label class={hidden ? "sr" : ""} for={`field-${name}`}>{label}</label>
      <select id={`field-${name}`} class="fld full" value={value} onChange={(e) => put(e.currentTarget.value)}>
        {choices.map((c) => <option key={c.id} value={c.id}>{c.label}</option>)}
      </select>
    </div>
  );
}

/** Puts the focus into a field, in the middle of what is seen: a foot may lie over the edge. */
export function toField(name: string | undefined): void {
  const field = document.getElementById(`field-${name}`);
  field?.focus({ preventScroll: true });
  field?.scrollIntoView({ block: "center" });
}
