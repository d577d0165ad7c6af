/** How this page stands to the server. Sends "changed" when someone signs in or out, or the server is met or missed. */
export const standing = Object.assign(new EventTarget(), {
  signedIn: false,
  name: /** @type {string|null} */ (null),
  reached: false,
  problem: /** @type {string|null} */ (null),
});

/** @param {Partial<{signedIn: boolean, name: string|null, reached: boolean, problem: string|null}>} changed */
export function note(changed) {
  Object.assign(standing, changed);
  standing.dispatchEvent(new Event("changed"));
}
