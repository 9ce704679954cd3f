import { useEffect, useState } from "preact/hooks";
import { api, Problem } from "../../book";
import type { components } from "../../contract";
import type { Bike } from "../../nouns";
import { Qr } from "../qr_code";
import "./ticket.css";

/** The bike's address in the app as a QR code, for its frame or its work ticket; drawn by the service. */
export function BikeQr({ bike }: { bike: Bike }) {
  const [code, setCode] = useState<components["schemas"]["BikeQr"] | null>(null);
  const [problem, setProblem] = useState<string | null>(null);
  useEffect(() => {
    api.get<components["schemas"]["BikeQr"]>(`/bikes/${bike.id}/qr`).then(setCode, (error: unknown) =>
      setProblem(error instanceof Problem && error.status === 404 ? "The service has not got this bike yet. Get a signal once, then open its code again."
        : "The code is drawn by the service: get a signal, then open it again."));
  }, [bike.id]);
  if (!code) return <p class="note mt" role="status">{problem ?? "Asking for the code…"}</p>;
  return (
    <section class="ticket mt" aria-label="QR code of the bike">
      <p><b>{bike.label}</b>{bike.frame_number ? `, frame ${bike.frame_number}` : ""}</p>
      <Qr svg={code.qr_svg} label={`QR code of ${bike.label}`} />
      <p class="s mt noprint">For the frame or the work ticket. Scanned under Bikes, or by the phone's camera, it opens this page on a paired phone; nobody else sees anything.</p>
      <button type="button" class="big full mt noprint" onClick={() => print()}>Print it</button>
    </section>
  );
}
