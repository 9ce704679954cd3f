import type { ComponentChildren } from "preact";

export interface Choice { id: string; label: string }

export function Leaf({ on, onPick, children, cls = "" }: { on: boolean; onPick: () => void; children: ComponentChildren; cls?: string }) {
  return <button type="button" class={`lf ${cls}`} aria-pressed={on} onClick={onPick}>{children}</button>;
}

interface LeavesProps {
  choices: Choice[];
  label: string;
  cls?: string;
  leaf?: string;
}

/** One of several; picking it again takes it back where `loose` says so. */
export function PickOne(p: LeavesProps & { value: string | null; onPick: (id: string | null) => void; loose?: boolean }) {
  return (
    <div class={`leaves ${p.cls ?? ""}`} role="group" aria-label={p.label}>
      {p.choices.map((c) => (
        <Leaf on={p.value === c.id} cls={p.leaf} onPick={() => p.onPick(p.loose && p.value === c.id ? null : c.id)}>{c.label}</Leaf>
      ))}
    </div>
  );
}

export function PickSome(p: LeavesProps & { value: string[]; onPick: (ids: string[]) => void }) {
  const flip = (id: string) => p.onPick(p.value.includes(id) ? p.value.filter((v) => v !== id) : [...p.value, id]);
  return (
    <div class={`leaves ${p.cls ?? ""}`} role="group" aria-label={p.label}>
      {p.choices.map((c) => <Leaf on={p.value.includes(c.id)} cls={p.leaf} onPick={() => flip(c.id)}>{c.label}</Leaf>)}
    </div>
  );
}
