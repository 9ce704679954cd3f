import { useState } from "preact/hooks";
import { api, Problem } from "../../book";
import { date } from "../../look/number";
import { useLater } from "../later";
import { Qr } from "../qr_code";
import type { Counts } from "../going_out";

export interface RecordHead {
  id: string;
  number: string;
  handed_over_at: string;
  late_entries: number;
  amendment_offered: boolean;
  genuine: boolean;
  counts: Counts;
}

interface Link { url: string; expires_at: string; qr_svg: string }

/** The customer's link and its QR code: made on request, good until it runs out or is taken back. */
export function RecordLink({ id, customer }: { id: string; customer?: string | undefined }) {
  const [link, setLink] = useState<Link | null>(null);
  const [problem, setProblem] = useState<string | null>(null);
  const [copied, setCopied] = useState(false);
  const whose = useLater(() => import("../customer_name"));
  const make = async () => {
    setProblem(null);
    try {
      setLink(await api.post<Link>(`/records/${id}/links`, undefined));
    } catch (error) {
      setProblem(error instanceof Problem && error.status ? error.message : "A link needs a signal. Try again when there is one.");
    }
  };
  if (!link) {
    return (
      <>
        {problem && <p class="note stop mt" role="alert">{problem}</p>}
        <button type="button" class="big go full mt3" onClick={make}>Make the customer's link</button>
        <p class="s mt">It opens the record without an account. Each link is shown once.</p>
      </>
    );
  }
  return (
    <>
      <h2>For the customer</h2>
      {customer && whose && <whose.CustomerName id={customer} before="It goes to " />}
      <Qr svg={link.qr_svg} label="QR code of the customer's link" />
      <p class="mt"><a href={link.url} rel="noopener">{link.url}</a></p>
      <p class="s">Opens without an account, until {date(link.expires_at)}.</p>
      <div class="row mt">
        <button type="button" class="big w" onClick={() => void navigator.clipboard.writeText(link.url).then(() => setCopied(true))}>{copied ? "Copied" : "Copy the link"}</button>
        {"share" in navigator && <button type="button" class="big go w" onClick={() => void navigator.share({ url: link.url, title: "Set-up record" }).catch(() => undefined)}>Send it</button>}
      </div>
    </>
  );
}
