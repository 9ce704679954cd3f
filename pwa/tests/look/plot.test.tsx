import { render } from "preact-render-to-string";
import { describe, expect, it } from "vitest";
import { scaleOf } from "../../src/look/geometry";
import { frame, Ground } from "../../src/look/plot";

const gap = scaleOf({ lower: 4.5, upper: 6, plausible: [0, 60], minor: 0.1, major: 0.5 });
const axis = (x0: number, x1: number) => [...render(<svg><Ground f={frame(gap, x0, x1)} /></svg>).matchAll(/<text[^>]*>([^<]*)</g)].map((m) => m[1]);

// Ceil of a hair below zero is a zero with a minus sign: it must not be shown.
describe("the axis of a chart", () => {
  it.each([[0, 10, "0"], [-0, 10, "0"], [-1e-7, 10, "0"], [-0.4, 10, "0"], [640, 4200, "1,000"]])("from %s to %s begins with %s", (x0, x1, first) => {
    expect(axis(x0, x1)[0]).toBe(first);
  });
  it("counts on in even steps, without dust of rounding", () => {
    expect(axis(0, 0.6)).toEqual(["0", "0.2", "0.4", "0.6"]);
    expect(axis(-20, 20)).toEqual(["−20", "−10", "0", "10", "20"]);
  });
});
