// Made from the schemas by deploy/javascript/shapes.mjs; not edited by hand.

export type Answer = Receipts | Page | News | Missing | Session | PhotoReceipt | PhotoPart | Health | Problems;
export type LogRecord = import("./record.d.ts").LogRecord;

export interface Receipts {
  receipts: Receipt[];
  forgot?: string[];
}
/**
 * stored: kept now. known: the same record was kept before. refused: not kept, and problems says why; seq and hash are null then.
 */
export interface Receipt {
  id: string | null;
  status: "stored" | "known" | "refused";
  seq: number | null;
  hash: string | null;
  problems: Problem[];
  log?: string | null;
  position?: number | null;
  head?: string | null;
}
/**
 * What is wrong and where.
 */
export interface Problem {
  at: string;
  problem: string;
}
export interface Page {
  records: Entry[];
  next: number;
  more: boolean;
  account?: string;
}
export interface Entry {
  seq: number;
  received_at: string;
  hash: string;
  clock_offset_s: number | null;
  flags: Flag[];
  record: LogRecord;
  log?: string;
  position?: number;
  head?: string;
}
/**
 * What the server noticed about a record; the record itself stays as it came.
 */
export interface Flag {
  flag: "verdict-differs" | "explanation-differs" | "rulebook-differs" | "cannot-judge" | "clock-differs";
  detail: string;
}
/**
 * What is new in the logs of an account.
 */
export interface News {
  account: string;
  own: string;
  records: Entry[];
  more: boolean;
  forgot: string[];
}
export interface Missing {
  missing: {
    records: string[];
    photos: string[];
  };
}
export interface Session {
  signed_in: boolean;
  name: string | null;
  account: string | null;
  session: string | null;
  handed_over: string[];
  now: string;
}
export interface PhotoReceipt {
  hash: string;
  status: "stored" | "known" | "refused";
  problems: Problem[];
}
export interface PhotoPart {
  hash: string;
  status: "partial";
  here: number;
  problems: unknown[];
}
export interface Health {
  ready: boolean;
  wrong: string[];
  versions: {
    app: string;
    python: string;
    sqlite: string;
    rulebook: string | null;
    schema: string | null;
  };
}
export interface Problems {
  problems: Problem[];
}
