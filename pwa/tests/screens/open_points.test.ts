/** What the phone asks for at a handover, and what it counts, against the answers it shares with the service. */
import { describe, expect, it, vi } from "vitest";
import { signal } from "@preact/signals";
import type { LoggedEntry } from "../../src/book";
import type { Bike, Entry, Job } from "../../src/nouns";
import { catalogue } from "../catalogue_source";
import { vectors } from "../vectors";

vi.mock("../../src/book", async () => ({ catalogue: signal((await import("../catalogue_source")).catalogue), entriesOf: () => signal([]), jobsOf: () => [] }));
const { workOf } = await import("../../src/screens/work");
const { wrenches } = await import("../../src/screens/wrenches");
const { goingOut } = await import("../../src/screens/going_out");
const { openPoints } = await import("../../src/screens/handover/open_points");

const bike: Bike = {
  id: "b", seq: 1, label: "Grey all-road 54", brakes: "disc", tyres: "tubeless",
  drivetrain: { rings: [46, 33], cogs: [10, 11, 12, 13, 14, 15, 17, 19, 21, 24, 28, 36], shifting: "electronic", rear_mount: "hanger", front_derailleur: true, suspension: false },
};

/** The job of a case, as the phone would hold it. */
function handover({ missing_parts, open_steps, gauges, entries, drivetrain }: any) {
  const job: Job = { id: "j", seq: 1, bike_id: "b", kind: "build", opened_at: "2026-03-05T09:00:00+01:00", state: "open", missing_parts };
  const marked = catalogue.steps.filter((s) => !open_steps.includes(s.id)).map((s) => ({ id: s.id, kind: "check", stage: "bench", data: { check: `step_${s.id}`, outcome: "passed" } }));
  const logged = [...marked, ...entries].map((e, n): LoggedEntry => {
    const taken_at = new Date(Date.UTC(2026, 2, 5, 9, 0, n)).toISOString();
    return { state: "confirmed", seq: n, entry: { ...e, job_id: "j", device_seq: n, taken_at } as Entry };
  });
  wrenches.value = gauges.map((g: object) => ({ coverage_factor: 2, ...g }));
  const work = workOf({ ...bike, drivetrain: { ...bike.drivetrain, ...drivetrain } }, job, logged)!;
  return { work, out: goingOut(work) };
}

describe("what is asked for at a handover", () => {
  it.each(vectors("open_points"))("$id", ({ inputs, expected }) => {
    const { work, out } = handover(inputs);
    const points = openPoints(work, out);
    expect(points.map((p) => p.key).sort()).toEqual(expected.what);
    expect(new Set(points.map((p) => p.key + p.what + p.why)).size).toBe(points.length);
    if (expected.counts) expect(out.counts).toEqual(expected.counts);
  });

  const settled = (id: string, key: string) => {
    const { inputs } = vectors("open_points").find((c) => c.id === id)!;
    const { work, out } = handover(inputs);
    const { settle } = openPoints(work, out).find((p) => p.key === key)!;
    const after = handover({ ...inputs, entries: [...inputs.entries, { id: "said", ...settle!.draft }] });
    return openPoints(after.work, after.out).map((p) => p.key);
  };
  it("a check that a ride did not wait for says whether it was passed since", () => {
    const { inputs } = vectors("open_points").find((c) => c.id === "a-ride-that-did-not-wait-for-its-checks")!;
    const { work, out } = handover({ ...inputs, entries: inputs.entries.filter((e: Entry) => e.id !== "6") });
    const why = new Map(openPoints(work, out).map((p) => [p.key, p.why]));
    expect(why.get("brake_hold")).toBe("not checked before the test ride, only later");
    expect(why.get("pedals_tight")).toBe("not checked before the test ride, nor since");
  });
  it("a noise that is gone is no longer asked for", () => expect(settled("noises", "noise_creak")).toEqual(["noise_hum"]));
  it("nor is a symptom that is better", () => expect(settled("symptoms", "symptom_skips")).toEqual(["symptom_rubs"]));
});
