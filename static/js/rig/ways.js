// Where each use of the app begins, by what there is.

/** @typedef {{href: string, note?: string}} Way */

/**
 * @param {string[]} rigs on this phone
 * @param {boolean} hasAccount whether somebody is signed in, or was before the server was lost
 * @returns {Record<string, Way>} by use; one that needs nothing first is not among them
 */
export function waysFor(rigs, hasAccount) {
  const [only] = rigs;
  if (!only) {
    const first = hasAccount
      ? { href: "/rigs/new", note: "First note your rig." }
      : { href: "/sign-in?next=/rigs/new", note: "First sign in and note your rig." };
    return { round: first, change: first, record: first };
  }
  const isOne = rigs.length === 1;
  return {
    round: { href: isOne ? `/round#rig=${only}` : "/round" },
    change: { href: isOne ? `/changes/new#rig=${only}` : "/changes/new" },
    record: { href: isOne ? `/rigs/${only}/record` : "/rigs" },
  };
}
