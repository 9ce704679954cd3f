import type { ComponentType } from "preact";
import { useEffect, useState } from "preact/hooks";
import { api, Problem } from "../../book";
import { date } from "../../look/number";
import type { Job } from "../../nouns";

export interface RecordHead { id: string }
interface Link { id?: string; url: string; expires_at: string }

/** The record of a job that was handed over: its id is kept on this phone, so that its link can be made again. */
export function useRecord(job: Job): { value: RecordHead | null; set: (r: RecordHead) => void } {
  const key = `roadproof.record.${job.id}`;
  const [value, setValue] = useState<RecordHead | null>(() => read(key));
  const set = (record: RecordHead) => {
    try {
      localStorage.setItem(key, JSON.stringify({ id: record.id }));
    } catch {
      // The service still has it.
    }
    setValue({ id: record.id });
  };
  return { value, set };
}

function read(key: string): RecordHead | null {
  try {
    return JSON.parse(localStorage.getItem(key) ?? "null") as RecordHead | null;
  } catch {
    return null;
  }
}

/** The customer's link and its QR code: made on request, good until it runs out or is taken back. */
export function RecordLink({ record }: { record: RecordHead }) {
  const [link, setLink] = useState<Link | null>(null);
  const [problem, setProblem] = useState<string | null>(null);
  const [copied, setCopied] = useState(false);
  const [Qr, setQr] = useState<ComponentType<{ text: string; label: string }> | null>(null);
  const make = async () => {
    setProblem(null);
    try {
      setLink(await api.post<Link>(`/records/${record.id}/links`, {}));
    } catch (error) {
      setProblem(error instanceof Problem && error.status ? error.message : "A link needs a signal. Try again when there is one.");
    }
  };
  useEffect(() => {
    void make();
    // A link needs a signal, so that this code may need one too.
    import("./qr").then((m) => setQr(() => m.Qr), () => undefined);
  }, []);
  if (!link) {
    return problem
      ? <><p class="note stop mt" role="alert">{problem}</p><button type="button" class="big full mt" onClick={make}>Make the link</button></>
      : <p class="s mt" role="status">Making the customer's link…</p>;
  }
  const url = new URL(link.url, location.origin).href;
  return (
    <>
      <h2>For the customer</h2>
      {Qr && <Qr text={url} label="QR code of the customer's link" />}
      <p class="mt"><a href={url} rel="noopener">{url}</a></p>
      <p class="s">Opens without an account, until {date(link.expires_at)}.</p>
      <div class="row mt">
        <button type="button" class="big w" onClick={() => void navigator.clipboard.writeText(url).then(() => setCopied(true))}>{copied ? "Copied" : "Copy the link"}</button>
        {"share" in navigator && <button type="button" class="big go w" onClick={() => void navigator.share({ url, title: "Set-up record" }).catch(() => undefined)}>Send it</button>}
      </div>
    </>
  );
}
