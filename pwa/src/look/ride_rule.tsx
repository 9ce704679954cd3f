import { percent } from "./geometry";
import { At, Strip } from "./rule";

export interface Stop { minutes: number; label: string }

/** The ride as a rule of minutes with its stops. It grows by whole tens, so that a stop keeps its place for long. */
export function RideRule({ now, stops }: { now: number; stops: Stop[] }) {
  const top = Math.max(10, Math.ceil(now / 10) * 10);
  const unit = top > 60 ? 5 : 1;
  const long = top > 60 ? 30 : top > 20 ? 10 : 5;
  const lines = Array.from({ length: top / unit + 1 }, (_, i) => `M${((i * unit * 1000) / top).toFixed(1)} 36v${(i * unit) % long ? 4 : 8}`).join("");
  const near = stops.slice(-5);
  return (
    <svg class="plot" height="62" role="img" aria-label={`The ride so far: ${Math.round(now)} minutes, ${stops.length} written down`}>
      {Array.from({ length: top / long + 1 }, (_, i) => (
        <text class="num" x={percent((i * long * 100) / top)} y="58" text-anchor={i === 0 ? "start" : i * long === top ? "end" : "middle"}>
          {i * long}{i * long === top ? " min" : ""}
        </text>
      ))}
      <line class="edge" x1="0" x2="100%" y1="36" y2="36" />
      <Strip d={lines} cls="grad" h={62} />
      {stops.map((s) => <At p={(s.minutes * 100) / top} y={36}><path class="done" d="M0 0V-14" /></At>)}
      {near.map((s, i) => {
        const p = (s.minutes * 100) / top;
        const next = near[i + 1];
        const room = next ? ((next.minutes - s.minutes) * 100) / top > 16 : (now - s.minutes) * 100 / top > 16;
        return room && <At p={p} y={36}><text class="num" x="0" y="-19" text-anchor={p < 8 ? "start" : "middle"}>{s.label}</text></At>;
      })}
      <At p={Math.min(100, (now * 100) / top)} y={36}>
        <path class="cur" d="M0 4V-20" /><text class="num nb" x="0" y="-24" text-anchor={now / top > 0.9 ? "end" : now / top < 0.06 ? "start" : "middle"}>here</text>
      </At>
    </svg>
  );
}
