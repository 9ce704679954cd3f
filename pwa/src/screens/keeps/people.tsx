import { useState } from "preact/hooks";
import { v7 } from "uuid";
import { api, session } from "../../book";
import type { components } from "../../contract";
import { time } from "../../look/number";
import { Leaf } from "../../look/touch";
import { fetchPeople } from "../people";
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
  const save = (person: Person) => kept.write(async () => {
    await api.put("/people", { people: [person] });
    void fetchPeople();
    return read();
  });
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
        {owner ? <NewPerson onAdd={save} /> : <p class="s mt">Only the owner's role changes people and phones.</p>}
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

function NewPerson({ onAdd }: { onAdd: (p: Person) => void }) {
  const [name, setName] = useState("");
  return (
    <form class="row mt" onSubmit={(e) => {
      e.preventDefault();
      if (!name.trim()) return;
      onAdd({ id: v7(), name: name.trim(), role: "mechanic", active: true });
      setName("");
    }}>
      <input class="fld w" aria-label="Name of a new mechanic" placeholder="A new mechanic's name" maxLength={80} value={name} onInput={(e) => setName(e.currentTarget.value)} />
      <button type="submit">Add</button>
    </form>
  );
}
