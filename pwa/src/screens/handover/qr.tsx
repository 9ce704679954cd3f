import { correction, generate } from "lean-qr";

/** A link as a QR code: dark on white in every theme, with its quiet zone, so that any camera reads it. */
export function Qr({ text, label }: { text: string; label: string }) {
  const code = generate(text, { minCorrectionLevel: correction.M });
  let d = "";
  for (let y = 0; y < code.size; y++) for (let x = 0; x < code.size; x++) if (code.get(x, y)) d += `M${x} ${y}h1v1h-1z`;
  const n = code.size;
  return (
    <svg class="qr" viewBox={`-4 -4 ${n + 8} ${n + 8}`} role="img" aria-label={label} shape-rendering="crispEdges">
      <rect x="-4" y="-4" width={n + 8} height={n + 8} fill="#fff" /><path d={d} fill="#000" />
    </svg>
  );
}
