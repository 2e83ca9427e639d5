// What the page reads of the service's answers (GET /v1/openapi.json has all of it).

export type Value = string | number;
export type Params = Record<string, unknown>;

export interface Schema {
  title?: string;
  description?: string;
  type?: string;
  enum?: string[];
  default?: unknown;
  minimum?: number;
  maximum?: number;
  minItems?: number;
  maxItems?: number;
  anyOf?: Schema[];
  items?: Schema;
  properties?: Record<string, Schema>;
  "x-unit"?: string;
  "x-step"?: number;
  /** What a choice is called on the page, where that is another word. */
  labels?: Record<string, string>;
}

export interface Style {
  name: string;
  title: string;
  summary: string;
  sentence?: string;
  /** Of a house style, what it is a narrower one of. */
  base?: string;
  /** Of a house style, what it brings besides its parameters. */
  definition?: { plastic?: Record<string, Value>; finish?: Record<string, string> };
  example: Request;
  params_schema: Schema;
}

export interface Request {
  style: string;
  label?: string;
  params: Params;
  plastic?: Record<string, Value>;
  finish?: Record<string, unknown>;
  require?: Record<string, unknown>;
  [member: string]: unknown;
}

export interface Joint {
  joint: number;
  strand: string;
  kind: string;
  station_mm: number;
  /** Only where the place along the bait is another: behind the foremost point, to the left, to the back. */
  centre_mm?: [number, number, number];
  pull_n: number;
  pull_low_n: number;
  pull_high_n: number;
  limit_n: number;
  verdict: Verdict;
}

export type Verdict = "pass" | "caution" | "fail";

export interface Remedy {
  text: string;
  patch: Record<string, unknown>;
}

export interface Check {
  check: string;
  verdict: Verdict;
  text: string;
  remedies: Remedy[];
  silenced: boolean;
}

export interface Stiffness {
  station_mm: number;
  up_down_n_mm2: number;
  side_n_mm2: number;
}

export interface Metrics {
  length_mm: number;
  max_width_mm: number;
  max_height_mm: number;
  mass_g: number;
  mass_low_g: number;
  mass_high_g: number;
  joints: Joint[];
  weakest_joint: Joint | null;
  flexibility_ratio: number | null;
  hold_station_mm: number | null;
  tip_give_mm_per_mn: { side: number; up_down: number } | null;
  droop_tip_deg: { air: number; fresh_water: number; salt_water: number } | null;
  flex_profile: Stiffness[] | null;
  judgement: string[];
  [name: string]: unknown;
}

export interface Bait {
  id: string;
  status: string;
  request: Request;
  metrics: Metrics;
  checks: Check[];
  /** Of an estimate alone: where the joints off the trunk lie along it. */
  limb_places: { joint: number; along_mm: number }[];
  files: { name: string; output: string | null; media_type: string; bytes: number; href: string }[];
  cautions: string[];
  problem?: { detail: string };
  links: { self: string };
}

export interface Fault {
  pointer: string;
  detail: string;
}

/** What the page is told besides: the questions, and the members that every style shares. */
export interface Words {
  questions: Record<string, string>;
  plastic: Schema;
  require: Schema;
  /** By style, what makes its joints hold more. */
  firmer: Record<string, string[]>;
}
