/** Who this phone is to the service, and who is logging on it. */
import { signal, type Signal } from "@preact/signals";
import type { Role } from "./nouns";
import { Problem, saved } from "./problem";
import { getMeta, putMeta, read, write, type Device } from "./store/database";
import { call } from "./sync/service";
import { tellTabs } from "./sync/tabs";

export interface Session {
  token: string;
  role: Role;
  personId: string;
  deviceId: string;
  deviceName: string;
}

export const session: Signal<Session | null> = signal(null);
/** Who is logging on a shared phone; null: the person the phone was paired for. */
export const person: Signal<string | null> = signal(null);

export async function loadSession(): Promise<void> {
  const [device, stored, who] = await read(["meta"], (tx) => Promise.all([
    getMeta(tx, "device"), getMeta(tx, "session"), getMeta(tx, "person"),
  ]));
  const fresh = stored && device ? { ...stored, deviceId: device.id } : null;
  if (fresh?.token !== session.value?.token) session.value = fresh;
  person.value = who ?? null;
}

export async function choosePerson(personId: string | null): Promise<void> {
  await saved(write(["meta"], async (tx) => {
    if (personId === null) await tx.objectStore("meta").delete("person");
    else await putMeta(tx, "person", personId);
  }));
  person.value = personId;
  tellTabs();
}

/** Pairs this phone by a one-time code. What it holds, and its device id, stay. */
export async function pairDevice(code: string, deviceName: string): Promise<void> {
  const device = (await read(["meta"], (tx) => getMeta(tx, "device"))) as Device;
  const answer = await call({ method: "POST", path: "/pair", body: { code, device_id: device.id, device_name: deviceName } });
  if (answer.problem) throw new Problem(answer.status, answer.problem);
  const { token, role, person_id } = answer.body as { token: string; role: Role; person_id: string };
  await saved(write(["meta"], async (tx) => {
    await putMeta(tx, "session", { token, role, personId: person_id, deviceName });
    await tx.objectStore("meta").delete("person");
  }));
  await loadSession();
  tellTabs();
}

/** Forgets the pairing. Entries held stay, to be sent after the next one with the same shop. */
export async function unpair(): Promise<void> {
  await saved(write(["meta"], async (tx) => {
    await tx.objectStore("meta").delete("session");
    await tx.objectStore("meta").delete("person");
  }));
  await loadSession();
  tellTabs();
}

/** What this phone is called in the list of devices, until a person names it. */
export function deviceKind(agent: string = navigator.userAgent): string {
  if (/iPad/.test(agent)) return "Tablet";
  if (/iPhone|Android.*Mobile/.test(agent)) return "Phone";
  return /Android/.test(agent) ? "Tablet" : "Computer";
}
