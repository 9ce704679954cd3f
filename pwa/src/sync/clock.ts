/** The phone's clock against the service's. */

/** RFC 3339 in the phone's own zone, to the millisecond. */
export function localTime(at: Date): string {
  const minutes = -at.getTimezoneOffset();
  const shifted = new Date(at.getTime() + minutes * 60_000).toISOString().slice(0, -1);
  const two = (n: number) => String(Math.floor(n)).padStart(2, "0");
  const size = Math.abs(minutes);
  return `${shifted}${minutes < 0 ? "-" : "+"}${two(size / 60)}:${two(size % 60)}`;
}

export interface ClockReading {
  /** What to add to the phone's clock to get the service's, in ms; it is wrong by half the round trip at most. */
  offset_ms: number;
  round_trip_ms: number;
  at: number;
}

/** Cristian's estimate (1989): the service read its clock half-way through the exchange. */
export function readClock(sentAt: number, receivedAt: number, serverTime: string | undefined): ClockReading | null {
  const server = Date.parse(serverTime ?? "");
  if (Number.isNaN(server) || receivedAt < sentAt) return null;
  return { offset_ms: server - (sentAt + receivedAt) / 2, round_trip_ms: receivedAt - sentAt, at: receivedAt };
}
