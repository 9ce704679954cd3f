/** Calls that need a signal: trend, handover, records, links. Nothing of theirs is kept on the phone. */
import { Problem } from "./problem";
import { session } from "./session";
import { call, type Request } from "./sync/service";
import { signalState } from "./sync/sync";

async function ask<T>(request: Request): Promise<T> {
  const answer = await call({ ...request, token: session.value?.token });
  if (answer.status === 401) signalState.value = "revoked";
  if (answer.problem) throw new Problem(answer.status, answer.problem);
  return answer.body as T;
}

/** Paths begin after /api/v1; each throws Problem. */
export const api = {
  get: <T>(path: string): Promise<T> => ask<T>({ method: "GET", path }),
  post: <T>(path: string, body: unknown): Promise<T> => ask<T>({ method: "POST", path, body }),
  put: <T>(path: string, body: unknown): Promise<T> => ask<T>({ method: "PUT", path, body }),
  delete: <T = void>(path: string): Promise<T> => ask<T>({ method: "DELETE", path }),
};
