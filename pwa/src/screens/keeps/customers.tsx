import type { ComponentProps } from "preact";
import { useState } from "preact/hooks";
import { v7 } from "uuid";
import { api, bikes, putBike, session } from "../../book";
import type { components } from "../../contract";
import { LIMITS } from "../../limits";
import { count } from "../../look/number";
import { Leaf } from "../../look/touch";
import type { Bike } from "../../nouns";
import { drivetrainWords, matches } from "../bike/facts";
import { fold, holds, lookedFor } from "../fold";
import { notSaved } from "../once";
import { go } from "../route";
import { Field } from "../field";
import { useKept, type Kept } from "./kept";
import { goOn, Room, useOpen } from "./room";
import { wrongOnes } from "../typed";

type Customer = components["schemas"]["Customer"];

const LIST = "#/workshop/customers";
const read = async (): Promise<Customer[]> => (await api.get<{ customers: Customer[] }>("/customers")).customers;
const bikesOf = (id: string): Bike[] => bikes.value.filter((b) => b.customer_id === id);

/** The only place with personal data: it is read from the service, shown, and never kept on this phone or in a record. */
export function Customers({ rest: [id] }: { rest: string[] }) {
  const kept = useKept(read, "Customers", id);
  const [find, setFind] = useState("");
  const all = [...(kept.answer ?? [])].sort((a, b) => a.name.localeCompare(b.name));
  const open = useOpen(id, all[0]?.id);
  const chosen = all.find((c) => c.id === open);
  const room = {
    at: "customers", kept, list: <List all={all} at={open} find={find} setFind={setFind} />, aside: kept.answer ? count(all.length, "customer") : "",
    acts: <a class="b big full" href={`${LIST}/new`}>New customer</a>,
  } as const;
  return chosen || open === "new" ? <Change key={open} kept={kept} of={chosen ?? null} room={room} /> : <Room {...room} />;
}

function List({ all, at, find, setFind }: { all: Customer[]; at: string | undefined; find: string; setFind: (words: string) => void }) {
  if (!all.length) return <p class="note mt">No customer yet. A bike can do without one.</p>;
  const words = lookedFor(find);
  const shown = all.filter((c) => holds(fold(`${c.name} ${c.contact ?? ""} ${bikesOf(c.id).map((b) => b.label).join(" ")}`), words));
  return (
    <>
      <label class="sr" for="find-customer">Find a customer</label>
      <input id="find-customer" class="fld full mt" type="search" placeholder="Find by name, contact or bike" value={find} onInput={(e) => setFind(e.currentTarget.value)} />
      <ul class="mt">
        {shown.map((c) => (
          <li key={c.id}>
            <a class="row-link" href={`${LIST}/${c.id}`} aria-current={c.id === at ? "true" : undefined}>
              <span class="row sp"><b>{c.name}</b><span class="s nowrap">{count(bikesOf(c.id).length, "bike")}</span></span>
              <span class="s">{c.contact || "no contact written down"}</span>
            </a>
          </li>
        ))}
      </ul>
      {!shown.length && <p class="s mt">Nobody by these words.</p>}
    </>
  );
}

const ASKED = {
  name: { label: "Name", limit: LIMITS.Customer.name }, contact: { label: "How to reach them", limit: LIMITS.Customer.contact }, note: { label: "Note", limit: LIMITS.Customer.note },
};

function Change({ kept, of, room }: { kept: Kept<Customer[]>; of: Customer | null; room: ComponentProps<typeof Room> }) {
  const [id] = useState(() => of?.id ?? v7());
  const [name, setName] = useState(of?.name ?? "");
  const [contact, setContact] = useState(of?.contact ?? "");
  const [note, setNote] = useState(of?.note ?? "");
  const save = () => {
    const wrong = wrongOnes(ASKED, { name, contact, note });
    if (!name.trim()) wrong["name"] = "Name: whom does the shop call?";
    if (Object.keys(wrong).length) return kept.refuse(wrong);
    const customer: Customer = { id, name: name.trim(), contact: contact.trim(), note: note.trim() };
    kept.write(async () => (await api.put<{ customers: Customer[] }>("/customers", { customers: [customer] })).customers, () => (of ? goOn(LIST, id) : go(`${LIST}/${id}`)));
  };
  return (
    <Room {...room} open={{
      name: of?.name ?? "New customer",
      acts: <button type="button" class="big go w" aria-disabled={kept.busy} onClick={save}>{of ? "Keep" : "Add the customer"}</button>,
      body: (
        <>
          <Field name="name" label="Name" value={name} put={setName} faults={kept.faults} />
          <Field name="contact" label="How to reach them" hint="as they wish" value={contact} put={setContact} faults={kept.faults} />
          <Field name="note" label="Note" kind="words" value={note} put={setNote} faults={kept.faults} />
          {of && <><TheirBikes id={of.id} /><Rights of={of} kept={kept} /></>}
          <p class="s mt3">Names and how to reach people stand here alone, with the service: bikes refer to them by a random number, set-up records never do.</p>
        </>
      ),
    }} />
  );
}

/** Which of this phone's bikes are theirs. The bike keeps a random number; it travels as any change of a bike. */
function TheirBikes({ id }: { id: string }) {
  const [find, setFind] = useState("");
  const [problem, setProblem] = useState<string | null>(null);
  const own = bikesOf(id);
  const words = lookedFor(find);
  const others = words.length ? bikes.value.filter((b) => b.customer_id !== id && matches(b, words)).slice(0, 6) : [];
  const give = (bike: Bike, to: string | undefined) => {
    const { seq: _seq, family: _family, updated_at: _at, customer_id: _before, ...body } = bike;
    putBike({ ...body, ...(to && { customer_id: to }) }).then(() => setProblem(null), (error: unknown) => setProblem(notSaved(error)));
  };
  const row = (bike: Bike, on: boolean) => (
    <li key={bike.id} class="row kept-row">
      <a class="w bare" href={`#/bikes/${bike.id}`}>{bike.label} <span class="s">{drivetrainWords(bike.drivetrain)}</span></a>
      <Leaf on={on} onPick={() => give(bike, on ? undefined : id)}><span class="sr">{bike.label}: </span>theirs</Leaf>
    </li>
  );
  return (
    <>
      <h2>Their bikes</h2>
      {!own.length && <p class="s">None yet.</p>}
      <ul>{own.map((b) => row(b, true))}</ul>
      <label class="mt" for="find-bike">Find one of theirs by any word</label>
      <input id="find-bike" class="fld full" type="search" value={find} onInput={(e) => setFind(e.currentTarget.value)} />
      <ul>{others.map((b) => row(b, false))}</ul>
      {problem && <p class="note stop mt" role="alert">{problem}</p>}
    </>
  );
}

/** What a person may ask of the shop: all that it holds of them, and to be forgotten. */
function Rights({ of, kept }: { of: Customer; kept: Kept<Customer[]> }) {
  const [sure, setSure] = useState(false);
  const [said, say] = useState<string | null>(null);
  const own = bikesOf(of.id).length;
  const hand = () => kept.write(async () => {
    saveFile(`customer-${of.id}.json`, await api.get<unknown>(`/customers/${of.id}`));
    say("Saved as a file on this device. Hand it over, then delete it here.");
    return kept.answer!;
  });
  const erase = () => kept.write(async () => {
    await api.delete(`/customers/${of.id}`);
    return read();
  }, () => go(LIST));
  return (
    <>
      <h2>What they may ask for</h2>
      <button type="button" class="full" onClick={hand}>Save all that the book holds of them</button>
      {said && <p class="s mt" role="status">{said}</p>}
      {session.value?.role !== "owner" ? <p class="s mt">Only the owner's role erases a person's data.</p>
        : !sure ? <button type="button" class="full mt" onClick={() => setSure(true)}>Erase their data…</button>
        : (
          <>
            <p class="note stop mt" role="alert"><b>This cannot be taken back.</b> Name, contact and note go for good. {own > 0 && `${count(own, "bike")} and ${own === 1 ? "its" : "their"} set-ups stay; nobody can tell from them whose they were.`}</p>
            <div class="row mt"><button type="button" class="w" onClick={() => setSure(false)}>Do not erase</button><button type="button" class="w" onClick={erase}>Erase for good</button></div>
          </>
        )}
    </>
  );
}

function saveFile(name: string, body: unknown): void {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(new Blob([JSON.stringify(body, null, 2)], { type: "application/json" }));
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 10_000);
}
