/** The nouns of the contract as the phone's code names them. */

export type Role = "owner" | "mechanic";
export type Stage = "found" | "bench" | "road";
export type Shifting = "electronic" | "cable";
export type JobKind = "build" | "service" | "comeback";
export type JobState = "open" | "handed_over" | "closed";
export type SinceLast = "fall" | "transport" | "wash" | "other_workshop" | "nothing_known";
export type ShiftOutcome =
  | "clean" | "hesitates" | "over_shifts" | "drops_inward" | "drops_outward" | "rubs" | "skips" | "no_shift";

export interface Gear {
  ring: number;
  cog: number;
}

export interface Drivetrain {
  rings: number[];
  cogs: number[];
  shifting: Shifting;
  rear_mount: "hanger" | "axle";
  front_derailleur: boolean;
  suspension: boolean;
  chainstay_mm?: number;
  rear_capacity?: number;
  rear_max_cog?: number;
  trim_step_mm?: number;
  actuation_ratio?: number;
  cog_pitch_mm?: number;
  chainline_mm?: number;
  ring_spacing_mm?: number;
  cassette_line_mm?: number;
}

/** What a person writes down about a bike; the service adds `seq` and `family`. */
export interface BikeDraft {
  id: string;
  label: string;
  frame_number?: string;
  serials?: string[];
  customer_id?: string;
  drivetrain: Drivetrain;
  wheel?: { bead_seat_mm?: number; circumference_mm?: number };
  brakes: "disc" | "rim";
  tyres: "tube" | "tubeless" | "hookless";
}

export interface Bike extends BikeDraft {
  /** null until the service has confirmed it. */
  seq: number | null;
  family?: string;
}

export interface JobDraft {
  id: string;
  bike_id: string;
  kind: JobKind;
  opened_at: string;
  comeback_of?: string;
  missing_parts?: string[];
  complaint?: { symptoms: string[]; words: string };
  since_last?: SinceLast[];
}

export interface Job extends JobDraft {
  seq: number | null;
  state: JobState;
}

export interface Tip {
  clock: number;
  gap_mm: number;
}

/** `data` of an entry, by its kind. */
export interface EntryData {
  reading:
    | { quantity: string; value: number; unit: string }
    | { quantity: string; low: number; high: number; unit: string }
    | { quantity: "hanger_deviation"; tips: Tip[]; radius_mm?: number };
  adjustment: {
    adjuster: string;
    amount: number;
    unit: string;
    because?: string;
    effect?: "better" | "same" | "worse";
  };
  shift_check: { from: Gear; to: Gear; outcome: ShiftOutcome };
  noise: {
    sound: string;
    when: string[];
    cadence_rpm?: number;
    speed_kmh?: number;
    count_in_ten_turns?: number;
    taps_ms?: number[];
    crank_taps_ms?: number[];
    level?: number;
  };
  torque: { fastener: string; applied: number; unit: string; wrench_mm?: number; adapter_mm?: number; angle_deg?: number };
  check: { check: string; outcome: "passed" | "failed" | "not_done" };
  declined: { work: string };
  remark: { text: string };
  void: Record<string, never>;
}
export type EntryKind = keyof EntryData;

interface EntryHead {
  id: string;
  job_id: string;
  device_seq: number;
  stage: Stage;
  /** RFC 3339 with offset. */
  taken_at: string;
  by?: string;
  replaces?: string;
  gear?: Gear;
  gauge_id?: string;
  odometer_km?: number;
  note?: string;
  photos?: string[];
}

/** Distributes over the kinds, so that `entry.data` narrows by `entry.kind`. */
export type EntryOf<K extends EntryKind> = { [P in K]: EntryHead & { kind: P; data: EntryData[P] } }[K];
export type Entry = EntryOf<EntryKind>;

/** What a screen hands to `log`; the rest is filled in by the book. */
export type EntryDraft = {
  [P in EntryKind]: Omit<EntryHead, "id" | "job_id" | "device_seq" | "taken_at"> & {
    kind: P;
    data: EntryData[P];
    /** Left out: now. */
    taken_at?: string;
  };
}[EntryKind];

/** RFC 9457. */
export interface ProblemBody {
  type?: string;
  title: string;
  status?: number;
  detail?: string;
  /** The field at fault, as the service names it. */
  errors?: unknown;
  [more: string]: unknown;
}
