import { useEffect, useState } from "preact/hooks";
import { v7 } from "uuid";
import { api, Problem, session } from "../../book";
import type { components } from "../../contract";
import { time } from "../../look/number";
import { Leaf } from "../../look/touch";
import { useOnce } from "../once";
import { fetchPeople } from "../people";

type Person = components["schemas"]["Person"];
type Device = components["schemas"]["Device"];

/** Who works here, and which phones write into the book. Only the owner changes them. */
export function PeopleAndPhones() {
  const [people, setPeople] = useState<Person[] | null>(null);
  const [devices, setDevices] = useState<Device[]>([]);
  const [problem, setProblem] = useState<string | null>(null);
  const once = useOnce();
  const owner = session.value?.role === "owner";
  const ask = (work: () => Promise<void>) => once(async () => {
    try {
      await work();
      setProblem(null);
    } catch (error) {
      setProblem(error instanceof Problem && error.status ? error.message : "People and phones are kept by the service: get a signal, then open Workshop again.");
    }
  });
  const read = async () => {
    setPeople((await api.get<{ people: Person[] }>("/people")).people);
    setDevices((await api.get<{ devices: Device[] }>("/devices")).devices);
  };
  const save = (person: Person) => ask(async () => {
    setPeople((await api.put<{ people: Person[] }>("/people", { people: [person] })).people);
    await fetchPeople();
  });
  useEffect(() => ask(read), []);
  const nameOf = (id: string) => people?.find((p) => p.id === id)?.name ?? "nobody of this shop";
  return (
    <>
      <section>
        <h2>People</h2>
        {problem && <p class="note stop" role="alert">{problem}</p>}
        {!people && !problem && <p class="s" role="status">Asking the service…</p>}
        <ul>
          {people?.map((p) => (
            <li class="li row sp" key={p.id}>
              <span class="w">{p.name} <span class="s">{p.role}{p.active ? "" : ", does not work here any more"}</span></span>
              {owner && <Leaf on={p.active} onPick={() => save({ ...p, active: !p.active })}><span class="sr">{p.name}: </span>works here</Leaf>}
            </li>
          ))}
        </ul>
        {owner && people && <NewPerson onAdd={save} />}
      </section>
      <section>
        <h2>Phones</h2>
        <ul>
          {devices.map((d) => (
            <li class="li row sp" key={d.id}>
              <span class="w">{d.name}, {nameOf(d.person_id)} <span class="s">{told(d)}</span></span>
              {owner && !d.revoked_at && d.id !== session.value?.deviceId && (
                <button type="button" class="flat" aria-label={`Take ${d.name} of ${nameOf(d.person_id)} off the list`} onClick={() => ask(async () => {
                  await api.delete(`/devices/${d.id}`);
                  await read();
                })}>Take off</button>
              )}
            </li>
          ))}
        </ul>
        <p class="s mt">A phone that is taken off can write no more; what it has written stays. Pair another one in <a href="#/settings">Settings</a></p>
      </section>
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
