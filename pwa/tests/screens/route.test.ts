import { describe, expect, it } from "vitest";
import { jobLink, parse } from "../../src/screens/route";

describe("addresses", () => {
  it.each([
    ["", "bikes", "", []], ["#/", "bikes", "", []], ["#/pair/ABC-123", "pair", "", ["ABC-123"]], ["#/bikes/new", "new_bike", "", []],
    ["#/bikes/7", "bike", "7", []], ["#/bikes/7/edit", "edit_bike", "7", []], ["#/bikes/7/job", "new_job", "7", []], ["#/settings", "settings", "", []], ["#/settings/aside", "settings", "", ["aside"]], ["#/settings/else", "unknown", "", []],
    ["#/look", "look", "", []], ["#/work-out", "work_out", "", []], ["#/work-out/chain", "work_out", "", ["chain"]], ["#/nowhere", "unknown", "", []],
  ])("%s is %s", (hash, name, id, rest) => expect(parse(hash)).toMatchObject({ name, id, rest }));
  it("a job's page with its step and item", () => {
    const link = jobLink("7", "bench", "rear_gap", "guide_pulley_gap", "33x36");
    expect(parse(link)).toEqual({ name: "job", id: "7", page: "bench", rest: ["rear_gap", "guide_pulley_gap", "33x36"] });
  });
  it("what is worked out for a job's step", () =>
    expect(parse(jobLink("7", "work-out", "torque", "brakes", "caliper_mount"))).toEqual({ name: "job", id: "7", page: "work-out", rest: ["torque", "brakes", "caliper_mount"] }));
  it("an unknown page of a job is Bench", () => expect(parse("#/jobs/7/else").page).toBe("bench"));
  it("a broken escape is no crash", () => expect(parse("#/pair/%E0%A4%A").rest).toEqual(["%E0%A4%A"]));
});
