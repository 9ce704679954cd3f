import { afterEach, describe, expect, test, vi } from "vitest";
import { walk } from "./walk";

const STEPS = 250;

afterEach(() => void vi.doUnmock("../../src/store/outbox"));

describe("a random walk over the faults", () => {
  test.each([1, 2, 3])("loses and doubles nothing, seed %i", async (seed) => {
    expect(await walk(seed, STEPS)).toEqual([]);
  }, 60_000);

  test("without offering again after a restore, finds the loss", async () => {
    vi.doMock("../../src/store/outbox", async (original) => ({ ...(await original<object>()), offerAgain: async () => undefined }));
    expect((await walk(1, STEPS)).join()).toContain("lost");
  }, 60_000);
});
