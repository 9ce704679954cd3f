/** The catalogue as the service gives it: every label, band, unit, step and cause the phone shows comes from here. */
export interface When {
  [fact: string]: string | number | boolean | (string | number | boolean)[] | { min?: number; max?: number };
}
export interface Band {
  when?: When;
  lower?: number;
  upper?: number;
  target?: number;
  tag: string;
  source?: string;
}
export interface Unit { id: string; label: string; dimension: string; factor: string }
export interface Quantity {
  id: string; label: string; customer_label: string; unit: string; u: number; u_tag: string; tool: string; how: string;
  group: string; setting?: boolean; signed?: boolean; gear?: "none" | "cog" | "gear"; gear_default?: string; zero?: boolean;
  digits: number; step: number; plausible: [number, number]; minor: number; major: number; span?: number;
  go_no_go?: number[]; applies?: When; stages?: string[]; bands?: Band[]; input?: "number" | "hanger";
}
export interface Pair { id: string; label: string; left: string; right: string; unit: string; lower?: number; upper?: number; tag: string }
export interface Adjuster {
  id: string; label: string; unit: string; units: string[]; positive: string; negative: string; road: boolean; step: number;
  adds_to?: { quantity: string; factor: number }[]; makes_stale?: string[]; applies?: When;
}
export interface Fastener {
  id: string; label: string; customer_label: string; lower: number; upper: number; note?: string; left_hand?: boolean;
  tag: string; applies?: When;
}
export interface Check { id: string; label: string; words: string; stop_ride?: boolean; tag: string; applies?: When }
export interface Step {
  id: string; label: string; words: string; hard?: string[]; soft?: string[]; parts?: string[]; quantities?: string[];
  fasteners?: string[]; checks?: string[]; cautions?: string[]; stage: string; applies?: When; kinds?: string[]; tag: string;
}
export interface Named { id: string; label: string }
export interface Symptom extends Named { code: string; outcomes?: string[]; tag: string }
export interface Cause extends Named {
  likely?: string[]; sometimes?: string[]; rarely?: string[]; changes?: { quantity: string; direction: string }[];
  noise_period?: string; events?: string[]; prior: number; tag: string; applies?: When;
}
export interface Caution { id: string; text: string; where: string | string[] }

export interface Catalogue {
  version: string;
  units: Unit[]; quantities: Quantity[]; pairs: Pair[]; adjusters: Adjuster[]; fasteners: Fastener[]; checks: Check[];
  parts: Named[]; steps: Step[]; symptoms: Symptom[]; outcomes: Named[]; sounds: Named[]; whens: Named[]; events: Named[];
  causes: Cause[]; cautions: Caution[];
}
