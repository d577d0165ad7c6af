/** @import { Phone } from "./trial.js" */

const PREFIX = "fieldlog-shell-";

/** @returns {Promise<Phone>} what the browser says of itself */
export async function phoneHere() {
  const isStandalone = matchMedia("(display-mode: standalone)").matches || Boolean(navigator.standalone);
  return {
    shell_version: await shellVersion(),
    user_agent: navigator.userAgent,
    languages: [...navigator.languages],
    screen: { width: screen.width, height: screen.height, pixel_ratio: devicePixelRatio },
    window: { width: innerWidth, height: innerHeight },
    display: isStandalone ? "standalone" : "browser-tab",
  };
}

/** @returns {Promise<string|null>} */
async function shellVersion() {
  const names = await globalThis.caches?.keys().catch(() => []);
  return (
    names
      ?.filter((name) => name.startsWith(PREFIX))
      .at(-1)
      ?.slice(PREFIX.length) ?? null
  );
}
