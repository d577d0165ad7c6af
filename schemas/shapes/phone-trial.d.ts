// Made from the schemas by deploy/javascript/shapes.mjs; not edited by hand.

export type Moment = string;
export type State = "seen-to-work" | "seen-not-to-work" | "begun" | "not-tried";
/**
 * who told the state: the page by what it observed, or the person; null where it was not tried
 */
export type Teller = "page" | "person" | null;
/**
 * what the browser said
 */
export type Error = string;

export interface PhoneTrial {
  what: "fieldlog phone trial";
  version: 1;
  began_at: Moment;
  written_at: Moment;
  shell_version: string | null;
  user_agent: string;
  languages: string[];
  screen: Screen;
  window: Area;
  display: "standalone" | "browser-tab";
  /**
   * @minItems 8
   * @maxItems 8
   */
  steps: [StepStore, StepStrictSave, StepKill, StepStay, StepCamera, StepNotification, StepReach, StepKeypad];
}
export interface Screen {
  width: number;
  height: number;
  pixel_ratio: number;
}
export interface Area {
  width: number;
  height: number;
}
export interface StepStore {
  step: "store";
  state: State;
  told_by: Teller;
  at: Moment | null;
  took_ms: number | null;
  note: string;
  seen: SeenStore;
}
export interface SeenStore {
  opened?: boolean;
  read_back?: boolean;
  log_opened?: boolean;
  error?: Error;
}
export interface StepStrictSave {
  step: "strict-save";
  state: State;
  told_by: Teller;
  at: Moment | null;
  took_ms: number | null;
  note: string;
  seen: SeenStrictSave;
}
export interface SeenStrictSave {
  asked?: number;
  saved?: number;
  durability?: string | null;
  milliseconds?: number[];
  error?: Error;
}
export interface StepKill {
  step: "kill";
  state: State;
  told_by: Teller;
  at: Moment | null;
  took_ms: number | null;
  note: string;
  seen: SeenKill;
}
export interface SeenKill {
  marked_at?: Moment;
  rows_written?: number;
  rows_there?: number;
  small_mark?: boolean;
  tab_memory?: boolean;
  navigation?: string;
  worker_in_charge?: boolean;
  worker_answered?: boolean;
  server_answered?: boolean;
  closed?: "closed" | "loaded-again";
  error?: Error;
}
export interface StepStay {
  step: "stay";
  state: State;
  told_by: Teller;
  at: Moment | null;
  took_ms: number | null;
  note: string;
  seen: SeenStay;
}
export interface SeenStay {
  offered?: boolean;
  granted_before?: boolean;
  granted?: boolean;
  quota_bytes?: number;
  usage_bytes?: number;
  error?: Error;
}
export interface StepCamera {
  step: "camera";
  state: State;
  told_by: Teller;
  at: Moment | null;
  took_ms: number | null;
  note: string;
  seen: SeenCamera;
}
export interface SeenCamera {
  type?: string;
  bytes?: number;
  width?: number;
  height?: number;
  kept?: KeptPhoto;
  error?: Error;
}
/**
 * the photo as the log would keep it
 */
export interface KeptPhoto {
  type: string;
  bytes: number;
  width: number;
  height: number;
}
export interface StepNotification {
  step: "notification";
  state: State;
  told_by: Teller;
  at: Moment | null;
  took_ms: number | null;
  note: string;
  seen: SeenNotification;
}
export interface SeenNotification {
  offered?: boolean;
  permission?: string;
  shown_by?: "worker" | "page";
  shown?: boolean;
  noticed?: boolean;
  error?: Error;
}
export interface StepReach {
  step: "reach";
  state: State;
  told_by: Teller;
  at: Moment | null;
  took_ms: number | null;
  note: string;
  seen: SeenReach;
}
export interface SeenReach {
  secure?: boolean;
  scheme?: string;
  own_machine?: boolean;
  worker_offered?: boolean;
  worker_registered?: boolean;
  worker_in_charge?: boolean;
  error?: Error;
}
export interface StepKeypad {
  step: "keypad";
  state: State;
  told_by: Teller;
  at: Moment | null;
  took_ms: number | null;
  note: string;
  seen: SeenKeypad;
}
export interface SeenKeypad {
  typed?: string;
  read_as?: string | null;
  decimal_key?: "comma" | "dot" | "both" | "none";
  error?: Error;
}
