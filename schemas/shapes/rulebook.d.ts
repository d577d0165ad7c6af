// Made from the schemas by deploy/javascript/shapes.mjs; not edited by hand.

export type Pair =
  "h-n" | "h-g" | "n-g" | "h-e" | "n-e" | "g-e" | "x-y" | "x-n" | "y-n" | "x-g" | "y-g" | "x-e" | "y-e";
export type FamilyName = "three-wire" | "split-phase";

export interface Rulebook {
  id: string;
  format: 2;
  families: {
    "three-wire": Family;
    "split-phase": Family;
  };
  inputs: {
    [k: string]: Input;
  };
  limits: {
    [k: string]: Limit;
  };
  misread: {
    lit: number[];
    dim: number[];
    dark: number[];
  };
  outlets: {
    "5-15": Outlet;
    "5-20": Outlet;
    "TT-30": Outlet;
    "14-50": Outlet;
  };
  signs: [string, "stop" | "limit"][];
  words: Words;
}
/**
 * what is known of outlets with the same contacts
 */
export interface Family {
  contacts: string[];
  pairs: Pair[];
  acrosses: Pair[];
  testers: {
    [k: string]: Pair[];
  };
  mirror: {
    "h-n"?: Pair;
    "h-g"?: Pair;
    "n-g"?: Pair;
    "h-e"?: Pair;
    "n-e"?: Pair;
    "g-e"?: Pair;
    "x-y"?: Pair;
    "x-n"?: Pair;
    "y-n"?: Pair;
    "x-g"?: Pair;
    "y-g"?: Pair;
    "x-e"?: Pair;
    "y-e"?: Pair;
  };
  meters: {
    "high-impedance": MeterSet[];
    "low-impedance": MeterSet[];
  };
  lamps: {
    [k: string]: LampSet[];
  };
  loads: {
    "h-n"?: LoadSet[];
    "h-g"?: LoadSet[];
    "n-g"?: LoadSet[];
    "h-e"?: LoadSet[];
    "n-e"?: LoadSet[];
    "g-e"?: LoadSet[];
    "x-y"?: LoadSet[];
    "x-n"?: LoadSet[];
    "y-n"?: LoadSet[];
    "x-g"?: LoadSet[];
    "y-g"?: LoadSet[];
    "x-e"?: LoadSet[];
    "y-e"?: LoadSet[];
  };
  wirings: Wiring[];
  tests: Test[];
}
/**
 * sample points under one kind of meter; a column that never changes is kept as its one value
 */
export interface MeterSet {
  classes: string;
  spreads: number[];
  columns: number[][];
  count: number;
}
/**
 * what lamps show, and how often [millionths]
 */
export interface LampSet {
  classes: string;
  patterns: [string, number][];
}
/**
 * how readings move under a load
 */
export interface LoadSet {
  classes: string;
  steady: (0 | 1)[];
  ratio_spreads: number[];
  /**
   * @minItems 2
   * @maxItems 2
   */
  ohms: [number, number];
  ratios: number[][];
  shares: number[][];
  count: number;
}
/**
 * an explanation
 */
export interface Wiring {
  id: string;
  is_named: boolean;
  is_dangerous: boolean;
  is_decided_by_ohms: boolean;
  prior: BySupply;
  usable: {
    utility?: "always" | "at-pedestal";
    generator?: "always" | "at-pedestal";
    inverter?: "always" | "at-pedestal";
  };
  when_unplugged: string;
  variants: Variant[];
  sets: {
    [k: string]: number;
  }[];
  continuity: {
    pedestal: Continuity;
    rig: Continuity;
  }[];
  source: string;
}
export interface BySupply {
  utility: number;
  generator: number;
  inverter: number;
}
/**
 * what is joined to what, as far as it is not as usual
 */
export interface Variant {
  joins: string;
  bonded?: boolean;
  energised?: boolean;
  floating?: boolean;
  leak?: boolean;
  load?: boolean;
  loose?: "H" | "N";
  lost_neutral?: "service" | "source";
}
export interface Continuity {
  "n-g": "open" | "closed";
  "g-frame": "open" | "closed";
}
/**
 * a further test
 */
export interface Test {
  id: string;
  effort: number;
  is_harmless: boolean;
  dangerous_under: string[];
  supplies: ("utility" | "generator" | "inverter")[];
  places: ("pedestal" | "rig")[];
  done_by: string;
  separates: [number, number, number][];
  source: string;
}
/**
 * the range of a number
 */
export interface Input {
  id: string;
  unit: string;
  source: string;
  valid_from: string;
  low: number;
  high: number;
  above?: number;
}
export interface Limit {
  id: string;
  unit: string;
  source: string;
  valid_from: string;
  value: number;
}
export interface Outlet {
  id: string;
  unit: string;
  source: string;
  valid_from: string;
  family: FamilyName;
  breakers: number[];
  ground_fault: "expected" | "not-expected";
  rating_amps: number;
  wires: number;
}
/**
 * what is said to people
 */
export interface Words {
  cautions: {
    breaker: string;
    closed: string;
    defer: string;
    meter: string;
    "not-now": string;
    tingle: string;
  };
  drawing: DrawingWords;
  earth: {
    title: string;
    sentence: string;
    good: string[];
    not: string[];
    how: string[];
    cautions: string[];
  };
  explanations: {
    [k: string]: ExplanationWords;
  };
  findings: {
    [k: string]: {
      sentence: string;
    };
  };
  look: {
    [k: string]: {
      label: string;
    };
  };
  pairs: {
    "h-n": string;
    "h-g": string;
    "n-g": string;
    "h-e": string;
    "n-e": string;
    "g-e": string;
    "x-y": string;
    "x-n": string;
    "y-n": string;
    "x-g": string;
    "y-g": string;
    "x-e": string;
    "y-e": string;
  };
  quantities: {
    [k: string]: {
      label: string;
      unit: string;
    };
  };
  skin: {
    limit: string;
    none: string;
    "not-tested": string;
    note: string;
    stop: string;
    [k: string]: string;
  };
  tests: {
    [k: string]: TestWords;
  };
  twins: string;
  twins_shown: {
    [k: string]: string;
  };
  unnamed: UnnamedWords;
  verdicts: {
    use: VerdictWords;
    "use-limited": VerdictWords;
    "test-more": VerdictWords;
    "do-not-use": VerdictWords;
  };
}
export interface DrawingWords {
  title: string;
  supply: string;
  outlet: string;
  load: string;
  leak: string;
  also: {
    "further-up": string;
    legs: string;
    service: string;
  };
  labels: {
    "three-wire": {
      H: string;
      N: string;
      G: string;
      X: string;
    };
    "split-phase": {
      H: string;
      N: string;
      G: string;
      X: string;
    };
  };
  parts: {
    bonded: string;
    dead: string;
    floating: string;
    leak: string;
    load: string;
    loose: string;
    service: string;
    source: string;
  };
}
export interface ExplanationWords {
  name: string;
  sentence: string;
  people: string;
  appliances: string;
  do_now: string;
  "split-phase"?: {
    name?: string;
    sentence?: string;
    people?: string;
    appliances?: string;
    do_now?: string;
  };
}
export interface TestWords {
  name: string;
  needs: string;
  how: string[];
  caution: string;
  "split-phase"?: {
    needs?: string;
    how: string[];
  };
}
export interface UnnamedWords {
  name: string;
  sentence: string;
  people: string;
  appliances: string;
  do_now: string;
  joined: string;
  all_own: string;
  one_own: string;
  rest_own: string;
  contacts: {
    h: string;
    n: string;
    g: string;
    x: string;
    y: string;
  };
  conductors: {
    "three-wire": {
      "-": string;
      H: string;
      N: string;
      G: string;
      X: string;
    };
    "split-phase": {
      "-": string;
      H: string;
      N: string;
      G: string;
      X?: string;
      D: string;
    };
  };
}
export interface VerdictWords {
  word: string;
  sentence: string;
  kept: string;
  do_now: string[];
  at_rig: string[];
}
