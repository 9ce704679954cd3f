/** The nouns of the contract as the phone's code names them. What the phone adds is said where it is added. */
import type { components } from "./contract";

type Schemas = components["schemas"];

export type Role = Schemas["Paired"]["role"];
export type Gear = Schemas["Gear"];
export type Drivetrain = Schemas["Drivetrain"];
export type Shifting = Drivetrain["shifting"];
export type Tip = Schemas["Tip"];
export type ShiftOutcome = Schemas["ShiftCheckData"]["outcome"];

/** What a person writes down about a bike; the service adds `seq` and `family`. */
export type BikeDraft = Omit<Schemas["BikePut"], "base_seq"> & { id: string };
/** `seq` is null until the service has confirmed it. */
export type Bike = BikeDraft & { seq: number | null; family?: string; updated_at?: string };

export type JobDraft = Omit<Schemas["JobPut"], "base_seq"> & { id: string };
export type JobKind = JobDraft["kind"];
/** An event of the catalogue. */
export type SinceLast = NonNullable<JobDraft["since_last"]>[number];
export type JobState = Schemas["Job"]["state"];
export type Job = JobDraft & { seq: number | null; state: JobState; updated_at?: string };

export type Entry = Schemas["Entry"];
export type EntryKind = Entry["kind"];
export type Stage = Entry["stage"];
export type EntryOf<K extends EntryKind> = Extract<Entry, { kind: K }>;
/** `data` of an entry, by its kind. */
export type EntryData = { [K in EntryKind]: EntryOf<K>["data"] };

/** What a screen hands to `log`; the rest is filled in by the book. Without `taken_at`: now. */
export type EntryDraft = {
  [K in EntryKind]: Omit<EntryOf<K>, "id" | "job_id" | "device_seq" | "taken_at"> & { taken_at?: string };
}[EntryKind];

/** RFC 9457; the phone makes some of its own, which have no type. */
export type ProblemBody = Partial<Schemas["Problem"]> & { title: string };
