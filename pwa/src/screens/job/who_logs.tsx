import { useEffect, useState } from "preact/hooks";
import { choosePerson, session } from "../../book";
import { PickOne } from "../../look/touch";
import { askPeople, nameOf, people, whoLogs } from "../people";

const AT_A_GLANCE = 3;

/** Who is logging, on a phone that is shared: two or three names stand ready, more are folded away. One person: nothing. */
export function WhoLogs({ beside = false }: { /** Beside a keypad, where there is room for a few names only. */ beside?: boolean }) {
  const [open, setOpen] = useState(false);
  useEffect(askPeople, []);
  const names = people.value;
  if (names.length < 2) return null;
  const pick = (id: string | null) => {
    setOpen(false);
    if (id) void choosePerson(id === session.value?.personId ? null : id);
  };
  const few = names.length <= AT_A_GLANCE;
  if (!few && beside) return null;
  return (
    <div class={beside ? "who docked" : "who"}>
      {few || open
        ? <PickOne label="Who logs" cls={few ? `c${names.length} tight0` : ""} leaf="clip" value={whoLogs()} onPick={pick} choices={names.map((p) => ({ id: p.id, label: p.name }))} />
        : <button type="button" class="flat full" aria-expanded={false} onClick={() => setOpen(true)}>Logged by {nameOf(whoLogs())}</button>}
    </div>
  );
}
