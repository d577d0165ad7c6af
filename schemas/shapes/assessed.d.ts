// Made from the schemas by deploy/javascript/shapes.mjs; not edited by hand.

export type Verdict = "use" | "use-limited" | "test-more" | "do-not-use";
export type Pair =
  "h-n" | "h-g" | "n-g" | "h-e" | "n-e" | "g-e" | "x-y" | "x-n" | "y-n" | "x-g" | "y-g" | "x-e" | "y-e";
export type Level = "stop" | "limit" | "note";

export interface Assessed {
  verdict: Verdict;
  faults: Explanation[];
  not_ruled_out: string[];
  next_test: NextTest | null;
  findings: Finding[];
  supply: Supply | null;
  rulebook: string;
}
/**
 * an explanation and how sure it is
 */
export interface Explanation {
  id: string;
  probability: number;
}
/**
 * the test that tells most; pairs: those to read again
 */
export interface NextTest {
  id: string;
  separates: [string, string][];
  pairs?: Pair[];
}
/**
 * what stands out, and where its limit is from; what does not apply is null
 */
export interface Finding {
  id: string;
  level: Level;
  source: string;
  quantity: string | null;
  value: number | null;
  uncertainty: number | null;
  straddles: boolean | null;
  limit: number | null;
}
/**
 * what a load shows of the supply
 */
export interface Supply {
  across: Pair;
  volts: number;
  ohms: number;
  ohms_uncertainty: number;
  ohms_bound: number;
  hot_ohms: number | null;
  neutral_ohms: number | null;
}
