// Made from the schemas by deploy/javascript/shapes.mjs; not edited by hand.

/**
 * when a value is good, in its step's unit
 */
export type Good =
  | {
      below: number;
    }
  | {
      at_most: number;
    }
  | {
      at_least: number;
    };

export interface RigRules {
  due: DueRule[];
  looks: LookPoint[];
  proving: ProvingStep[];
  incidents?: IncidentRule[];
  labels?: LabelsOfKinds[];
}
/**
 * what makes a thing due
 */
export interface DueRule {
  id: string;
  unit: "1" | "days" | "months";
  what?:
    "device" | "outlet" | "outlet-loaded" | "outlet-look" | "cord" | "alarms" | "ground" | "skin" | "set" | "set-fixed";
  every_months?: number;
  counts?: string;
  only_with?: string;
  after?: "change" | "no-reset" | "season";
  of?: string[];
  ahead_days?: number;
  words: string;
  source: string;
  known: "common practice" | "confirmed" | "from memory" | "own choice";
  valid_from: string;
}
/**
 * what is looked at
 */
export interface LookPoint {
  id: string;
  unit: "1";
  of: "outlet" | "cord" | "inlet" | "alarms" | "skin" | "surge" | "set";
  also?: ("cord" | "set-look")[];
  hots?: 2;
  good?: Good;
  level: "stop" | "limit";
  where?: ("outside" | "near-water")[];
  ask: string;
  bad: string;
  source: string;
  known: "common practice" | "confirmed" | "from memory" | "own choice";
  valid_from: string;
}
/**
 * a step of proving a change
 */
export interface ProvingStep {
  id: string;
  unit: "1" | "V" | "ohm" | "Mohm";
  when: "dead" | "live" | "shop";
  for: "once" | "source" | "outlet" | "pair" | "device" | "relay" | "branch";
  ask: string;
  ask_once?: string;
  ask_frame?: string;
  hint_frame?: string;
  bad: string;
  good?: Good;
  needs?: string[];
  record?: "outlet-test" | "outlet-test-loaded" | "trip-test";
  grounds_alone?: boolean;
  alone_days?: number;
  frames?: boolean;
  holds_minutes?: number;
  inlet_only?: boolean;
  outputs?: boolean;
  ask_undrawn?: string;
  named_undrawn?: string;
  named_once?: string;
  contacts?: string[];
  power_up?: boolean;
  nearly?: Nearly;
  named?: string;
  named_needed?: boolean;
  until?: string;
  optional?: boolean;
  source: string;
  known: "common practice" | "confirmed" | "from memory" | "own choice";
  valid_from: string;
}
/**
 * which bad values are nearly good, and what is said of them
 */
export interface Nearly {
  below?: number;
  at_least?: number;
  words: string;
}
/**
 * what an incident makes due, or what shows a thing again
 */
export interface IncidentRule {
  id: string;
  of: "incident" | "thing";
  unit: "1";
  name?: string;
  tap?: string;
  now?: string;
  rig?: string[];
  cord?: string[];
  there?: string[];
  clears?: string;
  steps?: string[];
  points?: string[];
  source: string;
  known: "common practice" | "confirmed" | "from memory" | "own choice";
  valid_from: string;
}
export interface LabelsOfKinds {
  id: string;
  unit: "1";
  of?: string[];
  places: {
    [k: string]: string;
  };
  source: string;
  valid_from: string;
}
