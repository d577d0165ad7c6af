/** Shows on the app's icon how many things are due, where the phone can. @param {number} count */
export function showBadge(count) {
  const shown = count ? navigator.setAppBadge?.(count) : navigator.clearAppBadge?.();
  shown?.catch?.((error) => console.warn(error));
}
