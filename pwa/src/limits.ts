/** What the contract allows in the fields that a person fills in; `npm run contract` writes it anew. */
export const LIMITS = {
  BikePut: {
    frame_number: { longest: 80 },
    label: { longest: 120 },
    serials: { items: 50, each: { longest: 120 } },
  },
  Drivetrain: {
    actuation_ratio: { least: 0.1, most: 10 },
    cassette_line_mm: { least: 10, most: 150 },
    chainline_mm: { least: 10, most: 150 },
    chainstay_mm: { least: 200, most: 1000 },
    cog_pitch_mm: { least: 1, most: 20 },
    cogs: { items: 16, each: { least: 1, most: 120, whole: true } },
    rear_capacity: { least: 0, most: 200, whole: true },
    rear_max_cog: { least: 1, most: 120, whole: true },
    ring_spacing_mm: { least: 1, most: 50 },
    rings: { items: 3, each: { least: 1, most: 120, whole: true } },
    trim_step_mm: { least: 0.001, most: 5 },
  },
  Wheel: {
    bead_seat_mm: { least: 100, most: 1000 },
    circumference_mm: { least: 300, most: 4000 },
  },
  Complaint: {
    words: { longest: 2000 },
  },
  ReadingEntry: {
    note: { longest: 2000 },
    odometer_km: { least: 0, most: 1000000 },
  },
  TorqueData: {
    adapter_mm: { least: -1000, most: 1000 },
    angle_deg: { least: -180, most: 180 },
    applied: { least: 0, most: 100000 },
    target: { above: 0, most: 100000 },
    unit: { longest: 16 },
    wrench_mm: { least: 10, most: 3000 },
  },
  Tip: {
    clock: { least: 0, most: 12 },
    gap_mm: { least: -200, most: 500 },
  },
  NoiseData: {
    cadence_rpm: { least: 1, most: 300 },
    count_in_ten_turns: { least: 0, most: 1000 },
    crank_taps_ms: { items: 500, each: { least: 0, most: 10000000 } },
    level: { least: 0, most: 10 },
    speed_kmh: { least: 0, most: 150 },
    taps_ms: { items: 500, each: { least: 0, most: 10000000 } },
  },
  RemarkData: {
    text: { longest: 4000 },
  },
  DeclinedData: {
    work: { longest: 500 },
  },
  Gauge: {
    coverage_factor: { least: 1, most: 10 },
    expanded_uncertainty: { least: 0, most: 1000000000 },
    highest: { least: -1000000000, most: 1000000000 },
    lowest: { least: -1000000000, most: 1000000000 },
    name: { longest: 80 },
    resolution: { above: 0, most: 1000000000 },
    tolerance_percent: { least: 0, most: 50 },
    unit: { longest: 16 },
  },
  Customer: {
    contact: { longest: 300 },
    name: { longest: 120 },
    note: { longest: 1000 },
  },
  Person: {
    name: { longest: 80 },
  },
  BandPut: {
    family: { longest: 100 },
    lower: { least: -1000000000, most: 1000000000 },
    note: { longest: 200 },
    target: { least: -1000000000, most: 1000000000 },
    upper: { least: -1000000000, most: 1000000000 },
  },
  Cause: {
    label: { longest: 80 },
    prior: { least: 0, most: 1 },
    tag: { longest: 80 },
  },
  PlanStep: {
    label: { longest: 80 },
    tag: { longest: 80 },
    words: { longest: 500 },
  },
  StudyReading: {
    part: { longest: 80 },
    person: { longest: 80 },
    value: { least: -1000000000, most: 1000000000 },
  },
} as const;
