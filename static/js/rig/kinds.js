// Made from schemas/facts/kinds.json by deploy/javascript/kinds.mjs; not edited by hand.

/** As a page begins with it. */
export const KINDS = {
  supply: "Pedestal outlet",
  "cord-gfci": "GFCI in the cord",
  inlet: "Inlet",
  breaker: "Breaker",
  "gfci-breaker": "GFCI breaker",
  junction: "Junction box",
  receptacle: "Outlet",
  "gfci-receptacle": "GFCI outlet",
  strip: "Outlet strip",
  appliance: "Appliance",
  inverter: "Inverter or power station",
  relay: "Contactor or transfer relay",
  "cord-set": "Shore cord",
  extension: "Extension cord",
  adapter: "Adapter",
};
