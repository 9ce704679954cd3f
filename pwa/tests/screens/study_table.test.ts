import { describe, expect, it } from "vitest";
import { emptyTable, missing, pasted, placeOf, readingsOf, resized } from "../../src/screens/keeps/study_table";

const two = () => emptyTable(2, ["A", "B"], 2);

describe("the table of a gauge study", () => {
  it("counts parts in rows, each person's repeats in columns", () => {
    expect([0, 1, 2, 5].map((cell) => placeOf(two(), cell))).toEqual([
      { part: "1", person: "A", repeat: 1 }, { part: "1", person: "A", repeat: 2 }, { part: "1", person: "B", repeat: 1 }, { part: "2", person: "A", repeat: 2 },
    ]);
  });
  it("has readings only when every cell holds a number; a decimal comma is one", () => {
    const t = { ...two(), cells: ["5", "5,1", "5.2", "5", "7", "7.1", "−7", ""] };
    expect([readingsOf(t), missing(t)]).toEqual([null, 1]);
    expect(readingsOf({ ...t, cells: [...t.cells.slice(0, 7), "7.2"] })?.map((r) => r.value)).toEqual([5, 5.1, 5.2, 5, 7, 7.1, -7, 7.2]);
    expect(missing({ ...t, cells: [...t.cells.slice(0, 7), "1.2.3"] })).toBe(1);
  });
  it("keeps what was typed with its part, person and repeat when its size changes", () => {
    const t = { ...two(), cells: ["1", "2", "3", "4", "5", "6", "7", "8"] };
    const wider = resized(t, 2, 2, 3);
    expect(wider.cells).toEqual(["1", "2", "", "3", "4", "", "5", "6", "", "7", "8", ""]);
    expect(resized(wider, 2, 2, 2).cells).toEqual(t.cells);
    expect(resized(t, 3, 3, 2).people).toEqual(["A", "B", "person 3"]);
  });
});

describe("what is pasted", () => {
  it("fills a block from the cell in hand on, and leaves out what lies beyond", () => {
    expect(pasted(two(), 1, "1\t2\n3\t4")?.cells).toEqual(["", "1", "2", "", "", "3", "4", ""]);
    expect(pasted(two(), 3, "1 2\n3 4\n5 6")?.cells).toEqual(["", "", "", "1", "", "", "", "3"]);
  });
  it.each([["5,1\t5,2"], ["5.1;5.2"], ["5.1 5.2"], ["5.1, 5.2"], ["5,1; 5,2"]])("%s is two readings", (text) => {
    const cells = pasted(two(), 0, text)?.cells ?? [];
    expect(cells.slice(0, 3).map((c) => c.replace(",", "."))).toEqual(["5.1", "5.2", ""]);
  });
  it("takes lines of part, person and value, with or without a heading, in any order", () => {
    const t = pasted(two(), 0, "part;person;value\na;Xe;5.1\nb;Xe;7\na;Yo;5.2\nb;Yo;7.1\na;Xe;5\nb;Xe;7\na;Yo;5\nb;Yo;7");
    expect(t).toEqual({ parts: ["a", "b"], people: ["Xe", "Yo"], repeats: 2, cells: ["5.1", "5", "5.2", "5", "7", "7", "7.1", "7"] });
  });
  it("takes names of more than one word where tabs or semicolons stand between", () => {
    expect(pasted(two(), 0, "1\tM. Tarn\t5\n1\tA. Reed\t6")?.people).toEqual(["M. Tarn", "A. Reed"]);
  });
  it.each(["", "no table at all", "1 2\nthree 4"])("%s is none", (text) => expect(pasted(two(), 0, text)).toBeNull());
});
