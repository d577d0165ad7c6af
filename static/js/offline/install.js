/**
 * Not in every browser, nor in any standard.
 * @typedef {Event & {prompt: () => Promise<unknown>}} PromptEvent
 */

/**
 * The browser's offer to put the site on the home screen: held back until it is asked for. Sends "changed" when it
 * comes.
 */
export const offer = Object.assign(new EventTarget(), {
  event: /** @type {PromptEvent|null} */ (null),
});

/** Holds the offer back: what waits in a tab's store would not be in the app's. */
export function holdOffer() {
  addEventListener("beforeinstallprompt", (event) => {
    event.preventDefault();
    offer.event = /** @type {PromptEvent} */ (event);
    offer.dispatchEvent(new Event("changed"));
  });
}
