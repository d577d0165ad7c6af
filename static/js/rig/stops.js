// Made from schemas/facts/protection.json by deploy/javascript/kinds.mjs; not edited by hand.

/** By id, what a stop says and what to do now. */
export const STOPS = {
  "two-sources-at-once": {
    says:
      "Two sources feed the same wiring at once here: each feeds backwards into the other, the bare pins of " +
      "an inlet or a plug can be live, and no single breaker or GFCI cuts this wiring off.",
    now:
      "Do not switch either source on. Wire it so that only one can ever feed: by a transfer switch, or by " +
      "one plug that fits into only one of them. Where it is so already, note two modes of the map, each " +
      "without the other’s run. Leave work at it to a licensed electrician.",
  },
  "pins-live-backwards": {
    says:
      "The source that feeds this also feeds backwards, through wiring that is still joined to it, to where " +
      "nothing is plugged in: the bare pins of that inlet or plug are live.",
    now:
      "Do not switch the source on, and do not touch the pins. Wire it so that the other feed is cut off " +
      "when this one is on: by a transfer switch, or by one plug that fits into only one of them. Leave " +
      "work at it to a licensed electrician.",
  },
  "fed-twice": {
    says:
      "One source feeds this by two runs at once: with one breaker off it stays live, and a wire can carry " +
      "more than its breaker lets through.",
    now:
      "Take one run out, or note two modes of the map where only one of them is ever there. Treat all of it " +
      "as live until both are off.",
  },
  "shared-neutral-on-one-leg": {
    says:
      "Two circuits that share a neutral are on one leg: the neutral carries the sum of both, and no " +
      "breaker stands before it, so it can burn.",
    now:
      "Switch one of them off and leave it off. Put the two breakers on different legs, or give each " +
      "circuit a neutral of its own. On a supply with one hot, or behind an adapter to one, only a neutral " +
      "of its own helps.",
  },
};
