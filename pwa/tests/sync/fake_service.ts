/** A service in memory that keeps the contract of sync, and a network whose faults a test can order. */
import { v4 as uuid } from "uuid";

export interface Row {
  seq: number;
  noun: "bike" | "job" | "entry";
  body: any;
}
export interface Seen {
  method: string;
  path: string;
  body: any;
}
/** What happens to one request instead of a plain exchange. */
export type Fault = (seen: Seen, exchange: () => Response) => Response | Promise<Response>;

const json = (body: unknown, status = 200, headers: Record<string, string> = {}) =>
  new Response(JSON.stringify(body), {
    status, headers: { "Content-Type": status < 400 ? "application/json" : "application/problem+json", ...headers },
  });
export const problem = (status: number, more: object = {}, headers: Record<string, string> = {}) =>
  json({ type: "about:blank", title: `status ${status}`, status, ...more }, status, headers);

/** Faults by the name of what a person would see of them. */
export const faults = {
  noSignal: (() => { throw new TypeError("Failed to fetch"); }) as Fault,
  answerLost: ((_, exchange) => { exchange(); throw new TypeError("Failed to fetch"); }) as Fault,
  portal: (() => new Response("<html>Log in to this network</html>", { headers: { "Content-Type": "text/html" } })) as Fault,
  busy: (seconds: number): Fault => () => problem(503, {}, { "Retry-After": String(seconds) }),
  status: (status: number, more: object = {}): Fault => () => problem(status, more),
};

export class FakeService {
  epoch = uuid();
  shop = uuid();
  token = "token";
  backedUpTo: number | null = null;
  rows: Row[] = [];
  photos = new Map<string, ArrayBuffer>();
  seen: Seen[] = [];
  /** Called before each exchange; returns a fault or nothing. */
  fault: (seen: Seen) => Fault | undefined = () => undefined;
  /** Says what is wrong with an entry, or nothing. */
  judge: (entry: any) => { status: "rejected" | "retry"; problem: object } | undefined = () => undefined;
  refuseNoun: (noun: string, body: any) => object | undefined = () => undefined;
  clockAhead = 0;

  install(): void {
    globalThis.fetch = (async (input: string, init: RequestInit = {}) => {
      const seen: Seen = {
        method: init.method ?? "GET", path: input.replace("/api/v1", ""),
        body: typeof init.body === "string" ? JSON.parse(init.body) : init.body ?? undefined,
      };
      this.seen.push(seen);
      const headers = init.headers as Record<string, string>;
      const exchange = () => this.answer(seen, headers["Authorization"]);
      const answer = this.fault(seen)?.(seen, exchange) ?? exchange();
      // As the network does: a request that was given up gets no answer.
      const { signal } = init;
      return !signal ? answer : Promise.race([answer, new Promise<never>((_, reject) =>
        signal.addEventListener("abort", () => reject(signal.reason)))]);
    }) as typeof fetch;
  }

  get entries(): any[] {
    return this.rows.filter((row) => row.noun === "entry").map((row) => row.body);
  }
  of(noun: Row["noun"], id: string): Row | undefined {
    return this.rows.find((row) => row.noun === noun && row.body.id === id);
  }
  posts(): Seen[] {
    return this.seen.filter(({ path }) => path === "/entries");
  }

  backup(): Row[] {
    return structuredClone(this.rows);
  }
  restore(rows: Row[]): void {
    this.rows = structuredClone(rows);
    this.epoch = uuid();
  }

  /** Another phone or the workshop's desktop writes. */
  write(noun: Row["noun"], body: any): Row {
    const seq = Math.max(0, ...this.rows.map((row) => row.seq)) + 1;
    const row: Row = { seq, noun, body: { ...body, seq } };
    this.rows = [...this.rows.filter((old) => old.noun !== noun || old.body.id !== body.id), row];
    return row;
  }

  private answer({ method, path, body }: Seen, authorization: string | undefined): Response {
    if (path === "/pair") {
      this.token = `token ${uuid()}`;
      return json({ token: this.token, role: "mechanic", person_id: uuid() });
    }
    if (authorization !== `Bearer ${this.token}`) return problem(401);
    if (path === "/me") return json({ shop_id: this.shop, epoch: this.epoch });
    if (path === "/catalogue") return problem(404);
    if (path.startsWith("/changes")) return this.changes(new URLSearchParams(path.split("?")[1]));
    if (path === "/entries") return this.take(body.entries);
    if (path.startsWith("/photos/")) return this.keepPhoto(path.slice(8), body);
    const [, noun, id] = /^\/(bike|job)s\/(.+)$/.exec(path) ?? [];
    return method === "PUT" && noun ? this.put(noun as "bike" | "job", id!, body) : problem(404);
  }

  private changes(query: URLSearchParams): Response {
    const [after, limit] = [Number(query.get("after")), Number(query.get("limit"))];
    const newer = this.rows.filter((row) => row.seq > after).sort((one, other) => one.seq - other.seq);
    const page = newer.slice(0, limit);
    return json({ epoch: this.epoch, changes: page, next: page.at(-1)?.seq ?? after, more: newer.length > page.length, server_time: this.time() });
  }

  private keepPhoto(sha256: string, bytes: ArrayBuffer): Response {
    this.photos.set(sha256, bytes);
    return json({ sha256, size: bytes.byteLength, seq: Math.max(0, ...this.rows.map((row) => row.seq)) });
  }

  private time(): string {
    return new Date(Date.now() + this.clockAhead).toISOString();
  }

  private take(entries: any[]): Response {
    const results = entries.map((entry) => {
      const known = this.of("entry", entry.id);
      if (known) {
        const { seq, ...stored } = known.body;
        return JSON.stringify(stored) === JSON.stringify(entry)
          ? { id: entry.id, status: "duplicate", seq }
          : { id: entry.id, status: "conflict", problem: { title: "Another entry has this id" } };
      }
      if (!this.of("job", entry.job_id)) return { id: entry.id, status: "retry", problem: { title: "This job is not known yet" } };
      if (entry.replaces && !this.of("entry", entry.replaces)) return { id: entry.id, status: "retry", problem: { title: "The entry it replaces is not known yet" } };
      const found = this.judge(entry);
      return found ? { id: entry.id, ...found } : { id: entry.id, status: "stored", seq: this.write("entry", entry).seq };
    });
    return json({ epoch: this.epoch, server_time: this.time(), backed_up_to: this.backedUpTo, results });
  }

  private put(noun: "bike" | "job", id: string, { base_seq, ...body }: any): Response {
    const refused = this.refuseNoun(noun, body);
    if (refused) return problem(422, refused);
    if (noun === "job" && !this.of("bike", body.bike_id)) return problem(409, { type: "urn:roadproof:problem:unknown-bike" });
    const old = this.of(noun, id)?.body;
    const added = noun === "bike" ? { family: "family" } : { state: old?.state ?? "open" };
    const wanted = { ...body, id, ...added };
    if (old) {
      const { seq, ...stored } = old;
      if (same(stored, wanted)) return json(old);
      if (base_seq !== seq) return problem(409, { current: old });
    }
    return json(this.write(noun, wanted).body);
  }
}

const same = (one: object, other: object) => {
  const sorted = (value: any): any => Array.isArray(value) ? value.map(sorted)
    : value && typeof value === "object" ? Object.fromEntries(Object.keys(value).sort().map((key) => [key, sorted(value[key])])) : value;
  return JSON.stringify(sorted(one)) === JSON.stringify(sorted(other));
};
