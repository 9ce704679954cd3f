/** What is opened beside a step or a stop, in one file of the build: each file more costs its line in the worker's list. */
export { BenchTurns } from "./bench/adjusters";
export { Arrived } from "./bench/arrived";
export { TorqueDock } from "./bench/torque_dock";
export { beginToFind, endToFind, moreWords } from "./find";
export { BikeQr } from "./bike/qr";
export { NoteSheet } from "./job/note";
export { NoiseNote } from "./road/noise_note";
export { RideSummary } from "./road/summary";
export { Scan } from "./scan";
export { ShiftSheet } from "./shifts/sheet";
