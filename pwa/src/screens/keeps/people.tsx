import { useState } from "preact/hooks";
import { v7 } from "uuid";
import { api, session } from "../../book";
import type { components } from "../../contract";
import { time } from "../../look/number";
import { LIMITS } from "../../limits";
import { Leaf } from "../../look/touch";
import { Field } from "../field";
import { fetchPeople } from "../people";
import { wrongOnes } from "../typed";
import { useKept, type Kept } from "./kept";
import { Room } from "./room";

type Person = components["schemas"]["Person"];
type Device = components["schemas"]["Device"];

interface Keeping { people: Person[]; devices: Device[] }

const read = async (): Promise<Keeping> => ({
  people: (await api.get<{ people: Person[] }>("/people")).people,
  devices: (await api.get<{ devices: Device[] }>("/devices")).devices,
});

/** Who works here, and which phones write into the book. Only the owner changes them. */
export function People() {
  const kept = useKept<Keeping>(read, "People and phones");
  const owner = session.value?.role === "owner";
  const save = (person: Person, done?: () => void) => kept.write(async () => {
    await api.put("/people", { people: [person] });
    void fetchPeople();
    return read();
  }, done);
  return (
    <Room at="people" kept={kept} open={{ name: "Phones", body: <Phones kept={kept} owner={owner} /> }} both list={
      <>
        <h2>People</h2>
        <ul>
          {kept.answer?.people.map((p) => (
            <li class="li row sp" key={p.id}>
              <span class="w">{p.name} <span class="s">{p.role}{p.active ? "" : ", does not work here any more"}</span></span>
              {owner && <Leaf on={p.active} onPick={() => save({ ...p, active: !p.active })}><span class="sr">{p.name}: </span>works here</Leaf>}
            </li>
          ))}
        </ul>
        {owner ? <NewPerson kept={kept} onAdd={save} /> : <p class="s mt">Only the owner's role changes people and phones.</p>}
      </>
    } />
  );
}

function Phones({ kept, owner }: { kept: Kept<Keeping>; owner: boolean }) {
  const { people = [], devices = [] } = kept.answer ?? {};
  const nameOf = (id: string) => people.find((p) => p.id === id)?.name ?? "nobody of this shop";
  return (
    <>
      <h2>Phones</h2>
      <ul>
        {devices.map((d) => (
          <li class="li row sp" key={d.id}>
            <span class="w">{d.name}, {nameOf(d.person_id)} <span class="s">{told(d)}</span></span>
            {owner && !d.revoked_at && d.id !== session.value?.deviceId && (
              <button type="button" class="flat" aria-label={`Take ${d.name} of ${nameOf(d.person_id)} off the list`} onClick={() => kept.write(async () => {
                await api.delete(`/devices/${d.id}`);
                return read();
              })}>Take off</button>
            )}
          </li>
        ))}
      </ul>
      <p class="s mt">A phone that is taken off can write no more; what it has written stays. Pair another one in <a href="#/settings">Settings</a></p>
    </>
  );
}

function told(d: Device): string {
  if (d.revoked_at) return `taken off ${time(d.revoked_at)}`;
  const gaps = d.gaps?.length ? `, ${d.gaps.length === 1 ? "a gap" : `${d.gaps.length} gaps`} in its count` : "";
  return (d.last_seen_at ? `seen ${time(d.last_seen_at)}` : "not seen yet") + gaps;
}

function NewPerson({ kept, onAdd }: { kept: Kept<Keeping>; onAdd: (p: Person, done: () => void) => void }) {
  const [name, setName] = useState("");
  const add = () => {
    const wrong = wrongOnes({ name: { label: "Name", limit: LIMITS.Person.name } }, { name });
    if (!name.trim()) wrong["name"] = "Name: how is the new mechanic called?";
    if (Object.keys(wrong).length) return kept.refuse(wrong);
    // Typed until the service has it: without a signal nothing is lost.
    onAdd({ id: v7(), name: name.trim(), role: "mechanic", active: true }, () => setName(""));
  };
  return (
    <form class="mt" onSubmit={(e) => {
      e.preventDefault();
      add();
    }}>
      <Field name="name" label="A new mechanic's name" value={name} put={setName} faults={kept.faults} />
      <button type="submit" class="mt" aria-disabled={kept.busy}>Add</button>
    </form>
  );
}
