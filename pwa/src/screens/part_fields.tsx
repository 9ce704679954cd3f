/** The parts of an entry that are typed anew, each in a field. */
import { useState } from "preact/hooks";
import { Field } from "./field";
import type { Part } from "./rewrite";
import type { Faults } from "./typed";

type Texts = Readonly<Record<string, string>>;

/** What stands in the fields, by pointer; at first what was written down. */
export const usePartTexts = (parts: readonly Part[]) => useState<Texts>(() => Object.fromEntries(parts.map((part) => [part.pointer, String(part.was)])));

/** Of an entry's id: two entries may be open side by side. */
export function PartFields({ of, parts, texts, faults, put }: { of: string; parts: readonly Part[]; texts: Texts; faults: Faults; put: (texts: Texts) => void }) {
  const named = Object.fromEntries(Object.entries(faults).map(([pointer, words]) => [of + pointer, words]));
  return (
    <>
      {parts.map(({ pointer, label, unit, ways, was }) => (
        <Field key={pointer} name={of + pointer} label={`${label}, as it should have been`} hint={[unit, ways].filter(Boolean).join(", ")}
          kind={typeof was === "string" ? "words" : "signed"} value={texts[pointer]!} faults={named} put={(text) => put({ ...texts, [pointer]: text })} />
      ))}
    </>
  );
}
