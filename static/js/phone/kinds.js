// Made from schemas/book/kinds by deploy/javascript/kinds.mjs; not edited by hand.

/** As a page begins with it. */
export const KINDS = {
  "arrival-check": "Arrival check",
  "outlet-test": "Outlet test",
  "plug-in": "After plugging in",
  "trip-test": "Trip test",
  rig: "Rig",
  outlet: "Outlet",
  device: "Device",
  instrument: "Instrument",
  photo: "Photo",
  "rig-map": "Rig map",
  change: "Change to the wiring",
  proof: "Proof of a change",
  look: "Look",
  round: "Round",
  "hand-over": "Hand-over to the next owner",
  incident: "Incident",
  plan: "Plan",
  "site-note": "Note of a site",
};
