/** One request to the service, and whether what came back is the service's own answer at all. */
import type { ProblemBody } from "../nouns";

export const API = "/api/v1";
const TIMEOUT_MS = 45_000;

/** `status` 0: no answer, or one that is not the service's (a captive portal's page, a proxy's error). */
export interface Answer {
  status: number;
  body: unknown;
  problem: ProblemBody | null;
  headers: Headers;
}

export interface Request {
  method: "GET" | "PUT" | "POST" | "DELETE";
  path: string;
  body?: unknown;
  token?: string | undefined;
  headers?: Record<string, string>;
}

export const NOTHING: ProblemBody = { title: "No signal", status: 0, detail: "The service did not answer." };
export const NOT_OURS: ProblemBody = { title: "Not the service", status: 0, detail: "Something else than the service answered." };

export function call({ method, path, body, token, headers = {} }: Request): Promise<Answer> {
  return exchange(path, {
    method,
    headers: {
      Accept: "application/json",
      ...(body !== undefined && { "Content-Type": "application/json" }),
      ...(token && { Authorization: `Bearer ${token}` }),
      ...headers,
    },
    ...(body !== undefined && { body: JSON.stringify(body) }),
  });
}

/** The same with a body of any type, and a signal that ends it. */
export async function exchange(path: string, init: RequestInit): Promise<Answer> {
  let response: Response;
  let text: string;
  try {
    response = await fetch(API + path, {
      cache: "no-store",
      credentials: "omit",
      // The service never redirects; a portal does, and its page is not followed.
      redirect: "manual",
      signal: AbortSignal.timeout(TIMEOUT_MS),
      ...init,
    });
    text = await response.text();
  } catch {
    return { status: 0, body: null, problem: NOTHING, headers: new Headers() };
  }
  return judge(response, text);
}

function judge(response: Response, text: string): Answer {
  const type = (response.headers.get("Content-Type") ?? "").split(";")[0]!.trim();
  const { status, headers } = response;
  if (status === 304 || status === 204) return { status, body: null, problem: null, headers };
  if (response.ok && type === "application/json") {
    const body = parse(text);
    if (body !== undefined) return { status, body, problem: null, headers };
  }
  if (!response.ok && type === "application/problem+json") {
    const body = parse(text);
    if (isProblem(body)) return { status, body, problem: body, headers };
  }
  // A proxy in front of the service may say "later" or "too large" in its own words: that much is heeded.
  const later = status === 429 || status === 502 || status === 503 || status === 504;
  return { status: later ? 503 : status === 413 ? 413 : 0, body: null, problem: NOT_OURS, headers };
}

function parse(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return undefined;
  }
}

const isProblem = (body: unknown): body is ProblemBody =>
  typeof body === "object" && body !== null && typeof (body as ProblemBody).title === "string";

/** Why a round of sending or pulling could not go on. Everything held stays held. */
export class Halt extends Error {
  constructor(readonly answer: Answer) {
    super(answer.problem?.detail ?? answer.problem?.title ?? `status ${answer.status}`);
    this.name = "Halt";
  }
}

export const notOurs = (): Halt => new Halt({ status: 0, body: null, problem: NOT_OURS, headers: new Headers() });
