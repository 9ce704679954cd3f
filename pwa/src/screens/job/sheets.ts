/** Pages of a job that are opened from Bench and from Road alike; their code comes when they are opened. */
import { late } from "../late";
import type { ShiftProps } from "../shifts/sheet";
import type { NoteProps } from "./note";

export const ShiftSheet = late<ShiftProps>("Shift checks", () => import("../beside").then((m) => m.ShiftSheet));
export const NoteSheet = late<NoteProps>("Remark or check", () => import("../beside").then((m) => m.NoteSheet));
