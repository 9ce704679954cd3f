/** The record of a job that was handed over: asked for when its page opens. */
import { useEffect, useState } from "preact/hooks";
import { api, Problem } from "../../book";
import type { Job } from "../../nouns";
import type { RecordHead } from "./record_link";

export interface FoundRecord { record: RecordHead | null; problem: string | null; asking: boolean; set: (r: RecordHead | null) => void }

export function useRecord(job: Job): FoundRecord {
  const [record, set] = useState<RecordHead | null>(null);
  const [problem, setProblem] = useState<string | null>(null);
  const out = job.state !== "open";
  const [asking, setAsking] = useState(out);
  useEffect(() => {
    if (!out || record) return;
    api.get<{ records: RecordHead[] }>(`/jobs/${job.id}/records`).then(({ records }) => set(records.at(-1) ?? null), (error: unknown) =>
      setProblem(error instanceof Problem && error.status ? error.message : "The record is with the service: get a signal, then open this page again."),
    ).finally(() => setAsking(false));
  }, [out]);
  return { record, problem, asking, set };
}
