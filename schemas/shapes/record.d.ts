// Made from the schemas by deploy/javascript/shapes.mjs; not edited by hand.

export type LogRecord =
  | RecordArrivalCheck
  | RecordOutletTest
  | RecordPlugIn
  | RecordTripTest
  | RecordRig
  | RecordOutlet
  | RecordDevice
  | RecordInstrument
  | RecordPhoto
  | RecordRigMap
  | RecordChange
  | RecordProof
  | RecordLook
  | RecordRound
  | RecordHandOver
  | RecordIncident
  | RecordPlan
  | RecordSiteNote;
/**
 * an id (a UUIDv7 in lower case)
 */
export type Id = string;
/**
 * an id (a UUIDv7 in lower case), or null
 */
export type IdOrNull = string | null;
/**
 * one of the outlets 5-15, 5-20, TT-30, 14-50
 */
export type OutletType = "5-15" | "5-20" | "TT-30" | "14-50";
/**
 * a number, one space and the unit, such as "30 A"
 */
export type Amps = string;
/**
 * a number, one space and the unit, such as "60.0 Hz"
 */
export type Hertz = string;
/**
 * a number, one space and the unit, such as "1.0 %"
 */
export type Percent = string;
/**
 * a number, one space and the unit, such as "121.3 V"
 */
export type Volts = string;
/**
 * a pair of contacts, such as h-n, h-g or n-g
 */
export type Pair =
  "h-n" | "h-g" | "n-g" | "h-e" | "n-e" | "g-e" | "x-y" | "x-n" | "y-n" | "x-g" | "y-g" | "x-e" | "y-e";
/**
 * a number, one space and the unit, such as "24 ms"
 */
export type Milliseconds = string;
/**
 * a number, one space and the unit, such as "7 mA"
 */
export type Milliamps = string;
/**
 * the steps that were not done
 */
export type NotTested = (
  | "look"
  | "volts.h-n"
  | "volts.h-g"
  | "volts.n-g"
  | "volts.h-e"
  | "volts.n-e"
  | "volts.g-e"
  | "volts.x-y"
  | "volts.x-n"
  | "volts.y-n"
  | "volts.x-g"
  | "volts.y-g"
  | "volts.x-e"
  | "volts.y-e"
  | "lamps.h-n"
  | "lamps.h-g"
  | "lamps.n-g"
  | "lamps.x-y"
  | "lamps.x-n"
  | "lamps.y-n"
  | "lamps.x-g"
  | "lamps.y-g"
  | "loaded"
  | "near"
  | "continuity"
  | "trip"
  | "tripped"
  | "face_dead"
  | "reset"
  | "meter_proved"
)[];
/**
 * the id of a rulebook (sha256: and 64 hex digits)
 */
export type Rulebook = string;
/**
 * the body of a record of the kind instrument
 */
export type BodyInstrument =
  | {
      type: "meter";
      name: string;
      input: "high-impedance" | "low-impedance";
      accuracy_percent: Percent;
      accuracy_volts: Volts;
      category: string | null;
    }
  | {
      type: "lamp-tester";
      name: string;
      lamps: {
        called: string;
        pair: "h-n" | "h-g" | "n-g" | "x-y" | "x-n" | "y-n" | "x-g" | "y-g";
      }[];
    };
/**
 * a whole number of pixels from 1 to 65535
 */
export type Pixels = number;
/**
 * the id of a part (1 to 36 letters, digits and hyphens)
 */
export type PartId = string;
/**
 * the id of an entry of a table (lower-case letters, digits and hyphens)
 */
export type PointId = string;
/**
 * a number, one space and the unit, such as "0.3 ohm"
 */
export type Ohms = string;
/**
 * a year and month such as 2031-05
 */
export type Month = string;

export interface RecordArrivalCheck {
  id: Id;
  kind: "arrival-check";
  rig: IdOrNull;
  subject: null;
  observed_at: string;
  made_by: string;
  instrument: IdOrNull;
  body: BodyArrivalCheck;
  corrects: IdOrNull;
  reason: string | null;
  also_corrects?: Id[];
}
/**
 * the body of a record of the kind arrival-check
 */
export interface BodyArrivalCheck {
  place: Place;
  check: Check;
  ready: Ready;
  not_tested: NotTested;
  judgement: Judgement;
}
/**
 * where it was
 */
export interface Place {
  park: string;
  site: string;
}
/**
 * what was read at the outlet
 */
export interface Check {
  outlet: OutletType;
  supply?: "utility" | "generator" | "inverter";
  where?: "pedestal" | "rig";
  breaker_amps?: Amps;
  hertz?: Hertz;
  via?: string[];
  meter?: Meter;
  volts?: VoltsByPair;
  lamps?: LampsByPair;
  loaded?: Loaded;
  more?: More[];
  continuity?: {
    "n-g"?: "open" | "closed";
    "g-frame"?: "open" | "closed";
  };
  near?: {
    h?: boolean;
    x?: boolean;
    y?: boolean;
    n?: boolean;
    g?: boolean;
    skin?: boolean;
  };
  trip?: Pressed[];
  look?: (
    "burned" | "wet" | "warm" | "buzzing" | "tingle" | "breaker-will-not-hold" | "cracked" | "loose" | "cover-missing"
  )[];
}
/**
 * the meter's input and accuracy
 */
export interface Meter {
  input?: "high-impedance" | "low-impedance";
  accuracy_percent?: Percent;
  accuracy_volts?: Volts;
  rms?: "true" | "average";
}
/**
 * volts by pair of contacts
 */
export interface VoltsByPair {
  "h-n"?: Volts;
  "h-g"?: Volts;
  "n-g"?: Volts;
  "h-e"?: Volts;
  "n-e"?: Volts;
  "g-e"?: Volts;
  "x-y"?: Volts;
  "x-n"?: Volts;
  "y-n"?: Volts;
  "x-g"?: Volts;
  "y-g"?: Volts;
  "x-e"?: Volts;
  "y-e"?: Volts;
}
/**
 * lamps by pair of contacts
 */
export interface LampsByPair {
  "h-n"?: "lit" | "dim" | "dark";
  "h-g"?: "lit" | "dim" | "dark";
  "n-g"?: "lit" | "dim" | "dark";
  "h-e"?: "lit" | "dim" | "dark";
  "n-e"?: "lit" | "dim" | "dark";
  "g-e"?: "lit" | "dim" | "dark";
  "x-y"?: "lit" | "dim" | "dark";
  "x-n"?: "lit" | "dim" | "dark";
  "y-n"?: "lit" | "dim" | "dark";
  "x-g"?: "lit" | "dim" | "dark";
  "y-g"?: "lit" | "dim" | "dark";
  "x-e"?: "lit" | "dim" | "dark";
  "y-e"?: "lit" | "dim" | "dark";
}
/**
 * readings with a load on
 */
export interface Loaded {
  across?: Pair;
  amps: Amps;
  amps_percent?: Percent;
  volts?: VoltsByPair;
  after?: VoltsByPair;
}
/**
 * a further set of readings
 */
export interface More {
  state?: "as-found" | "unplugged" | "breaker-off";
  meter?: Meter;
  volts?: VoltsByPair;
  lamps?: LampsByPair;
  loaded?: Loaded;
}
/**
 * one press of TEST
 */
export interface Pressed {
  by: "button" | "external";
  device?: "this" | "upstream";
  tripped?: boolean;
  face_dead?: boolean;
  reset?: boolean;
  milliseconds?: Milliseconds;
  milliamps?: Milliamps;
}
/**
 * what was made sure of before measuring
 */
export interface Ready {
  dry: boolean;
  meter_proved: boolean;
  category: string | null;
}
/**
 * what was judged where the record was made
 */
export interface Judgement {
  verdict: "use" | "use-limited" | "test-more" | "do-not-use";
  rulebook: Rulebook;
  first: string | null;
}
export interface RecordOutletTest {
  id: Id;
  kind: "outlet-test";
  rig: Id;
  subject: Id;
  observed_at: string;
  made_by: string;
  instrument: IdOrNull;
  body: BodyOutletTest;
  corrects: IdOrNull;
  reason: string | null;
  also_corrects?: Id[];
}
/**
 * the body of a record of the kind outlet-test
 */
export interface BodyOutletTest {
  check: Check;
  ready: Ready;
  not_tested: NotTested;
  judgement: Judgement;
}
export interface RecordPlugIn {
  id: Id;
  kind: "plug-in";
  rig: IdOrNull;
  subject: Id;
  observed_at: string;
  made_by: string;
  instrument: IdOrNull;
  body: BodyPlugIn;
  corrects: IdOrNull;
  reason: string | null;
  also_corrects?: Id[];
}
/**
 * the body of a record of the kind plug-in
 */
export interface BodyPlugIn {
  skin:
    | {
        by: "detector";
        detected: boolean;
      }
    | {
        by: "meter";
        volts: Volts;
        low_impedance?: Volts;
        earth_proved?: boolean;
      }
    | null;
  inside: string | null;
  tingle: boolean;
  not_tested: ("skin" | "inside")[];
  judgement: {
    level: "stop" | "limit" | "note" | "none" | "not-tested";
    rulebook: Rulebook;
  };
}
export interface RecordTripTest {
  id: Id;
  kind: "trip-test";
  rig: Id;
  subject: Id;
  observed_at: string;
  made_by: string;
  instrument: IdOrNull;
  body: BodyTripTest;
  corrects: IdOrNull;
  reason: string | null;
  also_corrects?: Id[];
}
/**
 * the body of a record of the kind trip-test
 */
export interface BodyTripTest {
  by: "button" | "external" | "hand";
  tripped: boolean | null;
  face_dead: boolean | null;
  reset: boolean | null;
  milliseconds?: Milliseconds;
  milliamps?: Milliamps;
  dead: Id[];
  live: Id[];
  not_tested: ("tripped" | "face_dead" | "reset" | "outlets")[];
  mode?: string | null;
}
export interface RecordRig {
  id: Id;
  kind: "rig";
  rig: Id;
  subject: null;
  observed_at: string;
  made_by: string;
  instrument: IdOrNull;
  body: BodyRig;
  corrects: IdOrNull;
  reason: string | null;
  also_corrects?: Id[];
}
/**
 * the body of a record of the kind rig
 */
export interface BodyRig {
  name: string;
  outlet: OutletType;
  note: string;
  assured_months?: 3 | 6 | null;
  season_starts?: string | null;
  assured_by?: string;
  plate_ends?: string;
  year?: string;
  papers?: string;
  tested_with?: string;
}
export interface RecordOutlet {
  id: Id;
  kind: "outlet";
  rig: Id;
  subject: null;
  observed_at: string;
  made_by: string;
  instrument: IdOrNull;
  body: BodyOutlet;
  corrects: IdOrNull;
  reason: string | null;
  also_corrects?: Id[];
}
/**
 * the body of a record of the kind outlet
 */
export interface BodyOutlet {
  name: string;
  outlet: OutletType;
  guard: IdOrNull;
  note: string;
}
export interface RecordDevice {
  id: Id;
  kind: "device";
  rig: Id;
  subject: null;
  observed_at: string;
  made_by: string;
  instrument: IdOrNull;
  body: BodyDevice;
  corrects: IdOrNull;
  reason: string | null;
  also_corrects?: Id[];
}
/**
 * the body of a record of the kind device
 */
export interface BodyDevice {
  name: string;
  type: "gfci-receptacle" | "gfci-breaker" | "cord-gfci" | "breaker" | "cord-set" | "extension" | "adapter";
  installed: string | null;
  made?: string | null;
  number?: string;
  hots?: 1 | 2;
  fixed?: boolean;
  retired?: boolean;
  marked?: string;
  note: string;
}
export interface RecordInstrument {
  id: Id;
  kind: "instrument";
  rig: null;
  subject: null;
  observed_at: string;
  made_by: string;
  instrument: IdOrNull;
  body: BodyInstrument;
  corrects: IdOrNull;
  reason: string | null;
  also_corrects?: Id[];
}
export interface RecordPhoto {
  id: Id;
  kind: "photo";
  rig: IdOrNull;
  subject: Id;
  observed_at: string;
  made_by: string;
  instrument: IdOrNull;
  body: BodyPhoto;
  corrects: IdOrNull;
  reason: string | null;
  also_corrects?: Id[];
}
/**
 * the body of a record of the kind photo
 */
export interface BodyPhoto {
  hash: string;
  bytes: number;
  type: "image/jpeg" | "image/png" | "image/webp";
  width: Pixels;
  height: Pixels;
  what: string;
}
export interface RecordRigMap {
  id: Id;
  kind: "rig-map";
  rig: Id;
  subject: null;
  observed_at: string;
  made_by: string;
  instrument: IdOrNull;
  body: BodyRigMap;
  corrects: IdOrNull;
  reason: string | null;
  also_corrects?: Id[];
}
/**
 * the body of a record of the kind rig-map
 */
export interface BodyRigMap {
  parts: RigPart[];
  runs: RigRun[];
  modes: {
    [k: string]: {
      without: number[];
    };
  };
}
/**
 * a part of the rig
 */
export interface RigPart {
  id: PartId;
  kind:
    | "supply"
    | "cord-gfci"
    | "inlet"
    | "breaker"
    | "junction"
    | "receptacle"
    | "gfci-receptacle"
    | "strip"
    | "appliance"
    | "inverter"
    | "relay";
  name: string;
  amps?: number | null;
  gfci?: boolean;
  outlet_type?: "5-15" | "5-20" | "TT-30" | "14-50" | null;
  /**
   * an id (a UUIDv7 in lower case), or null
   */
  outlet?: string | null;
  /**
   * an id (a UUIDv7 in lower case), or null
   */
  device?: string | null;
  where?: ("outside" | "near-water")[];
  bonded?: boolean;
  watts?: number | null;
  continuous?: boolean;
  leg?: "x" | "y" | "both" | null;
  shares_neutral?: PartId | null;
  tied?: boolean | null;
  note?: string;
}
/**
 * a run of wire between two parts
 */
export interface RigRun {
  from: PartId;
  to: PartId;
  from_side?: "line" | "load";
  awg?: 18 | 16 | 14 | 12 | 10 | 8 | 6 | 4 | 2 | null;
  cord?: "listed" | "field-made" | null;
  feet?: number | null;
}
export interface RecordChange {
  id: Id;
  kind: "change";
  rig: Id;
  subject: null;
  observed_at: string;
  made_by: string;
  instrument: IdOrNull;
  body: BodyChange;
  corrects: IdOrNull;
  reason: string | null;
  also_corrects?: Id[];
}
/**
 * the body of a record of the kind change
 */
export interface BodyChange {
  what: string;
  why: string;
  parts: PartId[];
  map: IdOrNull;
  wire: string;
  device: string;
}
export interface RecordProof {
  id: Id;
  kind: "proof";
  rig: Id;
  subject: IdOrNull;
  observed_at: string;
  made_by: string;
  instrument: IdOrNull;
  body: BodyProof;
  corrects: IdOrNull;
  reason: string | null;
  also_corrects?: Id[];
}
/**
 * the body of a record of the kind proof
 */
export interface BodyProof {
  step: PointId;
  part: string | null;
  pair: "h-n" | "h-g" | "n-g" | "x-y" | "x-n" | "y-n" | "x-g" | "y-g" | null;
  outcome: "good" | "bad" | null;
  value: string | null;
  unit: "V" | "ohm" | "Mohm" | "ms" | null;
  record: IdOrNull;
  note: string;
}
export interface RecordLook {
  id: Id;
  kind: "look";
  rig: Id;
  subject: IdOrNull;
  observed_at: string;
  made_by: string;
  instrument: IdOrNull;
  body: BodyLook;
  corrects: IdOrNull;
  reason: string | null;
  also_corrects?: Id[];
}
/**
 * the body of a record of the kind look
 */
export interface BodyLook {
  of: "outlet" | "cord" | "inlet" | "alarms" | "skin" | "surge" | "set" | "set-look";
  points: {
    [k: string]: "good" | "bad";
  };
  not_tested: PointId[];
  note: string;
  volts?: Volts;
  ohms?: Ohms;
  ends?: {
    smoke?: Month;
    co?: Month;
    gas?: Month;
    extinguisher?: Month;
  };
}
export interface RecordRound {
  id: Id;
  kind: "round";
  rig: Id;
  subject: null;
  observed_at: string;
  made_by: string;
  instrument: IdOrNull;
  body: BodyRound;
  corrects: IdOrNull;
  reason: string | null;
  also_corrects?: Id[];
}
/**
 * the body of a record of the kind round
 */
export interface BodyRound {
  started_at: string;
  steps: {
    what: "device" | "outlet" | "look";
    subject: IdOrNull;
    of: "cord" | "inlet" | "alarms" | "skin" | "surge" | "set" | "set-look" | null;
    record: IdOrNull;
    skipped: boolean;
    why: string;
  }[];
}
export interface RecordHandOver {
  id: Id;
  kind: "hand-over";
  rig: Id;
  subject: null;
  observed_at: string;
  made_by: string;
  instrument: IdOrNull;
  body: BodyHandOver;
  corrects: IdOrNull;
  reason: string | null;
  also_corrects?: Id[];
}
/**
 * the body of a record of the kind hand-over
 */
export interface BodyHandOver {
  count: number;
  head: string;
}
export interface RecordIncident {
  id: Id;
  kind: "incident";
  rig: Id;
  subject: IdOrNull;
  observed_at: string;
  made_by: string;
  instrument: IdOrNull;
  body: BodyIncident;
  corrects: IdOrNull;
  reason: string | null;
  also_corrects?: Id[];
}
/**
 * the body of a record of the kind incident
 */
export interface BodyIncident {
  what: "shock" | "burned" | "water" | "overvoltage" | "pull" | "trips" | "none";
  at: "thing" | "cord" | "rig";
  note: string;
}
export interface RecordPlan {
  id: Id;
  kind: "plan";
  rig: Id;
  subject: null;
  observed_at: string;
  made_by: string;
  instrument: IdOrNull;
  body: BodyPlan;
  corrects: IdOrNull;
  reason: string | null;
  also_corrects?: Id[];
}
/**
 * the body of a record of the kind plan
 */
export interface BodyPlan {
  supply: "utility" | "generator" | "inverter";
  open: Volts;
  is_read: boolean;
  loop_ohms: number;
  loop_spread: number;
  cords: {
    awg: 18 | 16 | 14 | 12 | 10 | 8 | 6;
    feet: number;
  }[];
  cord_ohms: number;
  loads: {
    name: string;
    watts: number;
    leg?: "x" | "y" | "both";
  }[];
  off: string[];
  planned: {
    volts: Volts;
    least: Volts;
    most: Volts;
    amps: Amps;
    fits: boolean;
  };
  read: {
    volts: Volts;
    amps: Amps;
    outlet: Volts | null;
  } | null;
  second?: {
    open: Volts;
    between: Volts | null;
    planned: {
      volts: Volts;
      least: Volts;
      most: Volts;
      amps: Amps;
      neutral: Amps;
    };
    read: {
      volts: Volts;
      amps: Amps;
      outlet: Volts | null;
    } | null;
  };
  note: string;
}
export interface RecordSiteNote {
  id: Id;
  kind: "site-note";
  rig: null;
  subject: null;
  observed_at: string;
  made_by: string;
  instrument: IdOrNull;
  body: BodySiteNote;
  corrects: IdOrNull;
  reason: string | null;
  also_corrects?: Id[];
}
/**
 * the body of a record of the kind site-note
 */
export interface BodySiteNote {
  place: Place;
  note: string;
}
