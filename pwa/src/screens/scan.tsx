import { useEffect, useRef, useState } from "preact/hooks";
import { bikeById } from "../book";
import { Page } from "./page";
import { go } from "./route";

interface Detector { detect(source: HTMLVideoElement): Promise<{ rawValue: string }[]> }
declare global {
  interface Window { BarcodeDetector?: new (options: { formats: string[] }) => Detector }
}

const LOOK_EVERY_MS = 250;
const A_BIKE = /#\/bikes\/([0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12})(?:[/?]|$)/i;

/** The bike that a code names; null: it is no bike's code of this app. */
export const bikeOf = (text: string): string | null => A_BIKE.exec(text)?.[1]?.toLowerCase() ?? null;

/** The camera looks for a bike's QR code and opens the bike. */
export function Scan({ onClose }: { onClose: () => void }) {
  const video = useRef<HTMLVideoElement>(null);
  const [said, setSaid] = useState<string | null>(null);
  const [stopped, setStopped] = useState<string | null>(null);

  useEffect(() => {
    let over = false;
    let timer: ReturnType<typeof setTimeout> | undefined;
    let stream: MediaStream | null = null;
    const look = async (detector: Detector) => {
      if (over) return;
      if (document.visibilityState === "visible" && video.current!.readyState >= 2) {
        const codes = await detector.detect(video.current!).catch(() => []);
        if (over) return;
        const ids = codes.map((code) => bikeOf(code.rawValue));
        const known = ids.find((id) => id && bikeById(id));
        if (known) return go(`#/bikes/${known}`);
        if (ids.length) setSaid(ids.some(Boolean) ? "This bike is not on this phone yet. Get a signal once, then scan it again." : "This is not the code of a bike in this book.");
      }
      timer = setTimeout(() => void look(detector), LOOK_EVERY_MS);
    };
    const start = async () => {
      stream = await navigator.mediaDevices.getUserMedia({ video: { facingMode: "environment" } });
      if (over) return stream.getTracks().forEach((track) => track.stop());
      video.current!.srcObject = stream;
      await video.current!.play();
      await look(new window.BarcodeDetector!({ formats: ["qr_code"] }));
    };
    start().catch((error: unknown) => {
      if (!over) setStopped(error instanceof DOMException && error.name === "NotAllowedError"
        ? "The browser does not let the app use the camera. Allow it in the browser's settings of this page, or find the bike by a word."
        : "The camera cannot be used. Find the bike by a word instead.");
    });
    return () => {
      over = true;
      clearTimeout(timer);
      stream?.getTracks().forEach((track) => track.stop());
    };
  }, []);

  return (
    <Page title="Scan a bike's code" foot={<button type="button" class="big full" onClick={onClose}>Find it by a word</button>}>
      <p class="s mb">Hold the code on the frame or the ticket before the camera.</p>
      <video ref={video} class="full" muted playsInline aria-label="What the camera sees" />
      <p class="mt" role="status">{stopped ?? said ?? ""}</p>
    </Page>
  );
}
