// What the parts of a rig are called, and what is said of each in the drawing and in words.

const KINDS = {
  supply: "Pedestal outlet",
  "cord-gfci": "Ground-fault device in the cord",
  inlet: "Inlet",
  breaker: "Breaker",
  junction: "Junction box",
  receptacle: "Outlet",
  "gfci-receptacle": "Ground-fault outlet",
  strip: "Outlet strip",
  appliance: "Appliance",
  inverter: "Inverter or power station",
};
const PLACES = { outside: "outside", "near-water": "near water" };

/** What a person may touch or plug into, so that a guard matters. */
export const FACES = ["receptacle", "gfci-receptacle", "strip", "appliance"];

/** @param {Record<string, any>} part @returns {string} */
export const nameOf = (part) => part.name || KINDS[part.kind];

/** @param {Record<string, any>} part @returns {string} kind, rating and place */
export function kindOf(part) {
  const kind = part.kind === "breaker" && part.gfci ? "Ground-fault breaker" : KINDS[part.kind];
  const rating = part.outlet_type ?? (part.amps ? `${part.amps} A` : null);
  return [kind, rating, ...(part.where ?? []).map((place) => PLACES[place])].filter(Boolean).join(", ");
}

/** @param {Record<string, any>} run @param {boolean} hasSides whether it leaves a device with a line and a load side @returns {string} */
export function runText({ awg, feet, from_side: side }, hasSides) {
  const wire = awg ? `${awg} AWG` : "gauge not noted";
  return [wire, feet ? `${feet} ft` : null, hasSides ? `${side ?? "line"} side` : null].filter(Boolean).join(", ");
}

/**
 * Says what guards a part, or that nothing does.
 * @param {Record<string, any>} part
 * @param {{guards: Record<string, string[]>, fed: Set<string>, names: Map<string, string>}} known
 * @returns {string} empty where a guard does not matter
 */
export function guardText(part, { guards, fed, names }) {
  if (!fed.has(part.id)) return "No feed in this mode";
  if (!FACES.includes(part.kind)) return "";
  const found = guards[part.id] ?? [];
  if (!found.length) return "NOT guarded";
  return `Guarded by ${found.map((id) => (id === part.id ? "itself" : names.get(id))).join(", ")}`;
}
